"""Usual mistakes put into a build that was right, and how they would show."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np

from sagwright.domain.build import Build, LegState, StackSetting
from sagwright.domain.diagnosis import Mistake, MistakeKind, Moment, Signs
from sagwright.domain.intake import Surroundings
from sagwright.domain.sheet import Sheet
from sagwright.domain.value import Unknown, Value
from sagwright.errors import OutOfRange
from sagwright.physics.leak import OUTSIDE, Leak, sink
from sagwright.physics.spring import Spring, State
from sagwright.planning.spring.air import state_of
from sagwright.planning.spring.behaviour import END, SLOW, STROKE
from sagwright.planning.spring.builds import charge_of
from sagwright.planning.spring.model import fit_of, model_of, stroke_of
from sagwright.planning.spring.parts import Model

POSITIVE, NEGATIVE, FIRST_LEG = 0, 1, 2
"""Places of chambers in a fork's spring."""

NOWHERE: Final = 1e3
"""A compression that nothing reaches [m]."""

DEEP: Final = 0.70
"""Share of travel at which a pressure is read deep in the stroke."""

Wrong = tuple[Sheet, Build]


@dataclass(frozen=True, slots=True)
class Standing:
    """How a unit stands while it is looked at: the load on it [N], where it is, and when what leaks is looked at,
    rising from 0 [s]."""

    load: float
    workshop: Surroundings = field(default_factory=Surroundings)
    times: tuple[float, ...] = ()


def signs_of(sheet: Sheet, build: Build, mistake: Mistake | None, *, standing: Standing) -> Signs:
    """How a build shows itself with a mistake in it, or with none.

    Parameters
    ----------
    sheet : Sheet
    build : Build
        Right, fully known and charged; the charge is what the gauge read topped out after the work.
    mistake : Mistake or None
    standing : Standing

    Raises
    ------
    OutOfRange
        If the mistake cannot be made on this build, or leaves a spring that cannot exist.
    NoSolution
        If a resting place did not converge.
    """
    load, workshop, times = standing.load, standing.workshop, standing.times
    made_sheet, made = (sheet, build) if mistake is None else _made(sheet, build, mistake, workshop)
    charge = charge_of(made)
    if charge is None:
        raise OutOfRange("must be charged to show anything", field="build")
    model = model_of(made_sheet, fit_of(made_sheet, made), workshop)
    if mistake is not None and mistake.kind is MistakeKind.EQUALISER_BLOCKED:
        model = _blocked(model)
    state = state_of(model, charge)
    return replace(_signs(model, state, load), over_time=_over_time(model, state, mistake, load, times))


def _made(sheet: Sheet, build: Build, mistake: Mistake, workshop: Surroundings) -> Wrong:
    """The sheet and the build with the mistake in them."""
    make = MAKING.get(mistake.kind)
    if make is None:
        return sheet, build
    return make(sheet, build, mistake.amount, workshop)


def _not_cycled(sheet: Sheet, build: Build, _: float, __: Surroundings) -> Wrong:
    return sheet, _charged(build, cycled=False)


def _charged(build: Build, *, cycled: bool) -> Build:
    charge = charge_of(build)
    return build if charge is None else replace(build, charge=replace(charge, cycled=cycled))


def _stack(build: Build) -> tuple[StackSetting, int, int]:
    setting = build.setting
    if not isinstance(setting, StackSetting):
        raise OutOfRange("must have travel spacers for this mistake", field="build.setting")
    if isinstance(setting.travel_spacers, Unknown) or isinstance(setting.equaliser_hole, Unknown):
        raise OutOfRange("must be known for this mistake", field="build.setting")
    return setting, setting.travel_spacers, setting.equaliser_hole


def _hole(by: int) -> Callable[[Sheet, Build, float, Surroundings], Wrong]:
    def make(sheet: Sheet, build: Build, amount: float, _: Surroundings) -> Wrong:
        setting, _spacers, hole = _stack(build)
        return sheet, replace(build, setting=replace(setting, equaliser_hole=hole + by * round(amount)))

    return make


def _travel_spacers(sheet: Sheet, build: Build, amount: float, _: Surroundings) -> Wrong:
    """The equaliser goes to the hole of the right count, since whoever miscounts does not know."""
    setting, spacers, _hole_now = _stack(build)
    if spacers + round(amount) < 0:
        raise OutOfRange("must leave 0 or more travel spacers", field="amount", value=f"{amount:g}")
    return sheet, replace(build, setting=replace(setting, travel_spacers=spacers + round(amount)))


def _volume_spacers(sheet: Sheet, build: Build, amount: float, _: Surroundings) -> Wrong:
    spacers = build.volume_spacers
    if isinstance(spacers, Unknown) or spacers + round(amount) < 0:
        raise OutOfRange("must leave 0 or more volume spacers", field="amount", value=f"{amount:g}")
    return sheet, replace(build, volume_spacers=spacers + round(amount))


def _legs(sheet: Sheet, build: Build, change: Callable[[LegState], LegState]) -> Wrong:
    known = {leg.name: leg for leg in build.legs}
    legs = (known.get(leg.name, LegState(leg.name, leg.bath_oil.si)) for leg in sheet.legs)
    return sheet, replace(build, legs=tuple(map(change, legs)))


def _closed_in(sheet: Sheet, build: Build, amount: float, _: Surroundings) -> Wrong:
    return _legs(sheet, build, lambda leg: replace(leg, closed_at=amount))


