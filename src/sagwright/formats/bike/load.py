"""Loads bikes."""

from __future__ import annotations

import math
import pathlib
from itertools import pairwise
from typing import Final

from sagwright.domain.bike import (
    AxlePath,
    Bike,
    Contact,
    ForkLimit,
    FrameLimits,
    Geometry,
    MeasuredGap,
    Outline,
    TyreClearance,
    Wheel,
)
from sagwright.domain.value import Origin, Value
from sagwright.errors import InputError, MissingValue, OutOfRange
from sagwright.formats.bike.fields import misfit
from sagwright.formats.bike.shape import (
    BIKE,
    BikeShape,
    ClearanceShape,
    LimitShape,
    LimitsShape,
    OutlineShape,
    RearShape,
    WheelShape,
    by_seat,
)
from sagwright.formats.faults import Faults, expect_shape, shaped
from sagwright.formats.source.reader import read_file, read_text
from sagwright.formats.source.tree import FieldPath, SourceFile, YamlTable, YamlText

_MARGIN: Final = Value(0.004, None, Origin.TYPICAL, "")
"""Gap below which someone must agree, where the bike does not say: assumed, no source."""

SHORTEST_LOWERS: Final = 0.20
"""What is left of a fork's axle to crown beside its travel, at least [m]; common practice, no source."""


def load_bike(path: str | pathlib.Path) -> Bike:
    """A bike from its file, format bike/1.

    Raises
    ------
    UnreadableFile
        If it is not there or cannot be read.
    InputError, InputErrors
        Everything that is wrong with what it says, with file and line.
    """
    return bike_of(read_file(pathlib.Path(path)))


def load_bike_text(text: str, name: str) -> Bike:
    """A bike from a text instead of a file, as `load_bike`."""
    return bike_of(read_text(text, SourceFile(name)))


def bike_of(root: YamlTable) -> Bike:
    """A bike from its tree; errors as `load_bike`."""
    stated = root.get("origin")
    known = {origin.value: origin for origin in Origin}
    root.source.origin = known.get(str(stated), Origin.MANUAL) if isinstance(stated, YamlText) else Origin.MANUAL
    faults = Faults(root, root.source.faults)
    expect_shape(root, BIKE, what="a bike")
    shape = shaped(root, BikeShape, faults)
    _check(shape, faults)
    faults.raise_any()
    return Bike(
        name=shape.name,
        front=_wheel(shape.wheels.front),
        rear=_wheel(shape.wheels.rear),
        geometry=_geometry(shape),
        rear_travel=_rear(shape.rear) if shape.rear else None,
        contact=Contact(**dict(shape.contact)) if shape.contact else Contact(),
        limits=_limits(shape.limits) if shape.limits else FrameLimits(),
        clearance=_room(shape.clearance) if shape.clearance else None,
        mass=shape.mass,
        front_share=shape.front_share,
        unsprung=shape.unsprung,
        rotor=shape.rotor,
    )


def outline_of(shape: OutlineShape, faults: Faults) -> Outline | None:
    """What is known of the bike of a posted fork; None, with a fault added, if it is too little."""
    for key in ("head_angle", "wheelbase"):
        if getattr(shape, key) is None:
            remedy = "Write head_angle and wheelbase, or file with the path of a bike."
            faults.add(("bike",), MissingValue(f"must say {key}", remedy=remedy))
    if shape.head_angle is None or shape.wheelbase is None:
        return None
    return Outline(shape.head_angle, shape.wheelbase, shape.offset, shape.front_radius)


def _wheel(shape: WheelShape) -> Wheel:
    if shape.tyre is None:
        return Wheel(shape.radius)
    return Wheel(shape.radius, shape.tyre.text, shape.tyre.width, shape.tyre.bead_seat)


def _geometry(shape: BikeShape) -> Geometry:
    said, fork = shape.geometry, shape.fork
    return Geometry(
        head_angle=said.head_angle,
        seat_angle=said.seat_angle,
        chainstay=said.chainstay,
        bb_drop=said.bb_drop,
        bb_height=said.bb_height,
        axle_to_crown=_axle_to_crown(shape),
        offset=fork.offset,
        fork_travel=fork.travel,
        reach=said.reach,
        stack=said.stack,
        wheelbase=said.wheelbase,
        front_centre=said.front_centre,
        head_tube=said.head_tube,
        lower_stack=said.lower_stack,
    )


def _axle_to_crown(shape: BikeShape) -> Value:
    """Along the steerer: a straight tape reads the long side of a triangle whose short side is the offset."""
    fork = shape.fork
    if fork.axle_to_crown is not None:
        return fork.axle_to_crown
    straight = fork.axle_to_crown_straight
    if straight is None:
        raise MissingValue("must be given", field="fork.axle_to_crown")
    along = math.sqrt(straight.si**2 - fork.offset.si**2)
    return Value(along, straight.u, straight.origin, straight.as_written)


def _rear(shape: RearShape) -> AxlePath:
    pivot = (shape.pivot.ahead, shape.pivot.above) if shape.pivot else None
    return AxlePath(shape.travel, pivot, tuple(shape.path))


