"""Readings as left against what the plan predicts."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from sagwright.domain.value import Quantity

NEEDED: Final = ("exposed_change", "pressure_before", "pressure_after")
"""Readings without which nothing is proven, where they are predicted."""

NEVER_ACCEPTED: Final = ("exposed_change",)
"""Outside its band nobody can accept it: the travel is another, or something is not home."""

RIDDEN: Final = "sag_"
"""What the keys of readings begin with for which somebody stands on the bike."""

LEAK: Final = {
    "leak_start": Quantity.PRESSURE,
    "leak_from": Quantity.TEMPERATURE,
    "leak_end": Quantity.PRESSURE,
    "leak_to": Quantity.TEMPERATURE,
}
"""What a leak test reads: pressure and temperature at its start and at its end."""

BACK: Final = "back_"
"""What the keys begin with of what is put back together on the bike and looked at."""

TOGETHER: Final = ("wheel", "axle", "pinch", "caliper", "hose", "headset", "bars", "brake")
"""What is put back together and looked at before anyone rides, in its order: common practice, no source."""

ACCEPTED: Final = "accepted"
"""Who accepts a reading outside its band, and why: "Kim: the rider asked for it"."""

COVERAGE = 2.0
"""Standard uncertainties that a reading may be off, [jcgm-100] 6.2 with k = 2."""


@dataclass(frozen=True, slots=True)
class Prediction:
    """One reading as it should come out, SI.

    Attributes
    ----------
    key : str
        "pressure_after".
    quantity : Quantity
    value, u : float
        As predicted, and its standard uncertainty.
    reading_u : float
        How well it can be read.
    """

    key: str
    quantity: Quantity
    value: float
    u: float
    reading_u: float

    @property
    def tolerance(self) -> float:
        """How far a reading may lie from it."""
        return COVERAGE * math.hypot(self.u, self.reading_u)


@dataclass(frozen=True, slots=True)
class Verdict:
    """A reading beside its prediction, and whether it is as planned."""

    prediction: Prediction
    value: float
    inside: bool
