"""Usual mistakes put into a setup that was right, and how they would show."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np

from sagwright.domain.diagnosis import LeakMoment, Mistake, MistakeKind, Signs
from sagwright.domain.intake import Surroundings
from sagwright.domain.setup import LegState, Setup, StackSetting
from sagwright.domain.sheet import Sheet
from sagwright.domain.value import Unknown, Value
from sagwright.errors import OutOfRange
from sagwright.physics.leak import OUTSIDE, Leak, sink
from sagwright.physics.spring import GasState, Spring
from sagwright.planning.spring.air import state_of
from sagwright.planning.spring.behaviour import END, SLOW, STROKE
from sagwright.planning.spring.model import fit_of, model_of, stroke_of
from sagwright.planning.spring.parts import SpringModel
from sagwright.planning.spring.setups import charge_of

_POSITIVE, NEGATIVE, FIRST_LEG = 0, 1, 2
"""Places of chambers in a fork's spring."""

PORT_NEVER_OPEN: Final = 1e3
"""A compression that nothing reaches [m]."""

DEEP: Final = 0.70
"""Share of travel at which a pressure is read deep in the stroke."""

MistakenSetup = tuple[Sheet, Setup]


@dataclass(frozen=True, slots=True)
class Standing:
    """How a unit stands while it is looked at: the load on it [N], where it is, and when what leaks is looked at,
    rising from 0 [s]."""

    load: float
    workshop: Surroundings = field(default_factory=Surroundings)
    times: tuple[float, ...] = ()


def signs_of(sheet: Sheet, setup: Setup, mistake: Mistake | None, *, standing: Standing) -> Signs:
    """How a setup shows itself with a mistake in it, or with none.

    Parameters
    ----------
    sheet : Sheet
    setup : Setup
        Right, fully known and charged; the charge is what the gauge read topped out after the work.
    mistake : Mistake or None
    standing : Standing

    Raises
    ------
    OutOfRange
        If the mistake cannot be made on this setup, or leaves a spring that cannot exist.
    NoSolution
        If a resting place did not converge.
    """
    load, workshop, times = standing.load, standing.workshop, standing.times
    made_sheet, made = (sheet, setup) if mistake is None else _made(sheet, setup, mistake, workshop)
    charge = charge_of(made)
    if charge is None:
        raise OutOfRange("must be charged to show anything", field="setup")
    model = model_of(made_sheet, fit_of(made_sheet, made), workshop)
    if mistake is not None and mistake.kind is MistakeKind.TRANSFER_PORT_BLOCKED:
        model = _blocked(model)
    state = state_of(model, charge)
    return replace(_signs(model, state, load), over_time=_over_time(model, state, mistake, load, times))


def _made(sheet: Sheet, setup: Setup, mistake: Mistake, workshop: Surroundings) -> MistakenSetup:
    """The sheet and the setup with the mistake in them."""
    make = MAKING.get(mistake.kind)
    if make is None:
        return sheet, setup
    return make(sheet, setup, mistake.amount, workshop)


def _not_cycled(sheet: Sheet, setup: Setup, _: float, __: Surroundings) -> MistakenSetup:
    return sheet, _charged(setup, cycled=False)


def _charged(setup: Setup, *, cycled: bool) -> Setup:
    charge = charge_of(setup)
    return setup if charge is None else replace(setup, charge=replace(charge, cycled=cycled))


def _stack(setup: Setup) -> tuple[StackSetting, int, int]:
    setting = setup.setting
    if not isinstance(setting, StackSetting):
        raise OutOfRange("must have travel spacers for this mistake", field="setup.setting")
    if isinstance(setting.travel_spacers, Unknown) or isinstance(setting.port_position, Unknown):
        raise OutOfRange("must be known for this mistake", field="setup.setting")
    return setting, setting.travel_spacers, setting.port_position


