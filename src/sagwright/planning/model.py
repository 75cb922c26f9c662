"""A sheet and a build, as the chambers, ports and gas masses that physics computes with."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from sagwright.domain.air_spring import AirSpring
from sagwright.domain.build import Build, Charge, LegState, Setting, ShaftSetting, StackSetting, TopOutSetting
from sagwright.domain.intake import Surroundings
from sagwright.domain.sheet import Chassis, Sheet, SpacerStack, TopOutSpacers
from sagwright.domain.value import Unknown, Value
from sagwright.errors import OutOfRange
from sagwright.physics.bumper import AnyStop, Stop
from sagwright.physics.floating_piston import NEVER, let_go
from sagwright.physics.gas import AMBIENT_ABS, R_AIR
from sagwright.physics.numeric import Mask, Real
from sagwright.physics.spring import Chamber, Port, Spring, State, Stroke
from sagwright.planning import valves
from sagwright.planning.bumpers import bumper
from sagwright.planning.coil_model import Pressed, coil_known, coil_of, pressed


@dataclass(frozen=True, slots=True)
class Fit:
    """What builds put into the spring; numbers, or arrays over many builds of one chassis.

    Attributes
    ----------
    travel : float or array
        [m].
    stack : float or array
        Travel spacers under the piston, or spacers under the top-out.
    hole : float or array
        The equaliser's hole.
    volume_spacers : float or array
    bath_oil : tuple of float
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
    bath_oil: tuple[float, ...]
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


def fit_of(sheet: Sheet, build: Build) -> Fit:
    """What one fully known build puts into the spring.

    Raises
    ------
    OutOfRange
        If the build leaves something unknown, names a hole or a coil there is not, or leaves no travel.
    """
    if sheet.coil is not None:
        return _coil_fit(sheet, build)
    setting = build.setting
    travel = travel_of(sheet, sheet.chassis_named(build.chassis), setting)
    stack, hole = (setting.travel_spacers, setting.equaliser_hole) if isinstance(setting, StackSetting) else (0, 0)
    spacers = build.volume_spacers
    if isinstance(travel, Unknown) or isinstance(stack, Unknown):
        raise OutOfRange("must be known to compute the spring", field="as_found.travel_spacers")
    if isinstance(hole, Unknown) or isinstance(spacers, Unknown):
        raise OutOfRange("must be known to compute the spring", field="as_found.volume_spacers")
    if not 0 <= hole < sheet.air.equaliser.holes:
        raise OutOfRange(
            f"must be a hole between 0 and {sheet.air.equaliser.holes - 1}",
            field="as_found.equaliser_hole",
            value=str(hole),
            remedy="Count from 0, the hole for no travel spacers.",
        )
    return _with_legs(sheet, build, Fit(travel, stack, hole, spacers, (), ()))


def _coil_fit(sheet: Sheet, build: Build) -> Fit:
    """The same for a coil fork, which has neither equaliser nor volume spacers."""
    travel = travel_of(sheet, sheet.chassis_named(build.chassis), build.setting)
    stack = build.setting.top_out_spacers if isinstance(build.setting, TopOutSetting) else 0
    if isinstance(travel, Unknown) or isinstance(stack, Unknown):
        raise OutOfRange("must be known to compute the spring", field="as_found.top_out_spacers")
    return _with_legs(sheet, build, Fit(travel, stack, 0, 0, (), (), coil=pressed(sheet, coil_of(build), travel)))


def _with_legs(sheet: Sheet, build: Build, fit: Fit) -> Fit:
    found = {leg.name: leg for leg in build.legs}
    return replace(
        fit,
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
    """The spring of one or many builds: positive and negative or a coil, one chamber a leg, the damper's gas.

    Notes
    -----
    In each leg the chambers sum to −(outside area of the stanchion): the shaft stands still in the lower leg, so the
    leg's air is swept by the stanchion's outside area less the shaft's.
    """
    damper = Chamber("damper gas", sheet.damper.gas_volume.si, -_disc(sheet.damper.rod))
    legs = tuple(_leg_chambers(sheet, fit))
    spring = Spring(
        chambers=(*legs, damper),
        ports=(),
        stops=_stops(sheet, fit),
        travel=_travel(sheet, fit),
        ambient_abs=workshop.ambient_abs,
    )
    if not isinstance(sheet.spring, AirSpring):
        return Model(sheet, fit, workshop, spring)
    piston = sheet.spring.second
    behind = () if piston is None else (Chamber("second positive", piston.volume.si, 0.0),)
    chambers = (*_air_chambers(sheet, fit), *legs, damper, *behind)
    return Model(sheet, fit, workshop, replace(spring, chambers=chambers, ports=(_equaliser(sheet, fit),)))


def _travel(sheet: Sheet, fit: Fit) -> Real:
    """Travel, or what the damper's stroke or a coil's solid length leaves of it."""
    stroke = sheet.damper.stroke
    travel = fit.travel if stroke is None else np.minimum(fit.travel, stroke.si)
    return travel if fit.coil is None else np.minimum(travel, fit.coil.room)


def first_leg(sheet: Sheet) -> int:
    """Place of the first leg's chamber: behind positive and negative where there is air."""
    return 2 if isinstance(sheet.spring, AirSpring) else 0


def sprung(sheet: Sheet, build: Build, workshop: Surroundings) -> tuple[Model, State] | None:
    """The spring of a build and its gas; None while nobody knows its charge, or its coil and preload.

    Raises
    ------
    OutOfRange
        If the build cannot exist, or leaves something else unknown.
    """
    if sheet.coil is not None:
        if build.fitting is None or not coil_known(build.fitting):
            return None
        model = model_of(sheet, fit_of(sheet, build), workshop)
        return model, State(other_masses(model), workshop.temperature)
    if isinstance(build.charge, Unknown):
        return None
    model = model_of(sheet, fit_of(sheet, build), workshop)
    return model, state_of(model, build.charge)


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
    if isinstance(model.sheet.spring, AirSpring) and model.sheet.spring.second is not None:
        spring = let_go(spring, state, front=0, behind=len(spring.chambers) - 1, n=n)
    return Stroke(spring, state, n=n)


def _behind(model: Model, charge: Charge) -> tuple[Real, ...]:
    """Gas behind the floating piston, if there is one."""
    piston = model.sheet.air.second
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
    spring, mechanism = sheet.air, sheet.mechanism
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
    equaliser, mechanism = sheet.air.equaliser, sheet.mechanism
    if sheet.air.negative_gauge is not None:
        return Port(0, 1, NEVER, 2.0 * NEVER)
    opens: Real = equaliser.opens_at.si
    if isinstance(mechanism, SpacerStack) and equaliser.holes > 1:
        opens = opens + (fit.hole - fit.stack) * mechanism.height.si
    return Port(0, 1, opens, opens + equaliser.band.si)


def _stops(sheet: Sheet, fit: Fit) -> tuple[AnyStop, ...]:
    """The bumpers; a negative coil, which is a bumper that pulls in; and a coil, one that starts before its travel."""
    pulls = sheet.spring.negative_coil if isinstance(sheet.spring, AirSpring) else None
    return (
        bumper(sheet.top_out, sheet.top_out.length.si, -1),
        bumper(sheet.bottom_out, fit.travel - sheet.bottom_out.length.si, +1),
        *(() if pulls is None else (Stop(pulls.length.si, pulls.rate.si, -1),)),
        *(() if fit.coil is None else (Stop(-fit.coil.preload, fit.coil.rate, +1),)),
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


def _disc(diameter: Value) -> float:
    """Area of a disc [m²]."""
    return math.pi / 4.0 * diameter.si**2
