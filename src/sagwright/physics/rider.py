"""Where a rider's mass is, from the posture on the bike.

The body is the segments of [de-leva-1996], stretched to the rider's height. Feet stand on level cranks, hands
hold the grips, the hips are where the posture puts them; knees and elbows bend to fit. Points are (x, y), x
forward and y up as gravity has it, in m, seen from anywhere; floats, or arrays that broadcast.
"""

from __future__ import annotations

from typing import Final, NamedTuple, TypeAlias

import numpy as np

from sagwright.errors import NoSolution
from sagwright.physics.numeric import Real, finite, require_within

PlanePoint: TypeAlias = tuple[Real, Real]


class Segment(NamedTuple):
    """Share of the body's mass, place of its centre from the upper end as a share of its length, length
    [m]."""

    mass: float
    centre: float
    length: float


class Body(NamedTuple):
    """Segments of a body `height` tall [m]; arms and legs are there twice."""

    height: float
    head: Segment
    trunk: Segment
    upper_arm: Segment
    forearm: Segment
    hand: Segment
    thigh: Segment
    shank: Segment
    foot: Segment


MALE: Final = Body(
    height=1.741,
    head=Segment(0.0694, 0.5976, 0.2033),
    trunk=Segment(0.4346, 0.4486, 0.5319),
    upper_arm=Segment(0.0271, 0.5772, 0.2817),
    forearm=Segment(0.0162, 0.4574, 0.2689),
    hand=Segment(0.0061, 0.7900, 0.0862),
    thigh=Segment(0.1416, 0.4095, 0.4222),
    shank=Segment(0.0433, 0.4459, 0.4340),
    foot=Segment(0.0137, 0.4415, 0.2581),
)
"""Mean man of [de-leva-1996], table 4."""

FEMALE: Final = Body(
    height=1.735,
    head=Segment(0.0668, 0.5894, 0.2002),
    trunk=Segment(0.4257, 0.4151, 0.5293),
    upper_arm=Segment(0.0255, 0.5754, 0.2751),
    forearm=Segment(0.0138, 0.4559, 0.2643),
    hand=Segment(0.0056, 0.7474, 0.0780),
    thigh=Segment(0.1478, 0.3612, 0.3685),
    shank=Segment(0.0481, 0.4416, 0.4323),
    foot=Segment(0.0129, 0.4014, 0.2283),
)
"""Mean woman of [de-leva-1996], table 4."""


def _mean(one: Segment, other: Segment) -> Segment:
    return Segment(*(0.5 * (a + b) for a, b in zip(one, other, strict=True)))


MEAN: Final = Body(
    0.5 * (MALE.height + FEMALE.height),
    *(_mean(one, other) for one, other in zip(MALE[1:], FEMALE[1:], strict=True)),
)
"""Half way between the two, for a rider of whom only the height is known."""

CRANK: Final = 0.17
"""Length of a crank [m]; common practice, no source."""

NECK: Final = 0.15
"""From the top of the breastbone to the head's centre, half upright and half along the trunk [m]; assumed."""

ANKLE_OVER_PEDAL: Final = 0.10
"""Ankle over the pedal's axle, sole and shoe included [m]; assumed."""

ANKLE_BEHIND_PEDAL: Final = 0.06
"""Ankle behind the pedal's axle [m]; assumed."""

STRAIGHTEST: Final = 0.995
"""Most a bent leg or arm reaches, of its whole length."""


class ContactPoints(NamedTuple):
    """What feet and hands are on: the axles of both pedals, and the middle between the grips."""

    pedals: tuple[PlanePoint, PlanePoint]
    grips: PlanePoint


class RiderPosture(NamedTuple):
    """Where the hips are, and how far the arms reach.

    Attributes
    ----------
    hips_back, hips_up : float
        Hips behind and above the bottom bracket, of the length of thigh and shank.
    arms : float
        From shoulder to grip, of the length of upper arm, forearm and hand's middle.
    """

    hips_back: float
    hips_up: float
    arms: float


STANDING_LEVEL: Final = RiderPosture(hips_back=0.15, hips_up=0.98, arms=0.86)
"""On level pedals, knees and elbows easy, as one stands to read a sag; assumed, no source."""

ATTACKING: Final = RiderPosture(hips_back=0.36, hips_up=0.80, arms=0.80)
"""Low and back with bent arms; assumed, no source."""

SEATED: Final = RiderPosture(hips_back=0.19, hips_up=0.92, arms=0.92)
"""On a saddle whose height nobody measured; assumed, no source."""

SEATED_ARMS: Final = 0.92
"""How far the arms reach, seated; assumed, no source."""

HIPS_OVER_SADDLE: Final = 0.09
"""Hip joints over the saddle's top [m]; assumed, no source."""


