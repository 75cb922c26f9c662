"""The springs of several setups over their travel."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from sagwright.domain.curve import Comparison, CurveQuestion, Loop, SetupCurve
from sagwright.domain.intake import Surroundings
from sagwright.domain.setup import Setup
from sagwright.domain.sheet import Sheet
from sagwright.domain.value import Column, MeasuredColumn
from sagwright.errors import MissingValue, OutOfRange
from sagwright.physics import real_gas, thermal, thermal_piston
from sagwright.physics.numeric import Real, require_within
from sagwright.physics.spring import GasState, Stroke
from sagwright.planning.spring.behaviour import sag_band
from sagwright.planning.spring.model import sprung, stroke_of
from sagwright.planning.spring.parts import SpringModel
from sagwright.planning.spring.uncertainty import curve_uncertainties

_Array = NDArray[np.float64]

SWEEP: Final = (0.02, 0.95)
"""Ends of a to-and-fro stroke, as shares of travel."""

SETTLING: Final = 4
"""Strokes before the one that is shown, at least; more where heat passes slowly."""

MOST_SETTLING: Final = 40
SAMPLES: Final = 400
"""Samples of one to-and-fro stroke."""


def compare(
    sheet: Sheet, setups: Sequence[tuple[str, Setup]], question: CurveQuestion, *, workshop: Surroundings, program: str
) -> Comparison:
    """Curves of setups of one sheet.

    Parameters
    ----------
    sheet : Sheet
    setups : sequence of (str, Setup)
        Each with its label; fully known and charged, right or wrong.
    question : CurveQuestion
    workshop : Surroundings
    program : str
        Name and version of what computes.

    Raises
    ------
    OutOfRange
        If a setup cannot exist, the question is outside its range, or real air outside that of its fit.
    MissingValue
        If a setup has no charge.
    """
    require_within(1.0, 1.4, exponent=question.exponent)
    require_within(2, 10_001, points=question.points)
    curves = tuple(_curve(sheet, label, setup, question, workshop) for label, setup in setups)
    return Comparison(program, sheet, question, workshop.ambient_abs, curves)


def _curve(sheet: Sheet, label: str, setup: Setup, question: CurveQuestion, workshop: Surroundings) -> SetupCurve:
    made = sprung(sheet, setup, workshop)
    if made is None:
        raise MissingValue("must have a pressure", field=label, remedy="Write it, like pressure: 78 psi.")
    model, state = made
    slow, stroke = stroke_of(model, state, n=1.0), stroke_of(model, state, n=question.exponent)
    travel = float(np.asarray(model.spring.travel))
    x = np.linspace(0.0, travel, question.points)
    uncertainty = curve_uncertainties(sheet, setup, x, exponent=question.exponent, workshop=workshop)
    slow_abs, stroke_abs = (_pressures(one, state, x, question) for one in (slow, stroke))
    return SetupCurve(
        label=label,
        setup=setup,
        travel=travel,
        compression=column(x),
        slow_force=MeasuredColumn(column(_force(model, slow_abs, x)), column(uncertainty[0])),
        stroke_force=MeasuredColumn(column(_force(model, stroke_abs, x)), column(uncertainty[1])),
        stiffness=column(stroke.stiffness(x)),
        energy=column(stroke.energy(x)),
        pressures_abs=tuple(
            (chamber.name, column(p)) for chamber, p in zip(model.spring.chambers, stroke_abs, strict=True)
        ),
        legs_force=column(_legs_force(model, stroke_abs, x)),
        legs_force_vented=column(_weeped(model, _rest(model, slow_abs, x, question.load), x, stroke.n)),
        ideal_error=_off(stroke_abs[0], model, question),
        sag=None if question.load is None else sag_band(slow, sheet.friction.sliding.si, question.load),
        loop=None if question.speed is None else _loop(model, state, question),
    )


def column(numbers: Real) -> Column:
    """Numbers of an array, as the domain has them."""
    return tuple(np.asarray(numbers, dtype=float).tolist())


def _pressures(stroke: Stroke, state: GasState, x: _Array, question: CurveQuestion) -> tuple[_Array, ...]:
    """Pressure of each chamber along the stroke, corrected for real air where that was asked and it is
    compressed."""
    ideal = tuple(np.broadcast_to(np.asarray(p, dtype=float), x.shape) for p in stroke.pressures_abs(x))
    if not question.real_air:
        return ideal
    return tuple(p * _real(p, stroke.n, float(np.asarray(state.temperature))) for p in ideal)


def _real(pressure: _Array, n: float, temperature: float) -> _Array:
    """Real over ideal pressure: by how much a chamber's pressure rose since it was least tells its
    compression."""
    least = float(pressure.min())
    ratio = np.maximum(1.0, (pressure / least) ** (1.0 / n))
    return np.asarray(real_gas.correction(least, temperature=temperature, ratio=ratio, n=n), dtype=float)


def _force(model: SpringModel, pressures_abs: Sequence[_Array], x: _Array) -> _Array:
    spring = model.spring
    force = np.zeros_like(x)
    for chamber, pressure in zip(spring.chambers, pressures_abs, strict=True):
        force -= (pressure - spring.ambient_abs) * chamber.slope
    for stop in spring.stops:
        force += np.asarray(stop.push(x)[0])
    return force


def ideal_gas_error(pressure: _Array, *, n: float, temperature: float) -> float | None:
    """How far the ideal gas is off at the end of a chamber's column of pressures; None outside real air's fit."""
    try:
        return float(1.0 / _real(pressure, n, temperature)[-1] - 1.0)
    except OutOfRange:
        return None


def _off(pressure: _Array, model: SpringModel, question: CurveQuestion) -> float | None:
    """0 for real air, None where there is no chamber."""
    if question.real_air or not model.own:
        return 0.0 if question.real_air else None
    return ideal_gas_error(pressure, n=question.exponent, temperature=model.workshop.temperature)


def _rest(model: SpringModel, slow_abs: Sequence[_Array], x: _Array, load: float | None) -> float:
    """Where it rests with the outside air in its legs: the first compression that carries a load [m]."""
    bare = _force(model, slow_abs, x) - _legs_force(model, slow_abs, x)
    carries = np.flatnonzero(bare >= (load or 0.0))
    if load is None or not len(carries) or carries[0] == 0:
        return float(x[-1]) if load is not None and not len(carries) else 0.0
    before, after = carries[0] - 1, carries[0]
    return float(np.interp(load, bare[[before, after]], x[[before, after]]))


def _weeped(model: SpringModel, rest: float, x: _Array, n: float) -> _Array:
    """What the air in the legs pushes with where it is that around at a compression [m], and shut from there on."""
    chambers, ambient = model.spring.chambers[model.legs], model.spring.ambient_abs
    shut = [np.asarray(ambient * (one.at(rest) / one.at(x)) ** n, dtype=float) for one in chambers]
    return -sum(((p - ambient) * one.slope for p, one in zip(shut, chambers, strict=True)), start=np.zeros_like(x))


def _legs_force(model: SpringModel, pressures_abs: Sequence[_Array], x: _Array) -> _Array:
    """What the air in the legs pushes with."""
    force = np.zeros_like(x)
    for chamber, pressure in zip(model.spring.chambers[model.legs], pressures_abs[model.legs], strict=True):
        force -= (pressure - model.spring.ambient_abs) * chamber.slope
    return force


def _loop(model: SpringModel, state: GasState, question: CurveQuestion) -> Loop:
    """The last of several to-and-fro strokes, by when the gas has settled into them."""
    speed, tau = question.speed or 0.0, question.time_constant
    require_within(1e-4, 20.0, speed=speed)
    travel = float(np.asarray(model.spring.travel))
    low, high = (share * travel for share in SWEEP)
    period = np.pi * (high - low) / speed
    settling = int(np.clip(np.ceil(5.0 * tau / period), SETTLING, MOST_SETTLING))
    time = np.linspace(0.0, (settling + 1) * period, SAMPLES * (settling + 1) + 1)
    x = 0.5 * (low + high) - 0.5 * (high - low) * np.cos(2.0 * np.pi * time / period)
    trace = _followed(model, state, time, x, tau)
    last = trace.time >= settling * period * (1.0 - 1e-12)
    lost = float(np.trapezoid(trace.force[last], trace.compression[last]))
    return Loop(column(trace.compression[last]), column(trace.force[last]), lost, float(period))


def _followed(model: SpringModel, state: GasState, time: _Array, x: _Array, tau: float) -> thermal.Trace:
    """A motion with heat passing into the walls, and a floating piston where there is one."""
    if model.piston is None:
        return thermal.stroke(model.spring, state, time=time, compression=x, tau=tau)
    piston = thermal_piston.Piston(front=0, behind=model.piston)
    charged = thermal_piston.Charged(model.spring, state, piston)
    return thermal_piston.piston_stroke(charged, time=time, compression=x, tau=tau)
