r"""Stops at the ends of a travel: a bumper of constant rate, or a stack of disc springs.

Each is a law F = dE/dx from where it starts; its force, stiffness and work come from one formula. A disc spring gives

.. math:: F = \frac{4E}{1-\nu^2} \frac{t^4}{K_1 D_e^2} \frac{s}{t}
          \left[\left(\frac{h_0}{t} - \frac{s}{t}\right)\left(\frac{h_0}{t} - \frac{s}{2t}\right) +
          1\right], \qquad K_1 = \frac{1}{\pi} \frac{((\delta-1)/\delta)^2}{(\delta+1)/(\delta-1) -
          2/\ln\delta}, \quad \delta = D_e/D_i

References
----------
Disc springs after [almen-laszlo], without ground contact faces.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sagwright.errors import OutOfRange
from sagwright.physics.numeric import Real, positive, require_within

STEEL_E = 206e9
"""Elastic modulus of spring steel in DIN 2092 [Pa]."""

STEEL_NU = 0.3
"""Its Poisson ratio there."""


@dataclass(frozen=True, slots=True)
class Disc:
    """One conical disc.

    Attributes
    ----------
    outside, inside : float or array
        Diameters De and Di [m].
    thickness, cone : float or array
        t, and the height h0 by which it can be pressed until flat [m].
    """

    outside: Real
    inside: Real
    thickness: Real
    cone: Real
    elastic_modulus: Real = STEEL_E
    poisson: Real = STEEL_NU


@dataclass(frozen=True, slots=True)
class Stack:
    """`series` packets on end, each of `parallel` discs nested the same way; friction between them left
    out."""

    disc: Disc
    series: int = 1
    parallel: int = 1

    @property
    def stroke(self) -> Real:
        """Until flat [m]."""
        return self.disc.cone * self.series


def k1(ratio: Real) -> Real:
    """The factor K1 of a diameter ratio De/Di > 1."""
    positive(ratio=np.asarray(ratio) - 1.0)
    shrunk = ((ratio - 1.0) / ratio) ** 2
    return shrunk / (np.pi * ((ratio + 1.0) / (ratio - 1.0) - 2.0 / np.log(ratio)))


def force(disc: Disc, deflection: Real) -> Real:
    """Force of one disc [N] pressed by a deflection [m]: to h0 it is flat, from there to 2 h0 it turns
    inside out.

    Raises
    ------
    OutOfRange
        If a size is not above 0, Di is not below De, or the deflection is outside 0 to 2 h0.
    """
    _check(disc, deflection)
    s, h = deflection / disc.thickness, disc.cone / disc.thickness
    return _scale(disc) * s * ((h - s) * (h - s / 2.0) + 1.0)


def disc_rate(disc: Disc, deflection: Real) -> Real:
    """dF/ds of one disc [N/m]; negative where it snaps through; arguments and errors as `force`."""
    _check(disc, deflection)
    s, h = deflection / disc.thickness, disc.cone / disc.thickness
    return _scale(disc) / disc.thickness * (h**2 - 3.0 * h * s + 1.5 * s**2 + 1.0)


def stack_force(stack: Stack, deflection: Real) -> Real:
    """Force of a stack [N] pressed by 0 to its stroke [m]; errors as `force`."""
    require_within(1.0, 100.0, series=stack.series, parallel=stack.parallel)
    require_within(0.0, 1.0, **{"deflection over stroke": deflection / stack.stroke})
    return stack.parallel * force(stack.disc, deflection / stack.series)


def stack_rate(stack: Stack, deflection: Real) -> Real:
    """dF/ds of a stack [N/m]; arguments and errors as `stack_force`."""
    return stack.parallel * disc_rate(stack.disc, deflection / stack.series) / stack.series


def stack_energy(stack: Stack, deflection: Real) -> Real:
    """Work that presses a stack by a deflection [J]; arguments and errors as `stack_force`."""
    each = deflection / stack.series
    _check(stack.disc, each)
    s, h = each / stack.disc.thickness, stack.disc.cone / stack.disc.thickness
    polynomial: Real = s**2 * ((h**2 + 1.0) / 2.0 - h * s / 2.0 + s**2 / 8.0)
    return stack.series * stack.parallel * _scale(stack.disc) * stack.disc.thickness * polynomial


def solid_rate(stack: Stack) -> Real:
    """Rate of a stack once it is flat: a ring of solid material, E·A over its height [N/m]."""
    one = stack.disc
    area: Real = np.pi / 4.0 * (np.asarray(one.outside) ** 2 - np.asarray(one.inside) ** 2)
    return one.elastic_modulus * area / (stack.series * stack.parallel * one.thickness)


def mean_rate(stack: Stack) -> Real:
    """Rate of the straight line through a stack's force at three quarters of its stroke [N/m].

    What a bumper of constant rate should be given: DIN 2093 states its discs at s = 0.75 h0, and beyond it
    the discs roll on each other and stiffen above the formula.
    """
    travel = 0.75 * stack.stroke
    return stack_force(stack, travel) / travel


def _scale(disc: Disc) -> Real:
    plane = 4.0 * disc.elastic_modulus / (1.0 - disc.poisson**2)
    return plane * disc.thickness**4 / (k1(disc.outside / disc.inside) * disc.outside**2)


def _check(disc: Disc, deflection: Real) -> None:
    positive(outside=disc.outside, inside=disc.inside, thickness=disc.thickness, cone=disc.cone)
    if not np.all(np.asarray(disc.inside) < disc.outside):
        raise OutOfRange("must be smaller than the outside", field="inside", value=str(disc.inside))
    require_within(0.0, 2.0, **{"deflection over h0": deflection / disc.cone})


@dataclass(frozen=True, slots=True)
class LinearBumper:
    """A bumper that pushes back with `disc_rate` [N/m] beyond `starts` [m]; sense +1 against compressing, −1
    extending."""

    starts: Real
    rate: Real
    sense: int

    def depth(self, x: Real) -> Real:
        """How far it is squeezed [m]."""
        return np.maximum(0.0, self.sense * (x - self.starts))

    def push(self, x: Real) -> tuple[Real, Real]:
        """Force on the unit, against compressing [N], and its slope dF/dx [N/m]."""
        depth = self.depth(x)
        return self.sense * self.rate * depth, self.rate * (depth > 0)

    def work(self, x: Real) -> Real:
        """Put into it at a compression [J]."""
        return 0.5 * self.rate * self.depth(x) ** 2


@dataclass(frozen=True, slots=True)
class DiscStop:
    """A bumper of stacked disc springs beyond `starts` [m]; sense as of a `LinearBumper`.

    To flat it follows [almen-laszlo]; pressed on, the flat discs bear as a solid ring of their material.
    """

    starts: Real
    stack: Stack
    sense: int

    def depth(self, x: Real) -> Real:
        """How far it is squeezed [m]."""
        return np.maximum(0.0, self.sense * (x - self.starts))

    def push(self, x: Real) -> tuple[Real, Real]:
        """Force on the unit, against compressing [N], and its slope dF/dx [N/m]."""
        depth = self.depth(x)
        bent, past = self._parts(depth)
        solid = solid_rate(self.stack)
        force = stack_force(self.stack, bent) + solid * past
        stiffness = np.where(past > 0, solid, stack_rate(self.stack, bent))
        return self.sense * force, stiffness * (depth > 0)

    def work(self, x: Real) -> Real:
        """Put into it at a compression [J]."""
        bent, past = self._parts(self.depth(x))
        pressed = stack_force(self.stack, bent) + 0.5 * solid_rate(self.stack) * past
        return stack_energy(self.stack, bent) + pressed * past

    def _parts(self, depth: Real) -> tuple[Real, Real]:
        """Of a depth what bends the discs, and what presses them beyond flat [m]."""
        bent = np.minimum(depth, self.stack.stroke)
        return bent, depth - bent


AnyStop = LinearBumper | DiscStop
