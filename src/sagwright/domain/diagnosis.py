"""Readings after the work against their predictions, and the usual mistakes that would explain a difference."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from sagwright.domain.measuring import COVERAGE
from sagwright.domain.value import Measured, Quantity

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


@dataclass(frozen=True, slots=True)
class Prediction:
    """One reading as it should come out, SI.

    Attributes
    ----------
    key : str
        "pressure_after".
    quantity : Quantity
    predicted : Measured
    reading_u : float
        How well it can be read.
    """

    key: str
    quantity: Quantity
    predicted: Measured
    reading_u: float

    @property
    def u(self) -> float:
        """Standard uncertainty of a reading's difference from it."""
        return math.hypot(self.predicted.u or 0.0, self.reading_u)

    @property
    def tolerance(self) -> float:
        """How far a reading may lie from it."""
        return COVERAGE * self.u


@dataclass(frozen=True, slots=True)
class CheckResult:
    """A reading beside its prediction, and whether it is as planned."""

    prediction: Prediction
    value: float
    inside: bool


class MistakeKind(StrEnum):
    """What went wrong; the amount of a `Mistake` is said behind each."""

    NOT_CYCLED = "not cycled after filling"  # no amount
    TRANSFER_PORT_BEHIND = "transfer port left behind"  # holes
    TRANSFER_PORT_AHEAD = "transfer port left ahead"  # holes
    TRANSFER_PORT_BLOCKED = "transfer port plugged"  # no amount
    TRAVEL_SPACERS = "wrong count of travel spacers"  # too many, or too few below 0
    VOLUME_SPACERS = "wrong count of volume spacers"  # too many, or too few below 0
    CLOSED_IN = "legs closed while compressed"  # m
    CLOSED_COLD = "legs closed colder than they are ridden"  # K
    CLOSED_LOW = "legs closed lower than they are ridden"  # Pa of air pressure
    LOWER_LEG_OIL = "too much lower-leg oil in every leg"  # m³
    CHAMBER_OIL = "oil in the positive chamber"  # m³
    PISTON_SEAL = "piston seal passes"  # m³/s, positive to negative
    SEAL_HEAD_SEAL = "seal-head seal passes"  # m³/s, negative to the leg
    VALVE = "valve or cap leaks"  # m³/s, positive to the outside


@dataclass(frozen=True, slots=True)
class Mistake:
    """One mistake, and how much of it, in the unit said at its kind; leaks are conductances."""

    kind: MistakeKind
    amount: float = 1.0


@dataclass(frozen=True, slots=True)
class LeakMoment:
    """The unit under its load at one time [s]: compression [m], pressure at the valve, gauge [Pa]."""

    time: float
    compression: float
    valve_gauge: float


@dataclass(frozen=True, slots=True)
class Signs:
    """What can be seen, felt and read of a unit, isothermal unless said otherwise.

    Attributes
    ----------
    travel : float
        From bottom to the top-out stop [m].
    rest_position : float
        Compression with nothing on it, friction left out [m].
    exposed : float
        Stanchion that shows while it rests so: travel less where it rests [m]; the dead length is not in it.
    top_out_force : float
        Force at the end of the top-out bumper [N]; friction comes on top.
    sag : float
        Under the load [m].
    middle, end : float
        Stroke force at half and at 95 % of travel [N].
    valve_gauge : float
        As the gauge reads at rest [Pa].
    cycled_gauge : float
        As the gauge reads at rest after working it through the transfer port [Pa]; as before where it does not open.
    valve_middle, valve_deep : float
        Pressure at the valve at 50 and at 70 % of travel, gauge [Pa].
    over_time : tuple of LeakMoment
        Under the load, where something leaks.
    """

    travel: float
    rest_position: float
    exposed: float
    top_out_force: float
    sag: float
    middle: float
    end: float
    valve_gauge: float
    cycled_gauge: float
    valve_middle: float
    valve_deep: float
    over_time: tuple[LeakMoment, ...] = ()


class ReadingKind(StrEnum):
    """What can be read at a bench to tell mistakes apart, cheapest first."""

    TRAVEL = "travel with air out, pulled less bottomed"  # m
    EXPOSED = "exposed stanchion, charged and free of load"  # m, without the dead length
    GAUGE_FALL = "fall of the pressure over ten cycles"  # Pa
    BREAKAWAY = "force that starts it moving"  # N
    SAG = "sag, the middle between lifted and pressed"  # m
    DEEP_GAUGE = "pressure at 70 % of travel"  # Pa


@dataclass(frozen=True, slots=True)
class BenchReading:
    """One reading with its standard uncertainty, both in the unit said at its kind."""

    kind: ReadingKind
    value: float
    u: float


@dataclass(frozen=True, slots=True)
class Explanation:
    """How one mistake, or none, would read.

    Attributes
    ----------
    mistake : Mistake or None
    signs : Signs
    mismatch : float
        Root mean square of the readings' differences from what it predicts, in standard uncertainties.
    explains : bool
        Every reading lies within two of them.
    """

    mistake: Mistake | None
    signs: Signs
    mismatch: float
    explains: bool


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """Explanations, nearest first, and the reading not yet taken that best parts those that explain; None where no
    reading does."""

    explanations: tuple[Explanation, ...]
    next_reading: ReadingKind | None
