"""The lines of a bike from the side, in metres on the ground."""

from __future__ import annotations

import math
from collections.abc import Iterator

from sagwright.domain.stance import Stance, StancePoint


def tubes(stance: Stance) -> Iterator[list[StancePoint]]:
    """Rear end, seat tube, top and down tube, head tube; the fork; saddle and handlebar where they are known."""
    points = stance.points
    down, ahead = axes(stance)
    top = head_top(stance)
    seat = along(points.bb, up_the_seat(stance), 0.43)
    yield [points.rear_axle, points.bb, along(points.crown, down, -0.03), top, seat, points.rear_axle]
    yield [seat, points.bb]
    yield [top, points.crown]
    shoulder = along(along(points.crown, down, 0.03), ahead, fork_offset(stance))
    yield [points.crown, shoulder, points.front_axle]
    if points.saddle is not None:
        yield [seat, points.saddle]
        yield [moved(points.saddle, -0.12, 0.0), moved(points.saddle, 0.13, 0.0)]
    if points.grips is not None:
        yield [top, points.grips]


def head_top(stance: Stance) -> StancePoint:
    """The head tube's top; a hand's breadth over the crown where it is unknown."""
    return stance.points.head_top or along(stance.points.crown, axes(stance)[0], -0.12)


def axes(stance: Stance) -> tuple[StancePoint, StancePoint]:
    """Down the steerer, and square to it forward."""
    cos, sin = math.cos(stance.head_angle), math.sin(stance.head_angle)
    return (cos, -sin), (sin, cos)


def up_the_seat(stance: Stance) -> StancePoint:
    angle = stance.seat_angle if stance.seat_angle is not None else math.radians(74.0)
    return -math.cos(angle), math.sin(angle)


def fork_offset(stance: Stance) -> float:
    """How far the front axle stands before the steering axis."""
    _, ahead = axes(stance)
    crown, axle = stance.points.crown, stance.points.front_axle
    return (axle[0] - crown[0]) * ahead[0] + (axle[1] - crown[1]) * ahead[1]


def along(point: StancePoint, direction: StancePoint, length: float) -> StancePoint:
    return point[0] + length * direction[0], point[1] + length * direction[1]


def moved(point: StancePoint, right: float, up: float) -> StancePoint:
    return point[0] + right, point[1] + up
