"""Setups with a second valve, asked at any pressure of the main one.

Where a floating piston lets go depends on both charges, so nothing here is affine: every answer is computed from the
springs themselves, and derivatives are differences. Each setup stands once for every choice of its own valves, or
with the charges that belong to the main one; so both pressures are chosen, the main one nearest to the aim for each
choice of the others.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Final

import numpy as np
from numpy.typing import NDArray

from sagwright.domain.intake import Surroundings
from sagwright.domain.setup import Charge, Setup
from sagwright.domain.sheet import Sheet
from sagwright.domain.value import Value
from sagwright.physics.numeric import Real, increasing_root
from sagwright.physics.spring import ROOT_TOLERANCE, GasState, Stroke
from sagwright.planning.matching.solver import PRESSURE_TOLERANCE
from sagwright.planning.spring.air import state_of
from sagwright.planning.spring.behaviour import SLOW, Five, Readings, five_from, readings_under
from sagwright.planning.spring.model import model_of, side_by_side, stroke_of
from sagwright.planning.spring.parts import SpringModel
from sagwright.planning.spring.valves import MAIN, ChamberValve, own_valves_of

_STEP: Final = 500.0
"""Half of the difference by which slopes are taken [Pa]."""

_Given = Mapping[str, float]
"""Charges of own valves that are pinned, by field, gauge [Pa]."""

Row = tuple[Setup, dict[str, float | None]]
"""A setup, and what each own valve holds beside it: a pressure, or None where it follows the main one."""


def two_valve_rows(sheet: Sheet, setups: Sequence[Setup], given: _Given) -> list[Row]:
    """Every setup with every choice of its own valves."""
    valves = own_valves_of(sheet)
    combined = list(product(*(_choices(own, given) for own in valves)))
    names = [own.field for own in valves]
    return [(setup, dict(zip(names, chosen, strict=True))) for setup in setups for chosen in combined]


def _choices(own: ChamberValve, given: _Given) -> tuple[float | None, ...]:
    if own.field in given:
        return (given[own.field],)
    if own.valve.follows:
        return (None,)
    return own.valve.choices or (own.usual.si,)


@dataclass(frozen=True, slots=True)
class Valved:
    """Rows as one array; the questions are those of `sagwright.planning.matching.solver.Reachable`.

    Attributes
    ----------
    model : SpringModel
    load : float
        [N]
    exponent : float
        Of a stroke.
    own : tuple of (ChamberValve, array or None)
        What each own valve holds, one element a row, gauge [Pa]; None where it follows the main one.
    """

    model: SpringModel
    load: float
    exponent: float
    own: tuple[tuple[ChamberValve, NDArray[np.float64] | None], ...]

    def own_gauges(self, pressure_abs: Real) -> Iterator[tuple[str, Real]]:
        """What each own valve holds beside a charge of the main one, by field, gauge [Pa]."""
        for own, held in self.own:
            beside = own.charge_for_main(pressure_abs - self.model.workshop.ambient_abs) if held is None else held
            yield own.field, np.broadcast_to(beside, np.shape(pressure_abs))

    def state(self, pressure_abs: Real) -> GasState:
        """The gas with all valves charged, topped out, in the workshop."""
        workshop = self.model.workshop
        charge = Charge(Value(0.0), 0.0, workshop.temperature, workshop.ambient_abs)
        gauges = {MAIN: pressure_abs - workshop.ambient_abs, **dict(self.own_gauges(pressure_abs))}
        return state_of(self.model, charge, gauges)

    def readings(self, pressure_abs: Real, *, start: Real | None = None, tolerance: float = ROOT_TOLERANCE) -> Readings:
        """Readings at a charge; a sag is always solved from the middle, to the finest tolerance."""
        del start, tolerance
        state = self.state(pressure_abs)
        return readings_under(self.model, state, self.load, exponent=self.exponent)

    def five(self, pressure_abs: Real, readings: Readings) -> Five:
        """Behaviours from readings."""
        del pressure_abs
        return five_from(self.model.sheet, readings, travel=self.model.spring.travel, load=self.load)

    def slopes(self, pressure_abs: Real, readings: Readings) -> tuple[Real, ...]:
        """Derivative of each behaviour by the charge, by differences of ±500 Pa."""
        del readings
        low, high = (
            self.five(p, self.readings(p)).as_tuple() for p in (np.asarray(pressure_abs) - _STEP, pressure_abs + _STEP)
        )
        return tuple((above - below) / (2.0 * _STEP) for below, above in zip(low, high, strict=True))

    def setpoint_for_sag(self, sag: Real, limits_abs: tuple[Real, Real]) -> Real:
        """Between the limits, by a root; at a limit where it takes less or more [Pa]."""
        return self._meeting(lambda slow, _: slow.force(sag), self.load, limits_abs)

    def setpoint_for_capacity(self, capacity: float, limits_abs: tuple[Real, Real]) -> Real:
        """The pressure that gives a capacity [J]; between the limits, by a root, or at a limit [Pa]."""
        travel = self.model.spring.travel
        return self._meeting(lambda _, stroke: stroke.energy(travel), capacity, limits_abs)

    def _meeting(self, of: Callable[[Stroke, Stroke], Real], wanted: float, limits_abs: tuple[Real, Real]) -> Real:
        """The charge at which something that rises with it is as wanted."""

        def value(pressure_abs: Real) -> Real:
            state = self.state(pressure_abs)
            return of(*(stroke_of(self.model, state, n=n) for n in (SLOW, self.exponent))) - wanted

        def residual(pressure_abs: Real) -> tuple[Real, Real]:
            low, high = value(np.asarray(pressure_abs) - _STEP), value(pressure_abs + _STEP)
            return 0.5 * (low + high), (high - low) / (2.0 * _STEP)

        shape = np.shape(self.model.spring.travel)
        low, high = (np.broadcast_to(limit, shape) for limit in limits_abs)
        return increasing_root(residual, low, high, start=0.5 * (low + high), tolerance=PRESSURE_TOLERANCE)


def valved_of(sheet: Sheet, rows: Sequence[Row], load: float, *, workshop: Surroundings, exponent: float) -> Valved:
    """Rows of one chassis as one array; the setups' own charges are not looked at.

    Raises
    ------
    OutOfRange
        If a setup cannot exist.
    """
    model = model_of(sheet, side_by_side(sheet, [setup for setup, _ in rows]), workshop)
    own = []
    for valve in own_valves_of(sheet):
        held = [chosen[valve.field] for _, chosen in rows]
        own.append((valve, None if None in held else np.array(held, dtype=float)))
    return Valved(model, load, exponent, tuple(own))
