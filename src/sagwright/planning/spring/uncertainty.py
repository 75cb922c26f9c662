"""Standard uncertainty of what the spring is predicted to do: sheet tolerances, gauge, load and friction.

The model of planning is computed with arrays in the place of a sheet's numbers, one element for each small
shift of one of them, so that the numbers and their uncertainties come from one implementation.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass, replace
from typing import Any, Final, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

from sagwright.domain.behaviour import Behaviour, BehaviourU
from sagwright.domain.intake import Intake, Surroundings
from sagwright.domain.setup import Charge, Setup
from sagwright.domain.sheet import Sheet
from sagwright.domain.stance import Load
from sagwright.domain.value import Value
from sagwright.physics.numeric import Real
from sagwright.physics.spring import GasState
from sagwright.physics.uncertainty import Doubtful, Inputs, Result, propagate
from sagwright.planning.spring.air import state_of
from sagwright.planning.spring.behaviour import SLOW, five_from, readings_under
from sagwright.planning.spring.model import fit_of, model_of, sprung, stroke_of
from sagwright.planning.spring.parts import SpringModel
from sagwright.planning.spring.valves import ROLES, with_valve_pressures

_Array = NDArray[np.float64]
_T = TypeVar("_T")

PSI_PA: Final = 6894.757293168
"""Pascals in a psi, for the two figures below."""

PUMP_BIAS: Final = 1.5 * PSI_PA / np.sqrt(3.0)
"""Bias of a digital pump, ±1.5 psi rectangular, the same in every reading of one pump [Pa]: common
practice, no source."""

PUMP_SCATTER: Final = 1.0 * PSI_PA / np.sqrt(3.0)
"""How well it repeats, ±1 psi rectangular, new in every reading [Pa]: common practice, no source."""

SAG_READING: Final = 0.0045
"""How far a sag read with a rider can be off, all told [m]: 4 to 5 mm, common practice, no source."""

ADJUSTER_READS: Final = 0.25
"""How far a preload adjuster may stand from where it was counted, in turns, rectangular: common practice, no source."""

PUMP_INPUT: Final = "pump bias"
_ADJUSTER: Final = "preload adjuster"
_LOAD: Final = "load"
GAUGE: Final = "gauge"
LEADING: Final = ("chassis", "mechanism", "spring", "legs", "damper", "top_out", "bottom_out", "friction")
"""What of a sheet the spring is computed from."""


def behaviour_uncertainties(
    intake: Intake, setups: Sequence[Setup], load: Load, *, exponent: float, reading: str
) -> tuple[BehaviourU, ...]:
    """Standard uncertainty of each behaviour of some setups.

    Parameters
    ----------
    intake : Intake
    setups : sequence of Setup
        Fully known and charged.
    load : Load
        What depends on it is unknown where its own uncertainty is.
    exponent : float
        Of a stroke.
    reading : str
        Name of the occasion on which their pressures are read: each has a scatter of its own, the pump's
        bias is one.
    """
    found: dict[Setup, BehaviourU] = {}
    for alike in _by_setting(setups):
        result = propagated(intake, alike, load, exponent=exponent, reading=reading)
        table = result.u.reshape(len(Behaviour.__slots__), len(alike))
        rows = (_behaviour_u(column, load_known=load.u is not None) for column in table.T)
        found |= zip(alike, rows, strict=True)
    return tuple(found[setup] for setup in setups)


def _by_setting(setups: Sequence[Setup]) -> Iterator[list[Setup]]:
    """The setups in groups that differ in volume spacers and pressure only; a coil setup by itself."""
    groups: dict[object, list[Setup]] = {}
    for setup in setups:
        if setup.fitting is not None:
            groups.setdefault(setup, [setup])
            continue
        charge = _charge(setup)
        alike = with_valve_pressures(
            replace(charge, pressure_gauge=Value(0.0, charge.pressure_gauge.u)), _blanked(charge)
        )
        groups.setdefault((setup.chassis, setup.setting, setup.legs, alike), []).append(setup)
    yield from groups.values()


def _blanked(charge: Charge) -> dict[str, Value | None]:
    """What own valves hold, without the numbers."""
    held = {field: getattr(charge, field) for field in ROLES}
    return {field: None if value is None else Value(0.0, value.u) for field, value in held.items()}


def propagated(intake: Intake, setups: Sequence[Setup], load: Load, *, exponent: float, reading: str) -> Result:
    """Behaviours of setups that differ in volume spacers and pressure only, with all their uncertainties.

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
        | {_LOAD: Doubtful(load.force, ((_LOAD, load.u or 0.0),))}
        | set_inputs(intake.sheet, setups[0], reading)
    )


