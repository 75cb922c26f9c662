"""A second positive chamber behind a floating piston: soft first, then both volumes together.

The piston rests on its stop until the gas in front of it is as strong as the gas behind; from there on
both have one pressure and compress together. At any polytropic exponent that is the same as a port which
opens, between equal pressures, at the compression where they meet; so the kernel needs nothing new, only
the place of that port.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from sagwright.errors import OutOfRange
from sagwright.physics.gas import R_AIR
from sagwright.physics.numeric import Real, increasing_root
from sagwright.physics.spring import ROOT_TOLERANCE, Chamber, GasState, Port, Spring, Stroke

NEVER = 1e3
"""A compression that no stroke reaches [m]."""


def with_second(spring: Spring, state: GasState, *, volume: Real, pressure_abs: Real) -> tuple[Spring, GasState]:
    """The spring with one more chamber, last in the list, its piston not yet let go; `meeting` finds where
    it goes.

    Parameters
    ----------
    spring, state : Spring, GasState
    volume : float or array, > 0 [m³]
        Behind the piston, the piston on its stop.
    pressure_abs : float or array, > 0 [Pa]
        Its charge, the piston on its stop, at the state's temperature.
    """
    mass = pressure_abs * volume / (R_AIR * state.temperature)
    chamber = Chamber("second positive", volume, np.zeros_like(volume)[()])
    return (
        replace(spring, chambers=(*spring.chambers, chamber)),
        replace(state, masses=(*state.masses, mass)),
    )


def meeting(spring: Spring, state: GasState, *, front: int, behind: int, n: float) -> Real:
    """Compression at which the floating piston lifts off its stop, in a stroke at an exponent [m].

    0 where the gas in front is the stronger from the start, `NEVER` where it does not get there within the
    travel.

    Raises
    ------
    OutOfRange
        If the two numbers are not those of two chambers, the one in front does not shrink as the unit is
        compressed, or the spring cannot exist.
    """
    numbers = range(len(spring.chambers))
    if front not in numbers or behind not in numbers or not np.all(np.asarray(spring.chambers[front].slope) < 0):
        raise OutOfRange(
            "must be two chambers, the one in front shrinking", field="chambers", value=f"{front}, {behind}"
        )
    stroke = Stroke(spring, state, n=n)
    travel = spring.travel
    at_rest = state.masses[behind] * R_AIR * state.temperature / spring.chambers[behind].volume

    def residual(x: Real) -> tuple[Real, Real]:
        pressure = stroke.pressures_abs(x)[front]
        volume = spring.chambers[front].at(x)
        return pressure - at_rest, -n * pressure * spring.chambers[front].slope / volume

    shape = np.broadcast_shapes(np.shape(travel), np.shape(at_rest))
    x = increasing_root(
        residual,
        np.zeros(shape),
        np.broadcast_to(travel, shape),
        start=0.5 * np.asarray(travel),
        tolerance=ROOT_TOLERANCE,
    )
    beaten = stroke.pressures_abs(travel)[front] <= at_rest
    never: Real = np.where(beaten, NEVER, x)[()]
    return never


def release_point(spring: Spring, state: GasState, *, front: int, behind: int, n: float) -> Spring:
    """The spring with its floating piston let go, for strokes at one exponent."""
    opens = meeting(spring, state, front=front, behind=behind, n=n)
    return replace(spring, ports=(*spring.ports, Port(front, behind, opens, 2.0 * NEVER)))
