"""Weight of rider and bike on the wheels, and what of it lies along the fork.

Everything is seen from the ground under the rear axle, x forward and y up along the road. Angles in rad,
lengths in m, masses in kg, forces in N; floats, or arrays that broadcast.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Final, NamedTuple

import numpy as np

from sagwright.errors import NoSolution, OutOfRange
from sagwright.physics.numeric import Real, finite, positive, require_within

GRAVITY: Final = 9.80665
"""Standard gravity [m/s²], exact by the 3rd CGPM (1901)."""

STEEPEST: Final = 0.25 * np.pi
"""Steepest slope taken [rad]."""

ROUNDS: Final = 60
"""Most rounds of making load and sag agree."""


class PointMass(NamedTuple):
    """A mass and where its centre is [kg, m, m]."""

    mass: Real
    x: Real
    y: Real


class AxleLoads(NamedTuple):
    """What each wheel carries, straight down [N]."""

    front: Real
    rear: Real


class ForkLoad(NamedTuple):
    """The sprung part of a front load: along the fork, and across it, bending it backwards at the crown
    [N]."""

    along: Real
    across: Real


class BushingGeometry(NamedTuple):
    """Where a leg slides.

    Attributes
    ----------
    spacing : float or array
        Between the two bushings' middles [m].
    overhang : float or array
        From the lower bushing's middle to the axle, along the leg, as it stands [m].
    lead : float or array
        How far the axle stands in front of the leg's own axis [m].
    coefficient : float or array
        Of sliding friction.
    """

    spacing: Real
    overhang: Real
    lead: Real
    coefficient: Real


def centre_of_mass(masses: Sequence[PointMass]) -> PointMass:
    """All masses as one, at their common centre.

    Raises
    ------
    OutOfRange
        If they do not weigh more than nothing together.
    """
    total = sum(each.mass for each in masses)
    if not np.all(np.asarray(total) > 0.0):
        raise OutOfRange("must be greater than 0 together", field="masses", value=str(total))
    x = sum(each.mass * each.x for each in masses) / total
    y = sum(each.mass * each.y for each in masses) / total
    return PointMass(total, x, y)


def axle_loads(whole: PointMass, *, wheelbase: Real, slope: Real = 0.0) -> AxleLoads:
    r"""What each wheel of a resting, or steadily rolling, bike carries.

    .. math:: N_f \, w \cos α = m g (x \cos α + y \sin α), \quad N_f + N_r = m g

    Parameters
    ----------
    whole : Mass
        Rider, gear and bike as one.
    wheelbase : float or array
        > 0 [m].
    slope : float or array
        Downhill, 0 to 45° [rad]. Down it the bike rolls at a steady speed, each wheel braked in proportion to
        what it carries, so that the road pushes straight up on both.

    Returns
    -------
    AxleLoads
        Negative where a wheel would have to be held down.

    Raises
    ------
    OutOfRange
        If an argument is not what it must be.

    Notes
    -----
    Valid for: no acceleration, no wind. Moment balance about the rear wheel's contact.
    """
    positive(mass=whole.mass, wheelbase=wheelbase)
    finite(x=whole.x, y=whole.y)
    require_within(0.0, STEEPEST, slope=slope)
    weight = whole.mass * GRAVITY
    front = weight * (whole.x + whole.y * np.tan(slope)) / wheelbase
    return AxleLoads(front, weight - front)


def along_fork(front_load: Real, *, unsprung: Real, head_angle: Real, slope: Real = 0.0) -> ForkLoad:
    """What of a front load presses the spring, and what bends the fork.

    Parameters
    ----------
    front_load : float or array
        On the road, straight down [N].
    unsprung : float or array
        Wheel, tyre, rotor, axle and lowers: what does not stand on the spring, ≥ 0 [kg].
    head_angle : float or array
        At sag, from the horizontal behind while the bike stands level, 0 to π/2 [rad].
    slope : float or array
        Downhill, 0 to 45° [rad].

    Returns
    -------
    ForkLoad

    Raises
    ------
    OutOfRange
        If an argument is not what it must be.
    """
    finite(front_load=front_load)
    require_within(0.0, np.inf, unsprung=unsprung)
    require_within(0.0, 0.5 * np.pi, head_angle=head_angle)
    require_within(0.0, STEEPEST, slope=slope)
    sprung = front_load - unsprung * GRAVITY
    return ForkLoad(sprung * np.sin(head_angle + slope), sprung * np.cos(head_angle + slope))


def front_load_of_scale(reading: Real) -> Real:
    """Front axle load of a scale under the front wheel, the rear wheel standing as high; reading > 0 [kg] →
    [N].

    Raises
    ------
    OutOfRange
        If the reading is not greater than 0.
    """
    positive(reading=reading)
    return reading * GRAVITY


def bushing_friction(load: ForkLoad, bushings: BushingGeometry) -> Real:
    r"""Friction that bending adds on each side of the spring's force [N].

    .. math:: R_u = (P L + F e)/b, \quad R_l = R_u + P, \quad \text{friction} = μ (|R_u| + |R_l|)

    with P across and F along the fork, L the overhang, b the spacing and e the lead. Both legs taken as one.

    Parameters
    ----------
    load : ForkLoad
    bushings : BushingGeometry
        Spacing > 0, overhang ≥ 0, coefficient 0 to 1.

    Raises
    ------
    OutOfRange
        If an argument is not what it must be.

    Notes
    -----
    Valid for: stiff legs, each bushing touching at its middle. Coefficients of greased fork bushings are an
    assumption; no measured source.
    """
    positive(spacing=bushings.spacing)
    require_within(0.0, np.inf, overhang=bushings.overhang)
    require_within(0.0, 1.0, coefficient=bushings.coefficient)
    upper = (load.across * bushings.overhang + load.along * bushings.lead) / bushings.spacing
    return bushings.coefficient * (np.abs(upper) + np.abs(upper + load.across))


def agree(
    sag_under: Callable[[float], float],
    load_at: Callable[[float], float],
    *,
    travel: float,
    start: float = 0.0,
    tolerance: float = 1e-7,
) -> tuple[float, float]:
    """Sag and load that belong to each other: the sag moves the bike, and how it stands sets the load.

    Parameters
    ----------
    sag_under : callable
        Load along the fork [N] → the spring's sag [m].
    load_at : callable
        Sag [m] → load along the fork [N].
    travel : float
        Largest sag there can be [m].
    start : float
        First guess of the sag [m].
    tolerance : float
        Largest difference between the sag put in and the sag that comes out [m].

    Returns
    -------
    tuple of float
        Sag [m] and load [N].

    Raises
    ------
    NoSolution
        If they do not settle.

    Notes
    -----
    The sag that comes out less the sag put in is sought to be nothing: a secant through the last two rounds, kept
    inside what the signs so far leave. Where a spring gives way at once (a port that opens late) the answer is that
    place.
    """
    low, high = 0.0, travel
    sag, last = min(max(start, low), high), None
    for _ in range(ROUNDS):
        load = load_at(sag)
        miss = sag_under(load) - sag
        if not math.isfinite(miss):
            raise NoSolution(f"load and sag are no numbers at {sag:g} m")
        low, high = (sag, high) if miss > 0.0 else (low, sag)
        if abs(miss) <= tolerance or high - low <= tolerance:
            return sag, load
        following = sag + miss if last is None else _crossing((sag, miss), last)
        sag, last = following if low < following < high else 0.5 * (low + high), (sag, miss)
    raise NoSolution(f"load and sag did not settle within {tolerance:g} m after {ROUNDS} rounds")


def _crossing(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Where the line through two points crosses zero; NaN where it never does."""
    rise = one[1] - other[1]
    return one[0] - one[1] * (one[0] - other[0]) / rise if rise != 0.0 else math.nan
