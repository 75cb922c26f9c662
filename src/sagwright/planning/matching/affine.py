"""Springs side by side whose force is affine in their setpoint, at a fixed exponent: a cycled charge, or a preload.

So each setup is a handful of coefficients, the setpoint for a sag or a capacity is closed form, and only the sag needs
a root. The setpoint is the absolute pressure at the valve [Pa], or the preload of a coil [m]; "per unit" is per pascal
or per metre of it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from sagwright.domain.intake import Surroundings
from sagwright.domain.setup import Charge, Setup
from sagwright.domain.sheet import Sheet
from sagwright.domain.value import Value
from sagwright.errors import NoSolution
from sagwright.physics.gas import R_AIR
from sagwright.physics.numeric import Real, increasing_root
from sagwright.physics.spring import ROOT_TOLERANCE, GasState, Spring, Stroke
from sagwright.planning.spring.air import per_pressure
from sagwright.planning.spring.behaviour import END, SLOW, Five, Readings, five_from
from sagwright.planning.spring.model import model_of, side_by_side
from sagwright.planning.spring.parts import SpringModel, other_masses
from sagwright.planning.spring.valves import own_valves_of

Affine = tuple[Real, Real]


@dataclass(frozen=True, slots=True)
class Constant:
    """What a metre of preload adds to the force of a coil [N/m]: the same all over the travel, as an affine part."""

    rate: Real

    def force(self, x: Real) -> Real:
        """[N/m]"""
        return self.rate + 0.0 * x

    def stiffness(self, x: Real) -> Real:
        """None [N/m²]."""
        return 0.0 * (self.rate + x)

    def force_and_stiffness(self, x: Real) -> tuple[Real, Real]:
        """Both at once."""
        return self.force(x), self.stiffness(x)

    def energy(self, x: Real) -> Real:
        """[J/m]"""
        return self.rate * x


@dataclass(frozen=True, slots=True)
class Response:
    """Force of builds as an affine function of the setpoint: F = setpoint · per_unit + rest.

    Attributes
    ----------
    per_unit : Stroke or Constant
        Positive and negative chamber with 1 Pa at the valve topped out, in a vacuum; or a coil pressed by a metre.
    rest : Stroke
        Everything else, and the ambient on the air spring left to `offset`.
    offset : float
        Force of the ambient on the air spring [N].
    """

    per_unit: Stroke | Constant
    rest: Stroke
    offset: float

    def force(self, x: Real) -> tuple[Real, Real]:
        """The force at a compression [m]: its part per unit of the setpoint [N/Pa or N/m], and the rest [N]."""
        return self.per_unit.force(x), self.rest.force(x) + self.offset

    def stiffness(self, x: Real) -> tuple[Real, Real]:
        """The stiffness dF/dx at a compression [m]: per unit of the setpoint [N/m per unit], and the rest [N/m]."""
        return self.per_unit.stiffness(x), self.rest.stiffness(x)

    def energy(self, x: Real) -> tuple[Real, Real]:
        """The energy put in up to a compression [m]: per unit of the setpoint [J per unit], and the rest [J]."""
        return self.per_unit.energy(x), self.rest.energy(x) + self.offset * x


def response_of(model: SpringModel, n: float) -> Response:
    """How cycled builds of an air spring answer to a charge at a fixed exponent.

    Where the transfer port is never passed see `state_of`.

    Raises
    ------
    NoSolution
        If the spring is not affine in one charge, because it has a second valve; see `two_valve`.
    """
    if own_valves_of(model.sheet):
        raise NoSolution("a fork with a second valve does not answer to one charge alone")
    spring = model.spring
    gas = R_AIR * model.workshop.temperature
    unit = tuple(volume / gas for volume in per_pressure(model, Charge(Value(0.0))))
    air = Spring(spring.chambers[:2], spring.ports, (), spring.travel, 0.0)
    others = Spring(spring.chambers[2:], (), spring.stops, spring.travel, spring.ambient_abs)
    return Response(
        per_unit=Stroke(air, GasState(unit, model.workshop.temperature), n=n),
        rest=Stroke(others, GasState(other_masses(model), model.workshop.temperature), n=n),
        offset=float(spring.ambient_abs * sum(float(np.max(c.slope)) for c in spring.chambers[:2])),
    )


Respond = Callable[[SpringModel, float], Response]


@dataclass(frozen=True, slots=True)
class ReachableSetups:
    """Builds of one chassis under one load, ready to be asked at any setpoint.

    Attributes
    ----------
    model : SpringModel
    load : float
        [N]
    slow : Response
    off_top, middle, end, capacity : (float or array, float or array)
        Each reading per unit of the setpoint, and the rest of it.
    """

    model: SpringModel
    load: float
    slow: Response
    off_top: Affine
    middle: Affine
    end: Affine
    capacity: Affine

    def readings(self, setpoint: Real, *, start: Real | None = None, tolerance: float = ROOT_TOLERANCE) -> Readings:
        """Readings at a setpoint; the sag from a first guess, to a tolerance [m]."""
        off_top, middle, end, capacity = (
            setpoint * per_unit + rest for per_unit, rest in (self.off_top, self.middle, self.end, self.capacity)
        )
        return Readings(self._sag(setpoint, start, tolerance), off_top, middle, end, capacity)

    def five(self, setpoint: Real, readings: Readings) -> Five:
        """Behaviours from readings; slopes with `slopes`."""
        return five_from(self.model.sheet, readings, travel=self.model.spring.travel, load=self.load)

    def slopes(self, setpoint: Real, readings: Readings) -> tuple[Real, ...]:
        """Derivative of each behaviour by the setpoint, in the order of the five [1, N, 1, 1, J, each per unit]."""
        travel = self.model.spring.travel
        per_unit, rest = self.slow.stiffness(readings.sag)
        moving = (readings.sag > 0) & (readings.sag < travel)
        sag = np.where(moving, -self.slow.per_unit.force(readings.sag) / (setpoint * per_unit + rest), 0.0)
        ramp_up = (self.end[0] - readings.end / readings.middle * self.middle[0]) / readings.middle
        breakaway = np.where(readings.off_top > 0, self.off_top[0], 0.0)
        return sag / travel, breakaway, self.middle[0] / self.load, ramp_up, self.capacity[0]

    def setpoint_for_sag(self, sag: Real, limits: tuple[Real, Real]) -> Real:
        """In closed form [Pa or m]; the limits are not needed.

        Near full extension more charge can pull a spring in; a sag there has no setpoint, and the answer is infinite.
        """
        del limits
        per_unit, rest = self.slow.force(sag)
        with np.errstate(divide="ignore"):
            return np.where(per_unit > 0, (self.load - rest) / np.maximum(per_unit, 0.0), np.inf)

    def setpoint_for_capacity(self, capacity: float, limits: tuple[Real, Real]) -> Real:
        """In closed form [Pa or m]; the limits are not needed."""
        del limits
        per_unit, rest = self.capacity
        return np.asarray((capacity - rest) / per_unit)

    def _sag(self, setpoint: Real, start: Real | None, tolerance: float) -> Real:
        """Compression under the load; the transfer port of a cycled spring makes no jump, so one bracket serves."""
        travel = self.model.spring.travel

        def residual(x: Real) -> tuple[Real, Real]:
            per_unit, stiffness = self.slow.per_unit.force_and_stiffness(x)
            rest, rest_stiffness = self.slow.rest.force_and_stiffness(x)
            force = setpoint * per_unit + rest + self.slow.offset
            return force - self.load, setpoint * stiffness + rest_stiffness

        shape = np.broadcast_shapes(np.shape(setpoint), np.shape(travel))
        high = np.broadcast_to(travel, shape)
        guess = 0.2 * high if start is None else start
        return increasing_root(residual, np.zeros(shape), high, start=guess, tolerance=tolerance)


def reachable_setups_of(
    sheet: Sheet,
    setups: Sequence[Setup],
    load: float,
    *,
    workshop: Surroundings,
    exponent: float,
    respond: Respond = response_of,
) -> ReachableSetups:
    """Setups of one chassis as one array; their own charges are not looked at.

    `respond` says how the springs answer to what is set, at an exponent.

    Raises
    ------
    OutOfRange
        If a setup cannot exist.
    """
    model = model_of(sheet, side_by_side(sheet, setups), workshop)
    slow, stroke = respond(model, SLOW), respond(model, exponent)
    travel = model.spring.travel
    return ReachableSetups(
        model=model,
        load=load,
        slow=slow,
        off_top=slow.force(sheet.top_out.length.si),
        middle=stroke.force(0.5 * travel),
        end=stroke.force(END * travel),
        capacity=stroke.energy(travel),
    )
