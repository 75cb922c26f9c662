"""What pushes back at the ends of a travel: a bumper of constant rate, or one stacked of disc springs.

Each is a law F = dE/dx from where it starts; its force, stiffness and work come from one formula.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sagwright.physics import disc
from sagwright.physics.types import Real


@dataclass(frozen=True, slots=True)
class Stop:
    """A bumper that pushes back with `rate` [N/m] beyond `starts` [m]; sense +1 against compressing, −1 extending."""

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
    """A bumper of stacked disc springs beyond `starts` [m]; sense as of a `Stop`.

    To flat it follows [almen-laszlo]; pressed on, the flat discs bear as a solid ring of their material.
    """

    starts: Real
    stack: disc.Stack
    sense: int

    def depth(self, x: Real) -> Real:
        """How far it is squeezed [m]."""
        return np.maximum(0.0, self.sense * (x - self.starts))

    def push(self, x: Real) -> tuple[Real, Real]:
        """Force on the unit, against compressing [N], and its slope dF/dx [N/m]."""
        depth = self.depth(x)
        bent, past = self._parts(depth)
        solid = disc.solid_rate(self.stack)
        force = disc.stack_force(self.stack, bent) + solid * past
        stiffness = np.where(past > 0, solid, disc.stack_rate(self.stack, bent))
        return self.sense * force, stiffness * (depth > 0)

    def work(self, x: Real) -> Real:
        """Put into it at a compression [J]."""
        bent, past = self._parts(self.depth(x))
        pressed = disc.stack_force(self.stack, bent) + 0.5 * disc.solid_rate(self.stack) * past
        return disc.stack_energy(self.stack, bent) + pressed * past

    def _parts(self, depth: Real) -> tuple[Real, Real]:
        """Of a depth what bends the discs, and what presses them beyond flat [m]."""
        bent = np.minimum(depth, self.stack.stroke)
        return bent, depth - bent


AnyStop = Stop | DiscStop
