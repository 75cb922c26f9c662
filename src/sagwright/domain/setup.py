"""Every setting and loose part in one unit, at one moment."""

from __future__ import annotations

from dataclasses import dataclass

from sagwright.domain.value import Unknown, Value


@dataclass(frozen=True, slots=True)
class StackSetting:
    """Travel spacers under the piston, and the hole the transfer port stands in (0 for no spacers)."""

    travel_spacers: int | Unknown
    port_position: int | Unknown


@dataclass(frozen=True, slots=True)
class ShaftSetting:
    """The air shaft in the unit, by the travel it gives [m]."""

    shaft_travel: float | Unknown


@dataclass(frozen=True, slots=True)
class TopOutSetting:
    """Spacers under the top-out of a coil fork."""

    top_out_spacers: int | Unknown


Setting = StackSetting | ShaftSetting | TopOutSetting


@dataclass(frozen=True, slots=True)
class CoilFitting:
    """What a coil fork has in the place of gas.

    Attributes
    ----------
    coil : str or Unknown
        The sheet's name of the coil.
    preload_spacers : int or Unknown
        On top of it.
    adjuster : float or Unknown
        How far the preload adjuster is turned in, from fully out [m].
    """

    coil: str | Unknown
    preload_spacers: int | Unknown
    adjuster: float | Unknown = 0.0


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
        Whether the unit was worked through the transfer port since it was filled. An uncycled charge was put in topped
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
    """Lower-leg oil in a lower leg [m³], and the compression it was closed at [m].

    `temperature` [K] and `ambient_abs` [Pa] are those it was closed in; None for those of the workshop it stands in.
    """

    name: str
    lower_leg_oil: float
    closed_at: float = 0.0
    temperature: float | None = None
    ambient_abs: float | None = None


@dataclass(frozen=True, slots=True)
class Setup:
    """Every setting and loose part in one unit; any of them may be unknown until open.

    Attributes
    ----------
    chassis : str
    setting : StackSetting, ShaftSetting or TopOutSetting
        What sets the travel.
    volume_spacers : int or Unknown
    charge : Charge or Unknown
    legs : tuple of LegState
        Empty where they are as the sheet says.
    fitting : CoilFitting or None
        Of a coil fork, which has no volume spacers, and no charge either; None in an air fork.
    """

    chassis: str
    setting: Setting
    volume_spacers: int | Unknown
    charge: Charge | Unknown
    legs: tuple[LegState, ...] = ()
    fitting: CoilFitting | None = None


def coil_setup(chassis: str, setting: Setting, fitting: CoilFitting, legs: tuple[LegState, ...] = ()) -> Setup:
    """A setup of a coil fork."""
    return Setup(chassis, setting, 0, Unknown.NOT_MEASURED, legs, fitting)


Setpoint = int | float | str | tuple[LegState, ...] | Charge | Unknown


@dataclass(frozen=True, slots=True)
class Change:
    """One mechanical difference from one setup to another.

    Attributes
    ----------
    field : str
        "travel_spacers", "port_position", "shaft_travel", "top_out_spacers", "volume_spacers", "coil",
        "preload_spacers", "adjuster", "legs" or "charge".
    before, after : int, float, str, tuple of LegState, Charge or Unknown
    """

    field: str
    before: Setpoint
    after: Setpoint
