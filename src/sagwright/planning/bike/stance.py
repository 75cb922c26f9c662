"""Stances of a bike with one fork or another, topped out and with sag."""

from __future__ import annotations

import math

from sagwright.domain.bike import Outline
from sagwright.domain.stance import OutlineChange, Points, Stance, StancePoint
from sagwright.physics import stance as physics
from sagwright.physics.frame import Fork
from sagwright.physics.stance import Sag
from sagwright.planning.bike.geometry import Stand, rear_sag_of

GRIPS: tuple[float, float] = (-0.04, 0.09)
"""Grips before and over the head tube's top where nobody measured them [m]: assumed, no source."""


def sag_of(stand: Stand, *, front: float, rear: float) -> Sag:
    """Both sags as physics takes them: along the steerer, and as the rear axle's rise [m].

    Raises
    ------
    OutOfRange
        If the rear axle cannot rise that far.
    """
    return rear_sag_of(stand.bike.rear_travel, rear, stand)._replace(front=front)


def stance_of(stand: Stand, axle_to_crown: float, *, sag: Sag = physics.TOPPED_OUT) -> Stance:
    """A bike on the ground with a fork of that length [m].

    Raises
    ------
    NoSolution
        If its wheels cannot both reach the ground.
    """
    fork = Fork(axle_to_crown, stand.fork.offset)
    numbers = physics.stance_on_wheels(stand.frame, fork=fork, wheels=stand.wheels, sag=sag)
    known = {name: _known(value) for name, value in numbers._asdict().items() if name != "pitch"}
    crank = stand.bike.contact.crank
    height = float(numbers.bb_height)
    return Stance(
        axle_to_crown=axle_to_crown,
        front_sag=float(sag.front),
        rear_sag=float(sag.rear_up),
        pedal_height=None if crank is None else height - crank.si,
        rear_radius=float(stand.wheels.rear),
        front_radius=float(stand.wheels.front),
        points=_points(stand, fork, sag, float(numbers.pitch)),
        **known,  # type: ignore[arg-type]  # only angles and reach can be None, as the type says
    )


def _known(value: object) -> float | None:
    number = float(value)  # type: ignore[arg-type]  # one bike: every number is a float
    return None if math.isnan(number) else number


def _points(stand: Stand, fork: Fork, sag: Sag, pitch: float) -> Points:
    frame = stand.frame

    def ground(x: float, y: float) -> StancePoint:
        right, up = physics.on_the_ground(x, y, pitch=pitch, sag=sag, rear_radius=stand.wheels.rear)
        return float(right), float(up)

    axle_x, axle_y = physics.front_axle(frame, fork, sag)
    top = math.isfinite(float(frame.top_x))
    return Points(
        rear_axle=(0.0, float(stand.wheels.rear)),
        bb=ground(float(frame.bb_x), float(frame.bb_y)),
        crown=ground(float(frame.crown_x), float(frame.crown_y)),
        front_axle=ground(float(axle_x), float(axle_y)),
        head_top=ground(float(frame.top_x), float(frame.top_y)) if top else None,
        saddle=ground(*_saddle(stand)) if _has_saddle(stand) else None,
        grips=ground(*_grips(stand)) if top else None,
    )


def _has_saddle(stand: Stand) -> bool:
    return stand.bike.contact.saddle_height is not None and math.isfinite(float(stand.frame.seat_angle))


def _saddle(stand: Stand) -> StancePoint:
    height, angle = stand.bike.contact.saddle_height, float(stand.frame.seat_angle)
    along = 0.0 if height is None else height.si
    return float(stand.frame.bb_x) - along * math.cos(angle), float(stand.frame.bb_y) + along * math.sin(angle)


def _grips(stand: Stand) -> StancePoint:
    contact = stand.bike.contact
    ahead = GRIPS[0] if contact.grips_ahead is None else contact.grips_ahead.si
    above = GRIPS[1] if contact.grips_above is None else contact.grips_above.si
    return float(stand.frame.top_x) + ahead, float(stand.frame.top_y) + above


def outline_change(outline: Outline, longer: float) -> OutlineChange:
    """What a longer or shorter fork does to a bike of which only head angle and wheelbase are known [m].

    Wheels are taken to be alike where nobody said otherwise; with another rear wheel the angles change in the fourth
    digit.
    """
    head = outline.head_angle.si
    tilt = physics.tilt_alone(head, outline.wheelbase.si, longer=longer)
    pitch = float(tilt.pitch)
    trail = None
    if outline.offset is not None and outline.front_radius is not None:
        before, after = (
            physics.trail_of(angle, radius=outline.front_radius.si, offset=outline.offset.si)[0]
            for angle in (head, head - pitch)
        )
        trail = float(after) - float(before)
    return OutlineChange(longer, -pitch, -pitch, float(tilt.wheelbase), trail)