def _limits(said: LimitsShape) -> FrameLimits:
    forks = [_limit(said, None), *(_limit(limit, by_seat(key)) for key, limit in said.by_wheel.items())]
    return FrameLimits(tuple(limit for limit in forks if limit is not None), said.system_mass, said.largest_rotor)


def _limit(shape: LimitShape, seat: float | None) -> ForkLimit | None:
    values = {name: getattr(shape, name) for name in LimitShape.model_fields}
    return ForkLimit(seat, **values) if any(values.values()) else None


def _room(shape: ClearanceShape) -> TyreClearance:
    return TyreClearance(
        margin=shape.margin or _MARGIN,
        measured=tuple(MeasuredGap(one.to, one.gap, one.tyre_radius, one.chassis) for one in shape.measured),
        crown_depth=shape.crown_depth,
        crown_lead=shape.crown_lead,
        arch_height=shape.arch_height,
        down_tube=shape.down_tube,
        mudguard=shape.mudguard,
    )


def _check(shape: BikeShape, faults: Faults) -> None:
    """What no single field can see."""
    for side in ("front", "rear"):
        _check_wheel(getattr(shape.wheels, side), ("wheels", side), faults)
    _check_fork(shape, faults)
    _check_frame(shape, faults)
    _check_rear(shape, faults)
    for key in shape.limits.by_wheel if shape.limits else ():
        try:
            by_seat(key)
        except InputError as fault:
            faults.add(("limits", "by_wheel", key), fault)


def _check_wheel(shape: WheelShape, path: FieldPath, faults: Faults) -> None:
    if shape.tyre is None and shape.radius is None:
        faults.add(
            path, MissingValue("must say its tyre or its radius", remedy="Write tyre: 57-622, as moulded into it.")
        )
    if shape.tyre is not None and shape.rim is not None and (fault := misfit(shape.tyre, shape.rim)):
        faults.add((*path, "tyre"), fault)


def _check_fork(shape: BikeShape, faults: Faults) -> None:
    fork = shape.fork
    both = (fork.axle_to_crown, fork.axle_to_crown_straight)
    length = both[0] or both[1]
    if length is None or all(both):
        faults.add(
            ("fork", "axle_to_crown"),
            MissingValue("must be written in one way", remedy="Write axle_to_crown, or axle_to_crown_straight."),
        )
    elif length.si < fork.travel.si + SHORTEST_LOWERS:
        swapped = fork.travel.si >= length.si + SHORTEST_LOWERS
        faults.add(
            ("fork", "axle_to_crown" if both[0] else "axle_to_crown_straight"),
            OutOfRange(
                f"must be longer than its travel, {fork.travel.as_written}, and {SHORTEST_LOWERS * 1e3:.0f} mm more",
                value=length.as_written,
                remedy="Were axle_to_crown and travel swapped?" if swapped else "Measure from race seat to axle.",
            ),
        )
    elif length.si > 0.75:
        fault = OutOfRange("must not be longer than 750 mm", value=length.as_written, remedy="Check the unit.")
        faults.add(("fork", "axle_to_crown"), fault)


def _check_frame(shape: BikeShape, faults: Faults) -> None:
    said = shape.geometry
    if said.bb_drop is None and said.bb_height is None:
        faults.add(("geometry", "bb_drop"), MissingValue("must be given", remedy="Write it, or bb_height."))
    known = (said.reach and said.stack) or said.wheelbase or said.front_centre
    if (said.reach is None) is not (said.stack is None):
        key = "reach" if said.reach is None else "stack"
        faults.add(("geometry", key), MissingValue("must be given", remedy="Reach and stack are written together."))
    elif not known:
        remedy = "Write reach and stack, or wheelbase, or front_centre."
        faults.add(("geometry", "reach"), MissingValue("must be given", remedy=remedy))
    if said.reach and said.stack and said.reach.si >= said.stack.si:
        faults.add(
            ("geometry", "reach"),
            OutOfRange(
                f"must be shorter than the stack, {said.stack.as_written}",
                value=said.reach.as_written,
                remedy=f"Were they swapped? Then write reach: {said.stack.as_written}, stack: {said.reach.as_written}.",
            ),
        )


def _check_rear(shape: BikeShape, faults: Faults) -> None:
    rear = shape.rear
    if rear is None or not rear.path:
        return
    ups = [up for up, _ in rear.path]
    if rear.pivot is not None:
        faults.add(("rear", "path"), OutOfRange("must not stand beside a pivot", remedy="Keep one of the two."))
    if len(ups) < 2 or ups[0] != 0.0 or any(b <= a for a, b in pairwise(ups)):
        rule = "must be two points or more, from 0 mm up, each higher than the one before"
        faults.add(("rear", "path"), OutOfRange(rule))
    elif ups[-1] < rear.travel.si - 1e-9:
        faults.add(("rear", "path"), OutOfRange("must reach as high as the travel", remedy="Add the last point."))
