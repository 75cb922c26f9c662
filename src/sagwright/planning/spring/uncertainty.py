"""Standard uncertainty of what the spring is predicted to do: sheet tolerances, gauge, load and friction.

The model of planning is computed with arrays in the place of a sheet's numbers, one element for each small
shift of one of them, so that the numbers and their uncertainties come from one implementation.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass, replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from sagwright.domain import measuring
from sagwright.domain.behaviour import Behaviour
from sagwright.domain.intake import Intake, Surroundings
from sagwright.domain.setup import Charge, Setup
from sagwright.domain.sheet import Sheet
from sagwright.domain.stance import Load
from sagwright.domain.value import Measured, Unknown, Value
from sagwright.errors import OutOfRange
from sagwright.physics.numeric import Real
from sagwright.physics.spring import GasState
from sagwright.physics.uncertainty import Doubtful, Inputs, Result, propagate
from sagwright.planning.spring.air import AIR, state_of
from sagwright.planning.spring.behaviour import SLOW, five_from, readings_under
from sagwright.planning.spring.coil import COIL
from sagwright.planning.spring.model import model_of, stroke_of
from sagwright.planning.spring.parts import SpringModel
from sagwright.planning.spring.valves import MAIN, ROLES, read_at, with_valve_pressures

_Array = NDArray[np.float64]

PUMP_INPUT: Final = "pump bias"
_ADJUSTER: Final = "preload adjuster"
_LOAD: Final = "load"
GAUGE: Final = "gauge"
LEADING: Final = ("chassis", "mechanism", "spring", "legs", "damper", "top_out", "bottom_out", "friction")
"""What of a sheet the spring is computed from."""

_BY_LOAD: Final = ("sag", "sag_fraction", "mid_stroke_support")
"""Behaviours whose uncertainty is unknown where that of the load is."""


def with_uncertainty(
    intake: Intake, known: Sequence[tuple[Setup, Behaviour]], load: Load, *, exponent: float, reading: str
) -> tuple[Behaviour, ...]:
    """The behaviours of some builds with their standard uncertainties.

    Parameters
    ----------
    intake : Intake
    known : sequence of (Setup, Behaviour)
        Builds fully known and charged, each with what it does.
    load : Load
        What depends on it is unknown where its own uncertainty is.
    exponent : float
        Of a stroke.
    reading : str
        Name of the occasion on which their pressures are read: each has a scatter of its own, the pump's
        bias is one.
    """
    columns: dict[Setup, list[float]] = {}
    for alike in _by_setting(setup for setup, _ in known):
        result = propagated(intake, alike, load, exponent=exponent, reading=reading)
        columns |= zip(alike, result.u.reshape(-1, len(alike)).T.tolist(), strict=True)
    unknown = _BY_LOAD if load.force.u is None else ()
    return tuple(
        Behaviour(
            *(
                Measured(getattr(behaviour, name).value, None if name in unknown else u)
                for name, u in zip(Behaviour.__slots__, columns[setup], strict=True)
            )
        )
        for setup, behaviour in known
    )


def _by_setting(setups: Iterable[Setup]) -> Iterator[list[Setup]]:
    """The builds, each once, in groups that differ in volume spacers and pressures only; one without gas by itself."""
    groups: dict[Setup, list[Setup]] = {}
    for setup in dict.fromkeys(setups):
        groups.setdefault(_alike(setup), []).append(setup)
    yield from groups.values()


def _alike(setup: Setup) -> Setup:
    """A build without what the builds of a group differ in."""
    charge = setup.charge
    if isinstance(charge, Unknown):
        return setup
    plain = with_valve_pressures(replace(charge, pressure_gauge=Value(0.0, charge.pressure_gauge.u)), _blanked(charge))
    return replace(setup, volume_spacers=0, charge=plain)


def _blanked(charge: Charge) -> dict[str, Value | None]:
    """What own valves hold, without the numbers."""
    held = {field: getattr(charge, field) for field in ROLES}
    return {field: None if value is None else Value(0.0, value.u) for field, value in held.items()}


def propagated(intake: Intake, setups: Sequence[Setup], load: Load, *, exponent: float, reading: str) -> Result:
    """Behaviours of builds that are computed as one, with all their uncertainty.

    The outputs run behaviour by behaviour, and setup by setup within each.
    """

    def model(cases: Inputs) -> _Array:
        behaviours = behaviours_for(intake, setups, cases, exponent=exponent)
        return np.reshape(np.stack(behaviours), (-1, len(cases[_LOAD])))

    return propagate(model, inputs_of(intake, setups, load, reading=reading))


def inputs_of(intake: Intake, setups: Sequence[Setup], load: Load, *, reading: str) -> dict[str, Doubtful]:
    """All that is not exactly known: the sheet's numbers by their path, the load, and what the gauge is
    off [Pa], or a preload adjuster [m]."""
    return (
        dict(sheet_inputs(intake.sheet))
        | {_LOAD: Doubtful(load.force.value, ((_LOAD, load.force.u or 0.0),))}
        | set_inputs(intake.sheet, setups[0], reading)
    )


def set_inputs(sheet: Sheet, setup: Setup, reading: str) -> dict[str, Doubtful]:
    """What the gauge is off, or how far the preload adjuster may stand from where it was counted."""
    return _INPUTS[sheet.spring.kind](sheet, setup, reading)


def _read_by_gauge(sheet: Sheet, setup: Setup, reading: str) -> dict[str, Doubtful]:
    del sheet
    return gauge_inputs(_charge(setup), reading)


def _counted_in_turns(sheet: Sheet, setup: Setup, reading: str) -> dict[str, Doubtful]:
    del setup
    stack = sheet.coil.stack
    u = measuring.ADJUSTER.u * stack.per_turn.si if stack.range.si else 0.0
    return {_ADJUSTER: Doubtful(0.0, ((f"{_ADJUSTER} {reading}", u),))}


_INPUTS: Final = {"air": _read_by_gauge, "coil": _counted_in_turns}

Shifted = tuple[SpringModel, GasState]


def shifted(sheet: Sheet, setups: Sequence[Setup], cases: Inputs, workshop: Surroundings) -> Shifted:
    """The spring of builds that are alike, for every case of the inputs: arrays (builds, cases)."""
    return _SHIFTED[sheet.spring.kind](sheet, setups, cases, workshop)


def _other_charges(sheet: Sheet, setups: Sequence[Setup], cases: Inputs, workshop: Surroundings) -> Shifted:
    spacers = np.array([[AIR.fit(sheet, setup).volume_spacers] for setup in setups], dtype=float)
    model = model_of(sheet, replace(AIR.fit(sheet, setups[0]), volume_spacers=spacers), workshop)
    charges = [_charge(setup) for setup in setups]
    return model, state_of(model, charges[0], _shifted(charges, cases))


def _otherwise_turned(sheet: Sheet, setups: Sequence[Setup], cases: Inputs, workshop: Surroundings) -> Shifted:
    fit = COIL.fit(sheet, setups[0])
    model = model_of(sheet, replace(fit, coil=fit.coil.further(cases[_ADJUSTER])), workshop)
    return model, COIL.state(model, setups[0])


_SHIFTED: Final = {"air": _other_charges, "coil": _otherwise_turned}


def curve_lines(model: SpringModel, state: GasState, x: Real, *, exponent: float) -> tuple[Real, ...]:
    """Slow force, stroke force, stroke stiffness, pressure at the valve and energy of the stroke at compressions."""
    slow, stroke = stroke_of(model, state, n=SLOW), stroke_of(model, state, n=exponent)
    return (slow.force(x), stroke.force(x), stroke.stiffness(x), stroke.pressures_abs(x)[0], stroke.energy(x))


def curve_uncertainties(sheet: Sheet, setup: Setup, x: _Array, *, exponent: float, workshop: Surroundings) -> _Array:
    """Standard uncertainty of each of `curve_lines`: array (lines, points)."""
    inputs = dict(sheet_inputs(sheet)) | set_inputs(sheet, setup, "found")

    def model(cases: Inputs) -> _Array:
        many, state = shifted(with_numbers(sheet, cases), [setup], cases, workshop)
        lines = curve_lines(many, state, x[:, None], exponent=exponent)
        width = len(next(iter(cases.values())))
        return np.concatenate([np.broadcast_to(line, (len(x), width)) for line in lines])

    return propagate(model, inputs).u.reshape(-1, len(x))


def pressure_from_sag(sag_per_pascal: float) -> float:
    """How far the pressure can be off that a sag read with a rider points at [Pa], from dsag/dp [m/Pa]."""
    return measuring.RING_READING.half_width / abs(sag_per_pascal) if sag_per_pascal else float("inf")


def gauge_u(pressure: Value) -> float:
    """Standard uncertainty of a pressure as read: its own, or that of a digital pump [Pa]."""
    return pressure.u or math.hypot(measuring.PUMP_BIAS.u, measuring.PUMP_SCATTER.u)


def gauge_input(pressure: Value, reading: str) -> Doubtful:
    """What a gauge is off [Pa]: bias and scatter whose squares sum to the reading's; what is better than
    the usual scatter is all scatter."""
    scatter = min(gauge_u(pressure), measuring.PUMP_SCATTER.u)
    bias = np.sqrt(max(0.0, gauge_u(pressure) ** 2 - scatter**2))
    return Doubtful(0.0, ((PUMP_INPUT, float(bias)), (f"scatter {reading}", scatter)))


def gauge_inputs(charge: Charge, reading: str) -> dict[str, Doubtful]:
    """What the gauge is off at each valve that was read; one pump reads them all, so its bias is the same."""
    own = {field: getattr(charge, field) for field in ROLES}
    read = {f"{GAUGE} {field}": gauge_input(value, f"{reading} {field}") for field, value in own.items() if value}
    return {GAUGE: gauge_input(charge.pressure_gauge, reading)} | read


def _shifted(charges: Sequence[Charge], cases: Inputs) -> dict[str, _Array]:
    """What the same valves of some charges read, by field: arrays (charges, cases)."""
    read = [read_at(charge) for charge in charges]
    off = {field: cases[GAUGE if field == MAIN else f"{GAUGE} {field}"] for field in read[0]}
    return {field: np.array([[one[field]] for one in read]) + off[field] for field in off}


def _charge(setup: Setup) -> Charge:
    if isinstance(setup.charge, Unknown):
        raise OutOfRange("must be known to compute the spring", field="as_found.charge")
    return setup.charge


def behaviours_for(intake: Intake, setups: Sequence[Setup], cases: Inputs, *, exponent: float) -> list[_Array]:
    """The six behaviours for every case of the inputs, each an array (setups, cases)."""
    sheet, load = with_numbers(intake.sheet, cases), cases[_LOAD]
    model, state = shifted(sheet, setups, cases, intake.workshop)
    readings = readings_under(model, state, load, exponent=exponent)
    five = five_from(model.sheet, readings, travel=model.spring.travel, load=load)
    return [np.broadcast_to(number, (len(setups), len(load))) for number in (readings.sag, *five.as_tuple())]


def sheet_inputs(sheet: Sheet) -> Iterator[tuple[str, Doubtful]]:
    """Every number of the sheet with a tolerance that the spring is computed from, by its path."""
    for name in LEADING:
        for path, value in _values(getattr(sheet, name), name):
            if value.u:
                yield path, Doubtful(value.si, ((path, value.u),))


def _values(thing: object, path: str) -> Iterator[tuple[str, Value]]:
    if isinstance(thing, Value):
        yield path, thing
    elif isinstance(thing, tuple):
        for place, each in enumerate(thing):
            yield from _values(each, f"{path}.{place}")
    elif is_dataclass(thing):
        for field in fields(thing):
            yield from _values(getattr(thing, field.name), f"{path}.{field.name}")


def with_numbers(sheet: Sheet, numbers: Mapping[str, _Array]) -> Sheet:
    """The sheet with arrays in the place of the numbers at some paths, for the model alone to compute
    with."""
    changed: dict[str, Any] = {name: _swapped(getattr(sheet, name), name, numbers) for name in LEADING}
    return replace(sheet, **changed)


def _swapped(thing: object, path: str, numbers: Mapping[str, _Array]) -> object:
    """A part of a sheet with its numbers exchanged for arrays."""
    part: Any = thing
    if isinstance(thing, Value):
        return replace(part, si=numbers[path], u=None) if path in numbers else thing
    if isinstance(thing, tuple):
        return tuple(_swapped(each, f"{path}.{place}", numbers) for place, each in enumerate(thing))
    if not is_dataclass(thing):
        return thing
    parts = {field.name: getattr(thing, field.name) for field in fields(thing)}
    changed = {name: _swapped(each, f"{path}.{name}", numbers) for name, each in parts.items()}
    return replace(part, **{name: new for name, new in changed.items() if new is not parts[name]})
