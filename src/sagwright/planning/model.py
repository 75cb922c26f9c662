"""A sheet and a build, as the chambers, ports and gas masses that physics computes with."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from sagwright.domain.build import Build, Charge, LegState, Setting, ShaftSetting, StackSetting
from sagwright.domain.intake import Surroundings
from sagwright.domain.sheet import Chassis, Sheet, SpacerStack
from sagwright.domain.value import Unknown, Value
from sagwright.errors import OutOfRange
from sagwright.physics.gas import AMBIENT_ABS, R_AIR
from sagwright.physics.spring import Chamber, Port, Spring, State, Stop, Stroke
from sagwright.physics.two_stage import NEVER, let_go
from sagwright.physics.types import Mask, Real
from sagwright.planning import valves


@dataclass(frozen=True, slots=True)
class Fit:
    """What builds put into the spring; numbers, or arrays over many builds of one chassis.

    Attributes
    ----------
    travel : float or array
        [m].
    stack : float or array
        Travel spacers under the piston.
    hole : float or array
        The equaliser's hole.
    volume_spacers : float or array
    bath_oil : tuple of float
        In each leg of the sheet [m³].
    closed_at : tuple of float
        Compression each leg was closed at [m].
    closed_in : tuple of (float or None, float or None)
        Temperature [K] and air pressure [Pa] each leg was closed in, None for the workshop's; empty for all of them.
    """

    travel: Real
    stack: Real
    hole: Real
    volume_spacers: Real
    bath_oil: tuple[float, ...]
    closed_at: tuple[float, ...]
    closed_in: tuple[tuple[float | None, float | None], ...] = ()


def travel_of(sheet: Sheet, chassis: Chassis, setting: Setting) -> float | Unknown:
    """Travel that a setting gives [m], or what is unknown about it."""
    if isinstance(setting, ShaftSetting):
        return setting.shaft_travel
    if isinstance(setting.travel_spacers, Unknown) or not isinstance(sheet.mechanism, SpacerStack):
        return Unknown.UNTIL_OPEN
    return chassis.longest.si - setting.travel_spacers * sheet.mechanism.height.si


def fit_of(sheet: Sheet, build: Build) -> Fit:
    """What one fully known build puts into the spring.

    Raises
    ------
    OutOfRange
        If the build leaves something unknown, names a hole there is not, or leaves no travel.
    """
    setting = build.setting
    travel = travel_of(sheet, sheet.chassis_named(build.chassis), setting)
    stack, hole = (setting.travel_spacers, setting.equaliser_hole) if isinstance(setting, StackSetting) else (0, 0)
    spacers = build.volume_spacers
    if isinstance(travel, Unknown) or isinstance(stack, Unknown):
        raise OutOfRange("must be known to compute the spring", field="as_found.travel_spacers")
    if isinstance(hole, Unknown) or isinstance(spacers, Unknown):
        raise OutOfRange("must be known to compute the spring", field="as_found.volume_spacers")
    if not 0 <= hole < sheet.spring.equaliser.holes:
        raise OutOfRange(
            f"must be a hole between 0 and {sheet.spring.equaliser.holes - 1}",
            field="as_found.equaliser_hole",
            value=str(hole),
            remedy="Count from 0, the hole for no travel spacers.",
        )
    found = {leg.name: leg for leg in build.legs}
    return Fit(
        travel=travel,
        stack=stack,
        hole=hole,
        volume_spacers=spacers,
        bath_oil=tuple(found[leg.name].bath_oil if leg.name in found else leg.bath_oil.si for leg in sheet.legs),
        closed_at=tuple(found[leg.name].closed_at if leg.name in found else 0.0 for leg in sheet.legs),
        closed_in=tuple(_closed_in(found.get(leg.name)) for leg in sheet.legs),
    )


def _closed_in(leg: LegState | None) -> tuple[float | None, float | None]:
    return (None, None) if leg is None else (leg.temperature, leg.ambient_abs)


@dataclass(frozen=True, slots=True)
class Model:
    """The spring of one or many builds of a sheet, standing in a workshop."""

    sheet: Sheet
    fit: Fit
    workshop: Surroundings
    spring: Spring


def model_of(sheet: Sheet, fit: Fit, workshop: Surroundings) -> Model:
    """The spring of one or many builds: positive, negative, one chamber a leg, the damper's gas.

    Notes
    -----
    In each leg the chambers sum to −(outside area of the stanchion): the shaft stands still in the lower leg, so the
    leg's air is swept by the stanchion's outside area less the shaft's.
    """
    damper = Chamber("damper gas", sheet.damper.gas_volume.si, -_disc(sheet.damper.rod))
    piston = sheet.spring.second
    behind = () if piston is None else (Chamber("second positive", piston.volume.si, 0.0),)
    stroke = sheet.damper.stroke
    spring = Spring(
        chambers=(*_air_chambers(sheet, fit), *_leg_chambers(sheet, fit), damper, *behind),
        ports=(_equaliser(sheet, fit),),
        stops=_stops(sheet, fit),
        travel=fit.travel if stroke is None else np.minimum(fit.travel, stroke.si),
        ambient_abs=workshop.ambient_abs,
    )
    return Model(sheet, fit, workshop, spring)


def state_of(model: Model, charge: Charge) -> State:
    """Gas masses of a charge, topped out, at the workshop's temperature."""
    pressure_abs = charge.pressure_gauge.si + charge.ambient_abs
    gas = R_AIR * charge.temperature
    air = tuple(pressure_abs * volume / gas for volume in per_pressure(model, charge))
    positive, negative = model.spring.chambers[:2]
    filled = valves.gauge_of(model.sheet, charge, valves.NEGATIVE)
    fresh = (charge.ambient_abs + filled) * negative.at(0.0) / gas
    evened = charge.cycled & _reached(model)
    own = (pressure_abs * positive.at(charge.compression) / gas, fresh)
    masses = tuple(np.where(evened, even, alone) for even, alone in zip(air, own, strict=True))
    return State((*masses, *other_masses(model), *_behind(model, charge)), model.workshop.temperature)


