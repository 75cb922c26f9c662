"""Readings as left against what the plan predicts."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sagwright.domain.value import Quantity

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
