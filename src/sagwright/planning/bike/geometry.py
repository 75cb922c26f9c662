"""A bike as the points and lengths that physics computes with, and what its printed numbers contradict."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from sagwright.domain import measuring
from sagwright.domain.bike import AxlePath, Bike, Geometry, Wheel
from sagwright.domain.finding import Finding
from sagwright.domain.value import Quantity, Value
from sagwright.errors import MissingValue, NoSolution, OutOfRange
from sagwright.physics.clearance import estimated_radius
from sagwright.physics.frame import (
    Angles,
    Fork,
    FrameGeometry,
    Rear,
    WheelRadii,
    below_head_tube_top,
    frame_from_reach,
    frame_from_wheelbase,
    wheelbase_of_front_centre,
)
from sagwright.physics.stance import (
    Sag,
    rear_axle_about_pivot,
    rear_axle_along,
    rear_axle_straight_up,
    stance_on_wheels,
)
from sagwright.planning.checks.findings import finding, length_figure


@dataclass(frozen=True, slots=True)
class Stand:
    """A bike ready to be stood on its wheels: its frame, its wheels and the fork it was printed with."""

    bike: Bike
    frame: FrameGeometry
    wheels: WheelRadii
    fork: Fork

    def bottomed(self) -> float:
        """Axle to crown of the printed fork at full compression [m]; other travels of its chassis share it."""
        return float(self.fork.axle_to_crown) - self.bike.geometry.fork_travel.si


def stand_of(bike: Bike) -> Stand:
    """A bike from what its maker prints.

    Raises
    ------
    OutOfRange
        If its numbers cannot belong to one bike, naming the field.
    """
    said = bike.geometry
    wheels = WheelRadii(radius_of(bike.rear).si, radius_of(bike.front).si)
    fork = Fork(said.axle_to_crown.si, said.offset.si)
    rear = Rear(said.chainstay.si, _drop(said, float(wheels.rear)))
    angles = Angles(said.head_angle.si, np.nan if said.seat_angle is None else said.seat_angle.si)
    try:
        frame = _frame(said, rear, angles, fork, wheels)
    except NoSolution as error:
        field = "geometry.stack" if said.reach and said.stack else "geometry.front_centre"
        remedy = "Check stack, head angle and the fork's axle to crown: one of them belongs to another bike."
        raise OutOfRange(f"cannot be: {error}", field=field, remedy=remedy) from error
    return Stand(bike, FrameGeometry(*(float(number) for number in frame)), wheels, fork)


def radius_of(wheel: Wheel) -> Value:
    """A wheel's radius: as measured, or estimated from its marking [m].

    Raises
    ------
    MissingValue
        If it says neither.
    """
    if wheel.radius is not None:
        return wheel.radius
    if wheel.width is None or wheel.bead_seat is None:
        raise MissingValue("must say its tyre or its radius", field="wheels")
    radius = float(estimated_radius(wheel.width, wheel.bead_seat))
    return Value(radius, measuring.MARKING.u * radius)


def _drop(said: Geometry, rear_radius: float) -> float:
    if said.bb_drop is not None:
        return said.bb_drop.si
    if said.bb_height is None:
        raise MissingValue("must be given, or bb_height", field="geometry.bb_drop")
    return rear_radius - said.bb_height.si


def _frame(said: Geometry, rear: Rear, angles: Angles, fork: Fork, wheels: WheelRadii) -> FrameGeometry:
    if said.reach is not None and said.stack is not None:
        reach_stack = (said.reach.si, said.stack.si)
        return frame_from_reach(rear, angles, fork=fork, wheels=wheels, reach_stack=reach_stack)
    if said.wheelbase is not None:
        return frame_from_wheelbase(rear, angles, fork=fork, wheels=wheels, wheelbase=said.wheelbase.si)
    if said.front_centre is not None:
        wheelbase = wheelbase_of_front_centre(rear, said.front_centre.si, wheels)
        return frame_from_wheelbase(rear, angles, fork=fork, wheels=wheels, wheelbase=wheelbase)
    raise MissingValue("must be given, with the stack, or wheelbase, or front_centre", field="geometry.reach")


def rear_sag_of(path: AxlePath | None, travel: float, stand: Stand) -> Sag:
    """Where the rear axle stands after a rise [m].

    Raises
    ------
    OutOfRange
        If the bike has no rear travel, or not that much.
    """
    rise = {"rise": (travel, Quantity.LENGTH)}
    if path is None:
        if travel != 0.0:
            raise OutOfRange("must be 0 for a rigid rear end", field="rear sag", value="{rise}", figures=rise)
        return Sag()
    if not 0.0 <= travel <= path.travel.si + 1e-12:
        raise OutOfRange("must lie within the rear travel", field="rear sag", value="{rise}", figures=rise)
    if path.pivot is not None:
        ahead, above = path.pivot
        x, y = stand.frame.bb_x + ahead.si, stand.frame.bb_y + above.si
        return rear_axle_about_pivot(travel, pivot_x=x, pivot_y=y)
    if path.points:
        ups, backs = zip(*path.points, strict=True)
        return rear_axle_along(travel, ups=ups, backs=backs)
    return rear_axle_straight_up(travel)


def bike_contradictions(bike: Bike) -> Iterator[Finding]:
    """Printed numbers that disagree with the others, by how many millimetres."""
    stand = stand_of(bike)
    said = bike.geometry
    if said.bb_drop is not None and said.bb_height is not None:
        follows = float(stand.wheels.rear) - said.bb_drop.si
        yield from _differs("bb_height", said.bb_height, follows, bike)
    standing = stance_on_wheels(stand.frame, fork=stand.fork, wheels=stand.wheels)
    if said.reach is not None and said.stack is not None:
        yield from _differs("wheelbase", said.wheelbase, float(standing.wheelbase), bike)
        yield from _head_tube(stand)
    yield from _differs("front_centre", said.front_centre, float(standing.front_centre), bike)


def _head_tube(stand: Stand) -> Iterator[Finding]:
    said = stand.bike.geometry
    if said.head_tube is None or said.lower_stack is None:
        return
    room = float(below_head_tube_top(stand.frame))
    yield from _differs("head_tube", said.head_tube, room - said.lower_stack.si, stand.bike)


def _differs(name: str, printed: Value | None, follows: float, bike: Bike) -> Iterator[Finding]:
    if printed is None or abs(printed.si - follows) <= measuring.CHART.half_width:
        return
    numbers = {
        "printed": length_figure(printed.si),
        "follows": length_figure(follows),
        "off": length_figure(printed.si - follows),
    }
    words = (("what", name), ("bike", bike.name))
    yield finding("bike.contradicts", f"bike.geometry.{name}", words, **numbers)


def estimates(bike: Bike) -> Iterator[Finding]:
    """Wheels whose radius is only estimated from the tyre's marking."""
    for side, wheel in (("front", bike.front), ("rear", bike.rear)):
        if wheel.radius is None:
            radius = radius_of(wheel)
            yield finding(
                "bike.radius-estimated",
                f"bike.wheels.{side}",
                (("side", side), ("tyre", wheel.tyre)),
                radius=length_figure(radius.si, radius.u),
            )