def set_inputs(sheet: Sheet, setup: Setup, reading: str) -> dict[str, Doubtful]:
    """What the gauge is off, or how far the preload adjuster may stand from where it was read."""
    if sheet.coil is None:
        return gauge_inputs(_charge(setup), reading)
    u = ADJUSTER_READS * sheet.coil.stack.per_turn.si / np.sqrt(3.0) if sheet.coil.stack.range.si else 0.0
    return {_ADJUSTER: Doubtful(0.0, ((f"{_ADJUSTER} {reading}", float(u)),))}


def shifted(sheet: Sheet, setup: Setup, cases: Inputs, workshop: Surroundings) -> tuple[SpringModel, GasState]:
    """The spring of one setup for every case of the inputs."""
    fitting = setup.fitting
    if fitting is not None:
        turned = replace(fitting, adjuster=cast(float, cast(float, fitting.adjuster) + cases[_ADJUSTER]))
        return cast("tuple[SpringModel, GasState]", sprung(sheet, replace(setup, fitting=turned), workshop))
    charge = _charge(setup)
    many = model_of(sheet, fit_of(sheet, setup), workshop)
    return many, state_of(many, _shifted(charge, [charge], cases))


def curve_lines(model: SpringModel, state: GasState, x: Real, *, exponent: float) -> tuple[Real, ...]:
    """Slow force, stroke force, stroke stiffness, pressure at the valve and energy of the stroke at compressions."""
    slow, stroke = stroke_of(model, state, n=SLOW), stroke_of(model, state, n=exponent)
    return (slow.force(x), stroke.force(x), stroke.stiffness(x), stroke.pressures_abs(x)[0], stroke.energy(x))


def curve_uncertainties(sheet: Sheet, setup: Setup, x: _Array, *, exponent: float, workshop: Surroundings) -> _Array:
    """Standard uncertainty of each of `curve_lines`: array (lines, points)."""
    inputs = dict(sheet_inputs(sheet)) | set_inputs(sheet, setup, "found")

    def model(cases: Inputs) -> _Array:
        many, state = shifted(with_numbers(sheet, cases), setup, cases, workshop)
        lines = curve_lines(many, state, x[:, None], exponent=exponent)
        width = len(next(iter(cases.values())))
        return np.concatenate([np.broadcast_to(line, (len(x), width)) for line in lines])

    return propagate(model, inputs).u.reshape(-1, len(x))


def pressure_from_sag(sag_per_pascal: float) -> float:
    """How far the pressure can be off that a sag read with a rider points at [Pa], from dsag/dp [m/Pa]."""
    return float(SAG_READING / abs(sag_per_pascal)) if sag_per_pascal else float("inf")


def gauge_u(pressure: Value) -> float:
    """Standard uncertainty of a pressure as read: its own, or that of a digital pump [Pa]."""
    return pressure.u if pressure.u else float(np.hypot(PUMP_BIAS, PUMP_SCATTER))


def gauge_input(pressure: Value, reading: str) -> Doubtful:
    """What a gauge is off [Pa]: bias and scatter whose squares sum to the reading's; what is better than
    the usual scatter is all scatter."""
    scatter = min(gauge_u(pressure), float(PUMP_SCATTER))
    bias = np.sqrt(max(0.0, gauge_u(pressure) ** 2 - scatter**2))
    return Doubtful(0.0, ((PUMP_INPUT, float(bias)), (f"scatter {reading}", scatter)))