def _closed_cold(sheet: Sheet, build: Build, amount: float, workshop: Surroundings) -> Wrong:
    return _legs(sheet, build, lambda leg: replace(leg, temperature=workshop.temperature - amount))


def _closed_low(sheet: Sheet, build: Build, amount: float, workshop: Surroundings) -> Wrong:
    return _legs(sheet, build, lambda leg: replace(leg, ambient_abs=workshop.ambient_abs + amount))


def _bath_oil(sheet: Sheet, build: Build, amount: float, _: Surroundings) -> Wrong:
    return _legs(sheet, build, lambda leg: replace(leg, bath_oil=leg.bath_oil + amount))


def _chamber_oil(sheet: Sheet, build: Build, amount: float, _: Surroundings) -> Wrong:
    oil = sheet.air.positive_oil
    return replace(sheet, spring=replace(sheet.air, positive_oil=Value(oil.si + amount))), build


MAKING: Final[dict[MistakeKind, Callable[[Sheet, Build, float, Surroundings], Wrong]]] = {
    MistakeKind.NOT_CYCLED: _not_cycled,
    MistakeKind.EQUALISER_BEHIND: _hole(-1),
    MistakeKind.EQUALISER_AHEAD: _hole(+1),
    MistakeKind.EQUALISER_BLOCKED: _not_cycled,
    MistakeKind.TRAVEL_SPACERS: _travel_spacers,
    MistakeKind.VOLUME_SPACERS: _volume_spacers,
    MistakeKind.CLOSED_IN: _closed_in,
    MistakeKind.CLOSED_COLD: _closed_cold,
    MistakeKind.CLOSED_LOW: _closed_low,
    MistakeKind.BATH_OIL: _bath_oil,
    MistakeKind.CHAMBER_OIL: _chamber_oil,
}
"""How each mistake is put into a sheet and a build; leaks are none of either."""


def _blocked(model: Model) -> Model:
    """The spring with an equaliser that never opens."""
    ports = tuple(replace(port, opens=NOWHERE, closes=2 * NOWHERE) for port in model.spring.ports)
    return replace(model, spring=replace(model.spring, ports=ports))


def _signs(model: Model, state: State, load: float) -> Signs:
    spring, travel = model.spring, float(np.asarray(model.spring.travel))
    slow, stroke = stroke_of(model, state, n=SLOW), stroke_of(model, state, n=STROKE)
    rests = float(np.asarray(slow.compression_under(0.0)))

    def valve(at: float) -> float:
        return float(np.asarray(slow.pressures_abs(at)[POSITIVE])) - float(np.asarray(spring.ambient_abs))

    return Signs(
        travel=travel,
        rests=rests,
        exposed=travel - rests,
        off_top=float(np.asarray(slow.force(model.sheet.top_out.length.si))),
        sag=float(np.asarray(slow.compression_under(load))),
        middle=float(np.asarray(stroke.force(0.5 * travel))),
        end=float(np.asarray(stroke.force(END * travel))),
        valve_gauge=valve(rests),
        cycled_gauge=_valve_at_rest(model, _cycled(spring, state)),
        valve_middle=valve(0.5 * travel),
        valve_deep=valve(DEEP * travel),
    )


def _valve_at_rest(model: Model, state: State) -> float:
    """What a gauge at the valve reads with nothing on the unit [Pa]."""
    slow = stroke_of(model, state, n=SLOW)
    rests = slow.compression_under(0.0)
    return float(np.asarray(slow.pressures_abs(rests)[POSITIVE])) - float(np.asarray(model.spring.ambient_abs))


def _cycled(spring: Spring, state: State) -> State:
    """The gas after the unit was worked through its equaliser, slowly, and let out again: it parts on the way out."""
    port, travel = spring.ports[0], spring.travel
    if not (port.closes > 0 and port.opens < travel):
        return state
    parted = np.clip(port.opens, 0.0, travel)
    volumes = [spring.chambers[i].at(parted) for i in (POSITIVE, NEGATIVE)]
    gas = state.masses[POSITIVE] + state.masses[NEGATIVE]
    shared = tuple(gas * volume / sum(volumes) for volume in volumes)
    return replace(state, masses=(*shared, *state.masses[FIRST_LEG:]))


def _over_time(
    model: Model, state: State, mistake: Mistake | None, load: float, times: tuple[float, ...]
) -> tuple[Moment, ...]:
    leak = None if mistake is None else _leak(model, mistake)
    if leak is None or not times:
        return ()
    sunk = sink(model.spring, state, [leak], load=load, time=np.array(times, dtype=float))
    ambient = float(np.asarray(model.spring.ambient_abs))
    rows = zip(sunk.time, sunk.compression, sunk.pressures_abs[POSITIVE], strict=True)
    return tuple(Moment(float(t), float(x), float(p) - ambient) for t, x, p in rows)


def _leak(model: Model, mistake: Mistake) -> Leak | None:
    match mistake.kind:
        case MistakeKind.PISTON_SEAL:
            return Leak(POSITIVE, NEGATIVE, mistake.amount)
        case MistakeKind.SEAL_HEAD_SEAL:
            return Leak(NEGATIVE, _spring_leg(model), mistake.amount)
        case MistakeKind.VALVE:
            return Leak(POSITIVE, OUTSIDE, mistake.amount)
        case _:
            return None


def _spring_leg(model: Model) -> int:
    """The leg that the air shaft stands in: the one whose rod is the shaft."""
    shaft = model.sheet.air.shaft.si
    offs = [abs(leg.rod.si - shaft) for leg in model.sheet.legs]
    return FIRST_LEG + int(np.argmin(offs))
