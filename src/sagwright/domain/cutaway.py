"""A spring leg's inside as lengths and volumes, ready to be drawn."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LegInside:
    """The spring leg of one build at one compression. Lengths [m], volumes [m³].

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
    equaliser_opens : float
        Compression at which the piston opens the equaliser; below zero it stands behind the topped-out piston.
    equaliser_hole, holes : int or None, int
        Which hole the equaliser stands in, None where it cannot be moved; how many there are, one spacer apart.
    positive_oil, bath_oil : float
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
    equaliser_opens: float
    travel_spacers: int = 0
    spacer_height: float = 0.0
    spacer_outside: float = 0.0
    equaliser_hole: int | None = None
    holes: int = 1
    positive_oil: float = 0.0
    bath_oil: float = 0.0
