"""A bicycle's frame as rigid points, from the numbers a maker prints.

Axes of the frame: origin at the rear axle with the rear suspension topped out, x forward, y up, level while
the bike stands as its geometry was printed. A head or seat angle is measured from the horizontal behind it,
as the trade does. Angles in rad, lengths in m; floats, or arrays that broadcast.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from sagwright.errors import NoSolution, OutOfRange
from sagwright.physics.numeric import Real


class WheelRadii(NamedTuple):
    """Radius of each wheel with its tyre, axle to ground [m]."""

    rear: Real
    front: Real


class Fork(NamedTuple):
    """A fork topped out, seen from the side.

    `axle_to_crown` runs from the crown race seat to the axle, along the steerer; `offset` is how far the axle
    stands in front of the steering axis, square to it [m].
    """

    axle_to_crown: Real
    offset: Real


class FrameGeometry(NamedTuple):
    """The points of a frame that a stance needs, in its own axes.

    `bb` is the bottom bracket, `crown` the seat of the crown race on the steering axis, `top` the upper end
    of the head tube; not-a-number where nobody said [m]. Angles as printed [rad].
    """

    bb_x: Real
    bb_y: Real
    crown_x: Real
    crown_y: Real
    top_x: Real
    top_y: Real
    head_angle: Real
    seat_angle: Real


class Rear(NamedTuple):
    """The rear end: length of the chainstay, bottom bracket to axle, and the bottom bracket's drop below the
    axle."""

    chainstay: Real
    bb_drop: Real


class Angles(NamedTuple):
    """Head and seat angle from the horizontal behind [rad]; a seat angle nobody said is not-a-number."""

    head: Real
    seat: Real


def along_steerer(straight: Real, offset: Real) -> Real:
    """Axle to crown along the steerer, from the same laid straight from race seat to axle with a tape [m].

    Raises
    ------
    OutOfRange
        If the tape is not longer than the offset.
    """
    if not np.all(np.asarray(straight) > np.abs(offset)):
        raise OutOfRange("must be longer than the offset", field="axle_to_crown", value=str(straight))
    return np.sqrt(straight * straight - offset * offset)


def frame_from_reach(
    rear: Rear, angles: Angles, *, fork: Fork, wheels: WheelRadii, reach_stack: tuple[Real, Real]
) -> FrameGeometry:
    """A frame by its reach and stack.

    Parameters
    ----------
    rear, angles : Rear, Angles
    fork, wheels : Fork, WheelRadii
        Those the geometry was printed with.
    reach_stack : tuple of float or array
        Upper end of the head tube before and above the bottom bracket [m].

    Returns
    -------
    Frame

    Raises
    ------
    OutOfRange
        If an angle does not lie between 0 and 90°, or the chainstay is not longer than the drop.
    NoSolution
        If the head tube would end above its own upper end.
    """
    bb_x, bb_y = _bottom_bracket(rear)
    top_x, top_y = bb_x + reach_stack[0], bb_y + reach_stack[1]
    cos_h, sin_h = _direction(angles.head)
    axle_y = wheels.front - wheels.rear
    down = (top_y + fork.offset * cos_h - axle_y) / sin_h - fork.axle_to_crown
    if not np.all(np.asarray(down) > 0.0):
        raise NoSolution("stack leaves no room for a head tube over this axle to crown")
    return FrameGeometry(bb_x, bb_y, top_x + down * cos_h, top_y - down * sin_h, top_x, top_y, angles.head, angles.seat)


def frame_from_wheelbase(
    rear: Rear, angles: Angles, *, fork: Fork, wheels: WheelRadii, wheelbase: Real
) -> FrameGeometry:
    """A frame by its wheelbase; its reach and stack stay unknown. Arguments and errors as
    `frame_from_reach`."""
    bb_x, bb_y = _bottom_bracket(rear)
    cos_h, sin_h = _direction(angles.head)
    crown_x = wheelbase - fork.axle_to_crown * cos_h - fork.offset * sin_h
    crown_y = wheels.front - wheels.rear + fork.axle_to_crown * sin_h - fork.offset * cos_h
    unknown = np.nan * crown_x
    return FrameGeometry(bb_x, bb_y, crown_x, crown_y, unknown, unknown, angles.head, angles.seat)


def wheelbase_of_front_centre(rear: Rear, front_centre: Real, wheels: WheelRadii) -> Real:
    """Wheelbase of a bike whose front centre, bottom bracket to front axle, is known [m].

    Raises
    ------
    NoSolution
        If the front axle cannot be that near.
    """
    bb_x, bb_y = _bottom_bracket(rear)
    rise = wheels.front - wheels.rear - bb_y
    if not np.all(np.asarray(front_centre) > np.abs(rise)):
        raise NoSolution("front centre is shorter than the front axle is high over the bottom bracket")
    return bb_x + np.sqrt(front_centre * front_centre - rise * rise)


def below_head_tube_top(frame: FrameGeometry) -> Real:
    """From the upper end of the head tube down to the crown race seat, along the steerer [m].

    A printed head tube and the headset's lower stack together must be as long; what differs is a
    contradiction.
    """
    return np.hypot(frame.top_x - frame.crown_x, frame.top_y - frame.crown_y)


def _bottom_bracket(rear: Rear) -> tuple[Real, Real]:
    square = rear.chainstay * rear.chainstay - rear.bb_drop * rear.bb_drop
    if not np.all(np.asarray(square) > 0.0):
        raise OutOfRange("must be longer than the drop", field="chainstay", value=str(rear.chainstay))
    return np.sqrt(square), -1.0 * rear.bb_drop


def _direction(head_angle: Real) -> tuple[Real, Real]:
    """Cosine and sine of the head angle; refused where it is none."""
    inside = (np.asarray(head_angle) > 0.0) & (np.asarray(head_angle) < 0.5 * np.pi)
    if not np.all(inside):
        raise OutOfRange(
            "must lie between {low} and {high}",
            field="head_angle",
            value="{angle}",
            figures={
                "low": (0.0, "angle"),
                "high": (0.5 * np.pi, "angle"),
                "angle": (tuple(np.atleast_1d(head_angle).tolist()), "angle"),
            },
        )
    return np.cos(head_angle), np.sin(head_angle)
