"""A spring leg's inside as lengths and volumes, ready to be drawn."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LegInside:
    """The spring leg of one setup at one compression. Lengths [m], volumes [m³].

    Attributes
    ----------
    bore, shaft, stanchion : float
        Inside diameter of the tube, diameters of the air shaft and of the stanchion outside.
    travel, compression : float
    positive_length, negative_length : float
        From cap to piston and from piston to seal head, as it stands, spacers included.
    positive_volume, negative_volume : float
        Gas in each as it stands.
    volume_spacers, volume_spacer : int, float
        Under the cap, and the volume of one.
    travel_spacers, spacer_height, spacer_outside : int, float, float
        Under the piston; none in a fork whose shaft sets the travel.
    transfer_port_opens : float
        Compression at which the piston opens the transfer port; below zero it stands behind the topped-out piston.
    port_position, positions : int or None, int
        Which hole the transfer port stands in, None where it cannot be moved; how many there are, one spacer apart.
    positive_oil, lower_leg_oil : float
        Lying on the piston, and in the lower leg.
    """

    bore: float
    shaft: float
    stanchion: float
    travel: float
    compression: float
    positive_length: float
    negative_length: float
    positive_volume: float
    negative_volume: float
    volume_spacers: int
    volume_spacer: float
    transfer_port_opens: float
    travel_spacers: int = 0
    spacer_height: float = 0.0
    spacer_outside: float = 0.0
    port_position: int | None = None
    positions: int = 1
    positive_oil: float = 0.0
    lower_leg_oil: float = 0.0


@dataclass(frozen=True, slots=True)
class CoilInside:
    """The spring leg of one setup of a coil fork at one compression. Lengths [m], volumes [m³].

    Attributes
    ----------
    bore, shaft, stanchion : float
        Inside diameter of the stanchion, diameters of the spring shaft and of the stanchion outside.
    travel, compression : float
    between : float
        From the coil's upper seat to its lower one, as it stands.
    coil, rate : str, float
        The coil's name, and its rate [N/m].
    wire, diameter, turns : float
        Of the wire and of the coil from middle to middle, and all its turns; 0 where nobody says how it is made.
    free_length : float
    preload : float
        How far it is pressed topped out; below 0 it is loose there.
    left : float
        Before it is solid at full travel; infinite where nobody says how it is made.
    preload_spacers, preload_height : int, float
        On top of the coil, and the height of one.
    adjuster : float
        How far the preload adjuster is turned in.
    top_out_spacers, top_out_height : int, float
        Under the shaft's head, and the height of one.
    lower_leg_oil : float
        In the lower leg.
    """

    bore: float
    shaft: float
    stanchion: float
    travel: float
    compression: float
    between: float
    coil: str
    rate: float
    free_length: float
    preload: float
    left: float
    wire: float = 0.0
    diameter: float = 0.0
    turns: float = 0.0
    preload_spacers: int = 0
    preload_height: float = 0.0
    adjuster: float = 0.0
    top_out_spacers: int = 0
    top_out_height: float = 0.0
    lower_leg_oil: float = 0.0


Inside = LegInside | CoilInside
