"""How the force of a cycled fork answers to its charge: affine, at a fixed exponent."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sagwright.domain.build import Charge
from sagwright.domain.value import Value
from sagwright.errors import NoSolution
from sagwright.physics.gas import R_AIR
from sagwright.physics.numeric import Real
from sagwright.physics.spring import Spring, State, Stroke
from sagwright.planning.model import Model, other_masses, per_pressure
from sagwright.planning.valves import own_valves


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
    """Force of cycled builds as an affine function of the charge: F = pressure_abs · per_pascal + rest.

    A coil answers to its preload [m] as a gas does to its pressure [Pa]; here it stands in the pressure's place.

    Attributes
    ----------
    per_pascal : Stroke or Constant
        Positive and negative chamber with 1 Pa at the valve topped out, in a vacuum; or a coil pressed by a metre.
    rest : Stroke
        Everything else, and the ambient on the air spring left to `offset`.
    offset : float
        Force of the ambient on the air spring [N].
    """

    per_pascal: Stroke | Constant
    rest: Stroke
    offset: float

    def force(self, x: Real) -> tuple[Real, Real]:
        """Per pascal [N/Pa], and the rest [N]."""
        return self.per_pascal.force(x), self.rest.force(x) + self.offset

    def stiffness(self, x: Real) -> tuple[Real, Real]:
        """The same for dF/dx [N/m/Pa, N/m]."""
        return self.per_pascal.stiffness(x), self.rest.stiffness(x)

    def energy(self, x: Real) -> tuple[Real, Real]:
        """The same for the work put in [J/Pa, J]."""
        return self.per_pascal.energy(x), self.rest.energy(x) + self.offset * x


def response_of(model: Model, *, n: float) -> Response:
    """How cycled builds answer to a charge at a fixed exponent; where the equaliser is never passed see `state_of`.

    Raises
    ------
    NoSolution
        If the spring is not affine in one charge, because it has a second valve; see `sagwright.planning.valved`.
    """
    if model.fit.coil is not None:
        return _coil_response(model, n)
    if own_valves(model.sheet):
        raise NoSolution("a fork with a second valve does not answer to one charge alone")
    spring = model.spring
    gas = R_AIR * model.workshop.temperature
    unit = tuple(volume / gas for volume in per_pressure(model, Charge(Value(0.0))))
    air = Spring(spring.chambers[:2], spring.ports, (), spring.travel, 0.0)
    others = Spring(spring.chambers[2:], (), spring.stops, spring.travel, spring.ambient_abs)
    return Response(
        per_pascal=Stroke(air, State(unit, model.workshop.temperature), n=n),
        rest=Stroke(others, State(other_masses(model), model.workshop.temperature), n=n),
        offset=float(spring.ambient_abs * sum(float(np.max(c.slope)) for c in spring.chambers[:2])),
    )


def _coil_response(model: Model, n: float) -> Response:
    """Built of a model whose coils touch their seats and are not pressed topped out."""
    rest = Stroke(model.spring, State(other_masses(model), model.workshop.temperature), n=n)
    return Response(Constant(0.0 if model.fit.coil is None else model.fit.coil.rate), rest, 0.0)