def rider_centre(body: Body, *, height: Real, hips: PlanePoint, held: ContactPoints, arms: Real) -> PlanePoint:
    """Centre of mass of a rider.

    Parameters
    ----------
    body : Body
    height : float or array
        Of the rider, 1.2 to 2.2 [m]; every segment is stretched by the same share.
    hips : tuple
        Middle between the hip joints.
    held : ContactPoints
        Pedals and grips.
    arms : float or array
        From shoulder to grip, of the arm's length, 0.3 to 0.995.

    Returns
    -------
    tuple of float or array

    Raises
    ------
    OutOfRange
        If an argument is not what it must be.
    NoSolution
        If a leg does not reach its pedal, or the grips cannot be held from those hips.

    Notes
    -----
    The centre of a foot is taken over its pedal. Tools and parts rides with the body.

    References
    ----------
    Masses, centres and lengths of the segments: [de-leva-1996], table 4.
    """
    require_within(1.2, 2.2, height=height)
    require_within(0.3, STRAIGHTEST, arms=arms)
    finite(hips_x=hips[0], hips_y=hips[1], grips_x=held.grips[0], grips_y=held.grips[1])
    stretch = height / body.height
    shoulder = _shoulder(body, stretch, hips=hips, grips=held.grips, arms=arms)
    parts = [
        (body.trunk.mass, _between(shoulder, hips, body.trunk.centre)),
        (body.head.mass, _head(shoulder, hips, stretch)),
        *_arm(body, stretch, shoulder, held.grips),
    ]
    for pedal in held.pedals:
        parts += _leg(body, stretch, hips, pedal)
    whole = sum(mass for mass, _ in parts)
    return (
        sum(mass * point[0] for mass, point in parts) / whole,
        sum(mass * point[1] for mass, point in parts) / whole,
    )


def hips_of(posture: RiderPosture, body: Body, *, height: Real, bb: PlanePoint) -> PlanePoint:
    """Where a posture puts the hips over a bottom bracket."""
    leg = (body.thigh.length + body.shank.length) * height / body.height
    return bb[0] - posture.hips_back * leg, bb[1] + posture.hips_up * leg


def _shoulder(body: Body, stretch: Real, *, hips: PlanePoint, grips: PlanePoint, arms: Real) -> PlanePoint:
    """Where trunk and arms meet: in front of and above the line from hips to grips."""
    reach = arms * _arm_length(body) * stretch
    trunk = body.trunk.length * stretch
    return _joint((hips, grips), (trunk, reach), side=-1.0, what="the arms do not reach the grips")


def _arm_length(body: Body) -> float:
    return body.upper_arm.length + body.forearm.length + body.hand.centre * body.hand.length


def _head(shoulder: PlanePoint, hips: PlanePoint, stretch: Real) -> PlanePoint:
    right, up = shoulder[0] - hips[0], shoulder[1] - hips[1]
    length = np.hypot(right, up)
    lean = np.arctan2(right / length, up / length + 1.0)  # half way between the trunk and upright
    return shoulder[0] + NECK * stretch * np.sin(lean), shoulder[1] + NECK * stretch * np.cos(lean)


def _arm(body: Body, stretch: Real, shoulder: PlanePoint, grips: PlanePoint) -> list[tuple[float, PlanePoint]]:
    """Both arms: they hang down at the elbow."""
    upper = body.upper_arm.length * stretch
    lower = (body.forearm.length + body.hand.centre * body.hand.length) * stretch
    elbow = _joint((shoulder, grips), (upper, lower), side=1.0, what="the arms do not reach the grips")
    wrist_share = body.forearm.length / (body.forearm.length + body.hand.centre * body.hand.length)
    wrist = _between(elbow, grips, wrist_share)
    return [
        (2.0 * body.upper_arm.mass, _between(shoulder, elbow, body.upper_arm.centre)),
        (2.0 * body.forearm.mass, _between(elbow, wrist, body.forearm.centre)),
        (2.0 * body.hand.mass, grips),
    ]


def _leg(body: Body, stretch: Real, hips: PlanePoint, pedal: PlanePoint) -> list[tuple[float, PlanePoint]]:
    """One leg: the knee goes forward."""
    ankle = (pedal[0] - ANKLE_BEHIND_PEDAL, pedal[1] + ANKLE_OVER_PEDAL)
    thigh, shank = body.thigh.length * stretch, body.shank.length * stretch
    knee = _joint((hips, ankle), (thigh, shank), side=-1.0, what="the legs do not reach the pedals")
    return [
        (body.thigh.mass, _between(hips, knee, body.thigh.centre)),
        (body.shank.mass, _between(knee, ankle, body.shank.centre)),
        (body.foot.mass, pedal),
    ]


def _between(start: PlanePoint, end: PlanePoint, share: float) -> PlanePoint:
    return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])


def _joint(ends: tuple[PlanePoint, PlanePoint], lengths: tuple[Real, Real], *, side: float, what: str) -> PlanePoint:
    """The point at the first length from the first end and the second from the second; seen from the first
    end to the second, right of their line for side +1."""
    start, end = ends
    first, second = lengths
    right, up = end[0] - start[0], end[1] - start[1]
    square = right * right + up * up
    along = 0.5 * (square + first * first - second * second) / square
    height = first * first / square - along * along
    if not np.all(np.asarray(height) >= 0.0):
        raise NoSolution(what)
    bend = side * np.sqrt(height)
    return start[0] + along * right + bend * up, start[1] + along * up - bend * right