def _hole(by: int) -> Callable[[Sheet, Setup, float, Surroundings], MistakenSetup]:
    def make(sheet: Sheet, setup: Setup, amount: float, _: Surroundings) -> MistakenSetup:
        setting, _spacers, hole = _stack(setup)
        return sheet, replace(setup, setting=replace(setting, port_position=hole + by * round(amount)))

    return make


def _travel_spacers(sheet: Sheet, setup: Setup, amount: float, _: Surroundings) -> MistakenSetup:
    """The transfer port goes to the hole of the right count, since whoever miscounts does not know."""
    setting, spacers, _hole_now = _stack(setup)
    if spacers + round(amount) < 0:
        raise OutOfRange("must leave 0 or more travel spacers", field="amount", value=f"{amount:g}")
    return sheet, replace(setup, setting=replace(setting, travel_spacers=spacers + round(amount)))


def _volume_spacers(sheet: Sheet, setup: Setup, amount: float, _: Surroundings) -> MistakenSetup:
    spacers = setup.volume_spacers
    if isinstance(spacers, Unknown) or spacers + round(amount) < 0:
        raise OutOfRange("must leave 0 or more volume spacers", field="amount", value=f"{amount:g}")
    return sheet, replace(setup, volume_spacers=spacers + round(amount))


def _legs(sheet: Sheet, setup: Setup, change: Callable[[LegState], LegState]) -> MistakenSetup:
    known = {leg.name: leg for leg in setup.legs}
    legs = (known.get(leg.name, LegState(leg.name, leg.lower_leg_oil.si)) for leg in sheet.legs)
    return sheet, replace(setup, legs=tuple(map(change, legs)))


def _closed_in(sheet: Sheet, setup: Setup, amount: float, _: Surroundings) -> MistakenSetup:
    return _legs(sheet, setup, lambda leg: replace(leg, closed_at=amount))


def _closed_cold(sheet: Sheet, setup: Setup, amount: float, workshop: Surroundings) -> MistakenSetup:
    return _legs(sheet, setup, lambda leg: replace(leg, temperature=workshop.temperature - amount))


def _closed_low(sheet: Sheet, setup: Setup, amount: float, workshop: Surroundings) -> MistakenSetup:
    return _legs(sheet, setup, lambda leg: replace(leg, ambient_abs=workshop.ambient_abs + amount))


def _lower_leg_oil(sheet: Sheet, setup: Setup, amount: float, _: Surroundings) -> MistakenSetup:
    return _legs(sheet, setup, lambda leg: replace(leg, lower_leg_oil=leg.lower_leg_oil + amount))


def _chamber_oil(sheet: Sheet, setup: Setup, amount: float, _: Surroundings) -> MistakenSetup:
    oil = sheet.air.positive_oil
    return replace(sheet, spring=replace(sheet.air, positive_oil=Value(oil.si + amount))), setup


MAKING: Final[dict[MistakeKind, Callable[[Sheet, Setup, float, Surroundings], MistakenSetup]]] = {
    MistakeKind.NOT_CYCLED: _not_cycled,
    MistakeKind.TRANSFER_PORT_BEHIND: _hole(-1),
    MistakeKind.TRANSFER_PORT_AHEAD: _hole(+1),
    MistakeKind.TRANSFER_PORT_BLOCKED: _not_cycled,
    MistakeKind.TRAVEL_SPACERS: _travel_spacers,
    MistakeKind.VOLUME_SPACERS: _volume_spacers,
    MistakeKind.CLOSED_IN: _closed_in,
    MistakeKind.CLOSED_COLD: _closed_cold,
    MistakeKind.CLOSED_LOW: _closed_low,
    MistakeKind.LOWER_LEG_OIL: _lower_leg_oil,
    MistakeKind.CHAMBER_OIL: _chamber_oil,
}
"""How each mistake is put into a sheet and a setup; leaks are none of either."""


