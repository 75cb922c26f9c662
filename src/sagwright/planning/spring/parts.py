"""What a setup puts into the spring, the spring of one or many setups, and what all kinds of springs share."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from sagwright.domain.air_spring import AirSpring
from sagwright.domain.intake import Surroundings
from sagwright.domain.setup import LegState, Setting, Setup, ShaftSetting, TopOutSetting
from sagwright.domain.sheet import Chassis, Sheet, SpacerStack, TopOutSpacers
from sagwright.domain.value import Unknown, Value
from sagwright.physics.gas import AMBIENT_ABS, R_AIR
from sagwright.physics.numeric import Real
from sagwright.physics.spring import Spring


@dataclass(frozen=True, slots=True)
class Pressed:
    """The coil in one or many setups.

    Attributes
    ----------
    rate : float or array
        [N/m].
    preload : float or array
        How far it is pressed topped out [m]; below 0 it is loose there by as much.
    room : float or array
        From where it stands topped out until all its turns touch [m]; infinite where nobody says how it is made.
    """

    rate: Real
    preload: Real
    travel_to_solid: Real


@dataclass(frozen=True, slots=True)
class Fit:
    """What setups put into the spring; numbers, or arrays over many setups of one chassis.

    Attributes
    ----------
    travel : float or array
        [m].
    stack : float or array
        Travel spacers under the piston, or spacers under the top-out.
    hole : float or array
        The transfer port's hole.
    volume_spacers : float or array
    lower_leg_oil : tuple of float
        In each leg of the sheet [m³].
    closed_at : tuple of float
        Compression each leg was closed at [m].
    closed_in : tuple of (float or None, float or None)
        Temperature [K] and air pressure [Pa] each leg was closed in, None for the workshop's; empty for all of them.
    coil : Pressed or None
        The coil, where it is one.
    """

    travel: Real
    stack: Real
    hole: Real
    volume_spacers: Real
    lower_leg_oil: tuple[float, ...]
    closed_at: tuple[float, ...]
    closed_in: tuple[tuple[float | None, float | None], ...] = ()
    coil: Pressed | None = None


def travel_of(sheet: Sheet, chassis: Chassis, setting: Setting) -> float | Unknown:
    """Travel that a setting gives [m], or what is unknown about it."""
    if isinstance(setting, ShaftSetting):
        return setting.shaft_travel
    spacers = setting.top_out_spacers if isinstance(setting, TopOutSetting) else setting.travel_spacers
    if isinstance(spacers, Unknown) or not isinstance(sheet.mechanism, SpacerStack | TopOutSpacers):
        return Unknown.UNTIL_OPEN
    return chassis.longest.si - spacers * sheet.mechanism.height.si


def with_legs(sheet: Sheet, setup: Setup, fit: Fit) -> Fit:
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
    """The spring of one or many setups of a sheet, standing in a workshop."""

    sheet: Sheet
    fit: Fit
    workshop: Surroundings
    spring: Spring


def first_leg(sheet: Sheet) -> int:
    """Place of the first leg's chamber: behind positive and negative where there is air."""
    return 2 if isinstance(sheet.spring, AirSpring) else 0


def other_masses(model: SpringModel) -> tuple[Real, ...]:
    """Gas in the legs, closed at their own compression in the workshop's air, and in the damper."""
    gas = R_AIR * model.workshop.temperature
    first = first_leg(model.sheet)
    legs = model.spring.chambers[first : first + len(model.sheet.legs)]
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