def stroke_of(model: Model, state: State, *, n: float) -> Stroke:
    """A stroke at an exponent, with the floating piston let go where there is one."""
    spring = model.spring
    if model.sheet.spring.second is not None:
        spring = let_go(spring, state, front=0, behind=len(spring.chambers) - 1, n=n)
    return Stroke(spring, state, n=n)


def _behind(model: Model, charge: Charge) -> tuple[Real, ...]:
    """Gas behind the floating piston, if there is one."""
    piston = model.sheet.spring.second
    if piston is None:
        return ()
    pressure = valves.gauge_of(model.sheet, charge, valves.SECOND)
    return ((pressure + charge.ambient_abs) * piston.volume.si / (R_AIR * charge.temperature),)


def _air_chambers(sheet: Sheet, fit: Fit) -> tuple[Chamber, Chamber]:
    """Positive and negative chamber.

    With travel spacers the bottomed position stays: V_pos = A_bore·(L_bottomed + T − x) − volume spacers − oil,
    V_neg = (A_bore − A_shaft)·(L_neg + n·h + x) − n·V_spacer − oil. With a shaft per travel the topped-out chambers
    stay and there is no stack.
    """
    spring, mechanism = sheet.spring, sheet.mechanism
    bore, shaft = _disc(spring.bore), _disc(spring.shaft)
    length: Real = spring.positive_length.si
    height: Real = 0.0
    solid = 0.0
    if isinstance(mechanism, SpacerStack):
        length = length + fit.travel
        height = mechanism.height.si * fit.stack
        solid = _disc(mechanism.outside) - shaft
    taken = fit.volume_spacers * spring.volume_spacer.si + spring.positive_oil.si
    negative = (bore - shaft) * (spring.negative_length.si + height) - solid * height - spring.negative_oil.si
    return Chamber("positive", bore * length - taken, -bore), Chamber("negative", negative, bore - shaft)


