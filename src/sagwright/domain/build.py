"""Every setting and loose part in one unit, at one moment."""

from __future__ import annotations

from dataclasses import dataclass

from sagwright.domain.value import Unknown, Value


@dataclass(frozen=True, slots=True)
class StackSetting:
    """Travel spacers under the piston, and the hole the equaliser stands in (0 for no spacers)."""

    travel_spacers: int | Unknown
    equaliser_hole: int | Unknown


@dataclass(frozen=True, slots=True)
class ShaftSetting:
    """The air shaft in the unit, by the travel it gives [m]."""

    shaft_travel: float | Unknown


Setting = StackSetting | ShaftSetting


@dataclass(frozen=True, slots=True)
class Charge:
    """Gas put into the air spring, stated as the pressure at the valve.

    Attributes
    ----------
    pressure_gauge : Value
        Gauge against the ambient below [Pa].
    compression : float
        Where the unit stood when it was read [m].
    temperature : float
        Of the gas [K].
    ambient_abs : float
        Of the air around [Pa].
    cycled : bool
        Whether the unit was worked through the equaliser since it was filled. An uncycled charge was put in topped
        out over a negative chamber at ambient pressure.
    negative_gauge, second_gauge : Value or None
        Of a negative chamber with its own valve, topped out, and behind a floating piston on its stop; None for the
        sheet's.
    """

    pressure_gauge: Value
    compression: float = 0.0
    temperature: float = 293.15
    ambient_abs: float = 101_325.0
    cycled: bool = True
    negative_gauge: Value | None = None
    second_gauge: Value | None = None


@dataclass(frozen=True, slots=True)
class LegState:
    """Bath oil in a lower leg [m³], and the compression it was closed at [m].

    `temperature` [K] and `ambient_abs` [Pa] are those it was closed in; None for those of the workshop it stands in.
    """

    name: str
    bath_oil: float
    closed_at: float = 0.0
    temperature: float | None = None
    ambient_abs: float | None = None


@dataclass(frozen=True, slots=True)
class Build:
    """Every setting and loose part in one unit; any of them may be unknown until open.

    Attributes
    ----------
    chassis : str
    setting : StackSetting or ShaftSetting
        What sets the travel.
    volume_spacers : int or Unknown
    charge : Charge or Unknown
    legs : tuple of LegState
        Empty where they are as the sheet says.
    """

    chassis: str
    setting: Setting
    volume_spacers: int | Unknown
    charge: Charge | Unknown
    legs: tuple[LegState, ...] = ()


Setpoint = int | float | tuple[LegState, ...] | Charge | Unknown


@dataclass(frozen=True, slots=True)
class Change:
    """One mechanical difference from one build to another.

    Attributes
    ----------
    field : str
        "travel_spacers", "equaliser_hole", "shaft_travel", "volume_spacers", "legs" or "charge".
    before, after : int, float, tuple of LegState, Charge or Unknown
    """

    field: str
    before: Setpoint
    after: Setpoint
