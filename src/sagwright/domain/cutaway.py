"""A spring leg's inside as lengths and volumes, ready to be drawn."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LegInside:
    """The spring leg of one build, topped out unless `compression` says otherwise. Lengths [m], volumes [m³].

    Attributes
    ----------
    bore, shaft, stanchion : float
        Inside diameter of the tube, diameters of the air shaft and of the stanchion outside.
    positive_length, negative_length : float
        Lengths of the chambers as it stands, volume spacers and travel spacers included.
    travel, compression : float
    positive_volume, negative_volume : float
        Gas in each as it stands.
    travel_spacers, spacer_height, spacer_outside : int, float, float
        Under the piston; none in a fork whose shaft sets the travel.
    volume_spacers, volume_spacer : int, float
        Under the cap, and the volume of one.
    equaliser_hole : int or None
        Which hole the equaliser stands in; None where it cannot be moved.
    holes : int
        Places it can be put in.
    hole_pitch : float
        Between two of them.
    equaliser_below : float
        From the piston's middle, topped out, down to where the piston opens the equaliser: how far it travels first.
    oil : float
        Lying on the piston.
    bath_oil : float
        Lying in the lower leg.
    """

    bore: float
    shaft: float
    stanchion: float
    positive_length: float
    negative_length: float
    travel: float
    positive_volume: float
    negative_volume: float
    volume_spacer: float
    equaliser_opens: float
    compression: float = 0.0
    travel_spacers: int = 0
    spacer_height: float = 0.0
    spacer_outside: float = 0.0
    volume_spacers: int = 0
    equaliser_hole: int | None = None
    holes: int = 1
    oil: float = 0.0
    bath_oil: float = 0.0