def gauge_inputs(charge: Charge, reading: str) -> dict[str, Doubtful]:
    """What the gauge is off at each valve that was read; one pump reads them all, so its bias is the same."""
    own = {field: getattr(charge, field) for field in ROLES}
    read = {f"{GAUGE} {field}": gauge_input(value, f"{reading} {field}") for field, value in own.items() if value}
    return {GAUGE: gauge_input(charge.pressure_gauge, reading)} | read


def _shifted(like: Charge, charges: Sequence[Charge], cases: Inputs) -> Charge:
    """Charges that differ in what their valves read, as one: arrays (charges, cases)."""
    main = np.array([[charge.pressure_gauge.si] for charge in charges])
    own = {
        field: _value(np.array([[getattr(charge, field).si] for charge in charges]) + cases[f"{GAUGE} {field}"])
        for field in ROLES
        if getattr(like, field) is not None
    }
    return with_valve_pressures(replace(like, pressure_gauge=_value(main + cases[GAUGE])), own)


def _charge(setup: Setup) -> Charge:
    return cast(Charge, setup.charge)


def behaviours_for(intake: Intake, setups: Sequence[Setup], cases: Inputs, *, exponent: float) -> list[_Array]:
    """The six behaviours for every case of the inputs, each an array (setups, cases)."""
    sheet = with_numbers(intake.sheet, cases)
    first, load = setups[0], cases[_LOAD]
    if first.fitting is not None:
        return _behaviours(*shifted(sheet, first, cases, intake.workshop), load, (1, len(load)), exponent)
    spacers = np.array([[float(cast(int, setup.volume_spacers))] for setup in setups])
    charge = _shifted(_charge(first), [_charge(setup) for setup in setups], cases)
    model = model_of(sheet, replace(fit_of(sheet, first), volume_spacers=spacers), intake.workshop)
    return _behaviours(model, state_of(model, charge), load, (len(setups), len(load)), exponent)


def _behaviours(
    model: SpringModel, state: GasState, load: _Array, shape: tuple[int, int], exponent: float
) -> list[_Array]:
    readings = readings_under(model, state, load, exponent=exponent)
    five = five_from(model.sheet, readings, travel=model.spring.travel, load=load)
    return [np.broadcast_to(number, shape) for number in (readings.sag, *five.as_tuple())]


def _behaviour_u(column: _Array, *, load_known: bool) -> BehaviourU:
    numbers: list[float | None] = [float(number) for number in column]
    if not load_known:
        numbers = [None if name in {"sag", "sag_fraction", "mid_stroke_support"} else u for name, u in _named(numbers)]
    return BehaviourU(*numbers)


def _named(numbers: Sequence[float | None]) -> Iterator[tuple[str, float | None]]:
    return zip(Behaviour.__slots__, numbers, strict=True)


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
    return replace(sheet, **{name: _swapped(getattr(sheet, name), name, numbers) for name in LEADING})


def _swapped(thing: _T, path: str, numbers: Mapping[str, _Array]) -> _T:
    swapped: Any = thing
    if isinstance(thing, Value):
        swapped = _value(numbers[path]) if path in numbers else thing
    elif isinstance(thing, tuple):
        swapped = tuple(_swapped(each, f"{path}.{place}", numbers) for place, each in enumerate(thing))
    elif is_dataclass(thing) and not isinstance(thing, type):
        parts = {field.name: getattr(thing, field.name) for field in fields(thing)}
        changed = {name: _swapped(part, f"{path}.{name}", numbers) for name, part in parts.items()}
        swapped = replace(thing, **{name: new for name, new in changed.items() if new is not parts[name]})
    return cast(_T, swapped)


def _value(number: _Array) -> Value:
    return Value(cast(float, number))
