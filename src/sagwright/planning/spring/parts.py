"""What a setup puts into the spring, the spring of one or many setups, and what all kinds of springs share."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeVar

import numpy as np

from sagwright.domain.intake import Surroundings
from sagwright.domain.setup import LegState, Setting, Setup, ShaftSetting, TopOutSetting
from sagwright.domain.sheet import Chassis, ShaftPerTravel, Sheet, SpacerStack, TopOutSpacers
from sagwright.domain.value import Unknown, Value
from sagwright.physics.bumper import LinearBumper
from sagwright.physics.gas import AMBIENT_ABS, R_AIR
from sagwright.physics.numeric import Real
from sagwright.physics.spring import Chamber, Port, Spring

SAME_TRAVEL = 1e-6
"""Travels that differ by less than this count as equal [m]."""

F = TypeVar("F", bound="Fit")


def same_setup(a: float, b: float) -> bool:
    """Whether two travels [m] count as equal."""
    return abs(a - b) <= SAME_TRAVEL


@dataclass(frozen=True, slots=True)
class Fit:
    """What setups put into the spring; numbers, or arrays over many setups of one chassis.

    Each kind of spring adds its own, and says which chambers, ports and stops follow from it.

    Attributes
    ----------
    travel : float or array
        [m].
    stack : float or array
        Travel spacers under the piston, or spacers under the top-out.
    lower_leg_oil : tuple of float
        In each leg of the sheet [m³].
    closed_at : tuple of float
        Compression each leg was closed at [m].
    closed_in : tuple of (float or None, float or None)
        Temperature [K] and air pressure [Pa] each leg was closed in, None for the workshop's; empty for all of them.
    """

    travel: Real
    stack: Real
    lower_leg_oil: tuple[float, ...] = ()
    closed_at: tuple[float, ...] = ()
    closed_in: tuple[tuple[float | None, float | None], ...] = ()

    def chambers(self, sheet: Sheet) -> tuple[Chamber, ...]:
        """Gas in the spring itself."""
        del sheet
        return ()

    def behind(self, sheet: Sheet) -> tuple[Chamber, ...]:
        """Gas behind a floating piston."""
        del sheet
        return ()

    def ports(self, sheet: Sheet) -> tuple[Port, ...]:
        """What joins its chambers."""
        del sheet
        return ()

    def stops(self, sheet: Sheet) -> tuple[LinearBumper, ...]:
        """What pushes or pulls in it without being gas."""
        del sheet
        return ()

    @property
    def reach(self) -> Real:
        """How far it lets the unit in [m]."""
        return self.travel

    @property
    def preload(self) -> Real | None:
        """How far a coil is pressed topped out [m]; None where there is none."""
        return None


def columns(fits: Sequence[Fit], *names: str) -> dict[str, Any]:
    """Some fields of several fits as arrays, by name."""
    return {name: np.array([getattr(fit, name) for fit in fits], dtype=float) for name in names}


def travel_of(sheet: Sheet, chassis: Chassis, setting: Setting) -> float | Unknown:
    """Travel that a setting gives [m], or what is unknown about it."""
    if isinstance(setting, ShaftSetting):
        return setting.shaft_travel
    spacers = setting.top_out_spacers if isinstance(setting, TopOutSetting) else setting.travel_spacers
    if isinstance(spacers, Unknown) or not isinstance(sheet.mechanism, SpacerStack | TopOutSpacers):
        return Unknown.UNTIL_OPEN
    return chassis.longest.si - spacers * sheet.mechanism.height.si


def most_volume_spacers(sheet: Sheet, setting: Setting) -> int:
    """The most volume spacers that may stand over a setting: those of the spring, or fewer with a long shaft."""
    most = sheet.spring.most_volume_spacers
    if isinstance(setting, ShaftSetting) and isinstance(sheet.mechanism, ShaftPerTravel):
        for shaft in sheet.mechanism.shafts:
            if not isinstance(setting.shaft_travel, Unknown) and same_setup(shaft.travel.si, setting.shaft_travel):
                return min(shaft.most_volume_spacers, most)
    return most


def with_legs(sheet: Sheet, setup: Setup, fit: F) -> F:
    """The fit with what a build says of its legs, or else the sheet."""
    found = {leg.name: leg for leg in setup.legs}
    return replace(
        fit,
        lower_leg_oil=tuple(
            found[leg.name].lower_leg_oil if leg.name in found else leg.lower_leg_oil.si for leg in sheet.legs
        ),
        closed_at=tuple(found[leg.name].closed_at if leg.name in found else 0.0 for leg in sheet.legs),
        closed_in=tuple(_closed_in(found.get(leg.name)) for leg in sheet.legs),
    )


def _closed_in(leg: LegState | None) -> tuple[float | None, float | None]:
    return (None, None) if leg is None else (leg.temperature, leg.ambient_abs)


@dataclass(frozen=True, slots=True)
class SpringModel:
    """The spring of one or many builds of a sheet, standing in a workshop.

    Attributes
    ----------
    sheet : Sheet
    fit : Fit
    workshop : Surroundings
    spring : Spring
        Its chambers: those of the spring itself, one a leg, the damper's, and one behind a floating piston.
    own : int
        How many chambers are the spring's own; the first of them has the main valve.
    """

    sheet: Sheet
    fit: Fit
    workshop: Surroundings
    spring: Spring
    own: int

    @property
    def legs(self) -> slice:
        """Places of the legs' chambers."""
        return slice(self.own, self.own + len(self.sheet.legs))

    @property
    def piston(self) -> int | None:
        """Place of the chamber behind a floating piston; None where there is none."""
        damper = self.legs.stop
        return damper + 1 if len(self.spring.chambers) > damper + 1 else None


def other_masses(model: SpringModel) -> tuple[Real, ...]:
    """Gas in the legs, closed at their own compression in the workshop's air, and in the damper."""
    gas = R_AIR * model.workshop.temperature
    legs = model.spring.chambers[model.legs]
    shut = model.fit.closed_in or ((None, None),) * len(legs)
    closed = (
        (model.workshop.ambient_abs if ambient is None else ambient)
        * leg.at(at)
        / (R_AIR * (model.workshop.temperature if temperature is None else temperature))
        for leg, at, (temperature, ambient) in zip(legs, model.fit.closed_at, shut, strict=True)
    )
    damper = model.sheet.damper
    return (*closed, (damper.gas_pressure_gauge.si + AMBIENT_ABS) * damper.gas_volume.si / gas)


def disc_area(diameter: Value) -> float:
    """Area of a disc [m²]."""
    return math.pi / 4.0 * diameter.si**2