def _leg_chambers(sheet: Sheet, fit: Fit) -> Iterator[Chamber]:
    for leg, oil in zip(sheet.legs, fit.bath_oil, strict=True):
        swept = _disc(leg.stanchion) - _disc(leg.rod)
        yield Chamber(f"{leg.name} leg", leg.air_bottomed.si - oil + swept * fit.travel, -swept)


def _equaliser(sheet: Sheet, fit: Fit) -> Port:
    """The equaliser, over the compressions at which it is open.

    It moves with the spacers, one hole per spacer; where hole and spacers differ it opens a spacer's height later
    (ahead), or earlier and perhaps never (behind), per hole of difference.
    """
    equaliser, mechanism = sheet.spring.equaliser, sheet.mechanism
    if sheet.spring.negative_gauge is not None:
        return Port(0, 1, NEVER, 2.0 * NEVER)
    opens: Real = equaliser.opens_at.si
    if isinstance(mechanism, SpacerStack) and equaliser.holes > 1:
        opens = opens + (fit.hole - fit.stack) * mechanism.height.si
    return Port(0, 1, opens, opens + equaliser.band.si)


def _stops(sheet: Sheet, fit: Fit) -> tuple[Stop, ...]:
    """The bumpers, and a negative coil, which is a bumper that pulls in."""
    coil = sheet.spring.negative_coil
    return (
        Stop(sheet.top_out.length.si, sheet.top_out.rate.si, -1),
        Stop(fit.travel - sheet.bottom_out.length.si, sheet.bottom_out.rate.si, +1),
        *(() if coil is None else (Stop(coil.length.si, coil.rate.si, -1),)),
    )


def _reached(model: Model) -> Mask:
    """Whether the equaliser is open anywhere in the travel."""
    port = model.spring.ports[0]
    return (np.asarray(port.closes) > 0) & (np.asarray(port.opens) < model.spring.travel)


def per_pressure(model: Model, charge: Charge) -> tuple[Real, Real]:
    """Volumes that positive and negative gas would fill at the valve's pressure, after cycling and topping out.

    The last passing of the equaliser was outward, so the chambers parted where it closes on the way out.
    """
    positive, negative = model.spring.chambers[:2]
    port, travel = model.spring.ports[0], model.spring.travel
    parted = np.clip(port.opens, 0.0, travel)
    joined_until = np.clip(port.closes, 0.0, travel)
    x = charge.compression
    inside = (x > parted) & (x < joined_until)
    beyond = x >= joined_until
    # pV of the joined gas over the valve's pressure, by where the valve was read
    shared_beyond = positive.at(x) / positive.at(joined_until) * (positive.at(joined_until) + negative.at(joined_until))
    shared_before = positive.at(x) / positive.at(parted) * (positive.at(parted) + negative.at(parted))
    total = np.where(beyond, shared_beyond, np.where(inside, positive.at(x) + negative.at(x), shared_before))
    share = positive.at(parted) / (positive.at(parted) + negative.at(parted))
    return total * share, total * (1.0 - share)


def other_masses(model: Model) -> tuple[Real, ...]:
    """Gas in the legs, closed at their own compression in the workshop's air, and in the damper."""
    gas = R_AIR * model.workshop.temperature
    legs = model.spring.chambers[2 : 2 + len(model.sheet.legs)]
    shut = model.fit.closed_in or ((None, None),) * len(legs)
    closed = (
        (model.workshop.ambient_abs if ambient is None else ambient)
        * leg.at(at)
        / (R_AIR * (model.workshop.temperature if temperature is None else temperature))
        for leg, at, (temperature, ambient) in zip(legs, model.fit.closed_at, shut, strict=True)
    )
    damper = model.sheet.damper
    return (*closed, (damper.gas_pressure_gauge.si + AMBIENT_ABS) * damper.gas_volume.si / gas)


def _disc(diameter: Value) -> float:
    """Area of a disc [m²]."""
    return math.pi / 4.0 * diameter.si**2
