"""Numbers that know how good they are and where they come from."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, StrEnum
from typing import TypeAlias


class Origin(StrEnum):
    """Where a written value comes from."""

    MEASURED = "measured"
    MANUAL = "maker's manual"
    TYPICAL = "typical"
    FITTED = "fitted"
    COMPUTED = "computed"  # never written by a person


class Unknown(Enum):
    """Why a value is not known yet."""

    UNTIL_OPEN = "unknown until open"
    NOT_MEASURED = "not measured"


class Quantity(StrEnum):
    """What kind of number a value is; it fixes the SI unit inside and the units offered at the rim."""

    LENGTH = "length"  # m
    VOLUME = "volume"  # m³
    PRESSURE = "pressure"  # Pa; gauge or absolute is said by the name that carries it
    MASS = "mass"  # kg
    FORCE = "force"  # N
    RATE = "rate"  # N/m
    TORQUE = "torque"  # N·m
    TEMPERATURE = "temperature"  # K
    TIME = "time"  # s
    ANGLE = "angle"  # rad
    FRACTION = "fraction"  # 1
    ENERGY = "energy"  # J
    COUNT = "count"  # 1
    RATIO = "ratio"  # 1, shown as a plain number


@dataclass(frozen=True, slots=True)
class Value:
    """One value of a sheet or an intake.

    Attributes
    ----------
    si : float
        The number in the SI unit of its quantity.
    u : float or None
        Standard uncertainty in the same unit; None while unknown. A tolerance written as "± a" is read as the
        half-width of a rectangular distribution, u = a/√3 ([jcgm-100] 4.3.7).
    origin : Origin
    as_written : str
        The text it was read from.
    """

    si: float
    u: float | None = None
    origin: Origin = Origin.TYPICAL
    as_written: str = ""


@dataclass(frozen=True, slots=True)
class Span:
    """A permitted range, both ends included, in SI."""

    low: float
    high: float
    origin: Origin = Origin.TYPICAL
    as_written: str = ""


@dataclass(frozen=True, slots=True)
class Figure:
    """A computed or quoted number with its quantity, SI; `u` is its standard uncertainty, None while unknown."""

    value: float
    quantity: Quantity
    u: float | None = None


Column: TypeAlias = tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Measured:
    """A number whose place says its quantity, SI; `u` is its standard uncertainty, None while unknown."""

    value: float
    u: float | None = None

    def of(self, quantity: Quantity) -> Figure:
        """A figure of the number and its uncertainty, with its quantity."""
        return Figure(self.value, quantity, self.u)


@dataclass(frozen=True, slots=True)
class MeasuredColumn:
    """Numbers along a travel, SI, and the standard uncertainty of each."""

    value: Column
    u: Column