def _blocked(model: SpringModel) -> SpringModel:
    """The spring with a transfer port that never opens."""
    ports = tuple(replace(port, opens=PORT_NEVER_OPEN, closes=2 * PORT_NEVER_OPEN) for port in model.spring.ports)
    return replace(model, spring=replace(model.spring, ports=ports))


def _signs(model: SpringModel, state: GasState, load: float) -> Signs:
    spring, travel = model.spring, float(np.asarray(model.spring.travel))
    slow, stroke = stroke_of(model, state, n=SLOW), stroke_of(model, state, n=STROKE)
    rests = float(np.asarray(slow.compression_under(0.0)))

    def valve(at: float) -> float:
        return float(np.asarray(slow.pressures_abs(at)[_POSITIVE])) - float(np.asarray(spring.ambient_abs))

    return Signs(
        travel=travel,
        rest_position=rests,
        exposed=travel - rests,
        top_out_force=float(np.asarray(slow.force(model.sheet.top_out.length.si))),
        sag=float(np.asarray(slow.compression_under(load))),
        middle=float(np.asarray(stroke.force(0.5 * travel))),
        end=float(np.asarray(stroke.force(END * travel))),
        valve_gauge=valve(rests),
        cycled_gauge=_valve_at_rest(model, _cycled(spring, state)),
        valve_middle=valve(0.5 * travel),
        valve_deep=valve(DEEP * travel),
    )


def _valve_at_rest(model: SpringModel, state: GasState) -> float:
    """What a gauge at the valve reads with nothing on the unit [Pa]."""
    slow = stroke_of(model, state, n=SLOW)
    rests = slow.compression_under(0.0)
    return float(np.asarray(slow.pressures_abs(rests)[_POSITIVE])) - float(np.asarray(model.spring.ambient_abs))


def _cycled(spring: Spring, state: GasState) -> GasState:
    """The gas after the unit was worked through its transfer port, slowly, and let out again: it parts on the way
    out."""
    port, travel = spring.ports[0], spring.travel
    if not (port.closes > 0 and port.opens < travel):
        return state
    parted = np.clip(port.opens, 0.0, travel)
    volumes = [spring.chambers[i].at(parted) for i in (_POSITIVE, NEGATIVE)]
    gas = state.masses[_POSITIVE] + state.masses[NEGATIVE]
    shared = tuple(gas * volume / sum(volumes) for volume in volumes)
    return replace(state, masses=(*shared, *state.masses[FIRST_LEG:]))


def _over_time(
    model: SpringModel, state: GasState, mistake: Mistake | None, load: float, times: tuple[float, ...]
) -> tuple[LeakMoment, ...]:
    leak = None if mistake is None else _leak(model, mistake)
    if leak is None or not times:
        return ()
    sunk = sink(model.spring, state, [leak], load=load, time=np.array(times, dtype=float))
    ambient = float(np.asarray(model.spring.ambient_abs))
    rows = zip(sunk.time, sunk.compression, sunk.pressures_abs[_POSITIVE], strict=True)
    return tuple(LeakMoment(float(t), float(x), float(p) - ambient) for t, x, p in rows)


def _leak(model: SpringModel, mistake: Mistake) -> Leak | None:
    match mistake.kind:
        case MistakeKind.PISTON_SEAL:
            return Leak(_POSITIVE, NEGATIVE, mistake.amount)
        case MistakeKind.SEAL_HEAD_SEAL:
            return Leak(NEGATIVE, _spring_leg(model), mistake.amount)
        case MistakeKind.VALVE:
            return Leak(_POSITIVE, OUTSIDE, mistake.amount)
        case _:
            return None


def _spring_leg(model: SpringModel) -> int:
    """The leg that the air shaft stands in: the one whose rod is the shaft."""
    shaft = model.sheet.air.shaft.si
    offs = [abs(leg.rod.si - shaft) for leg in model.sheet.legs]
    return FIRST_LEG + int(np.argmin(offs))
