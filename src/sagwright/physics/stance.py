"""The geometry of a bike standing on its wheels, with or without sag.

The frame is rigid. It turns about the rear axle until the front axle stands at its wheel's radius over the
ground; with the front axle at (x, y) from the rear one in the frame's axes and d the difference of the radii,
the turned axle is at (w, d) with w = √(x² + y² − d²), and the turn follows without any small angle:

    cos φ = (w x + d y)/(x² + y²),   sin φ = (d x − w y)/(x² + y²)

φ is the pitch, positive with the front raised. Angles in rad, lengths in m; floats, or arrays that broadcast.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from sagwright.errors import NoSolution, OutOfRange
from sagwright.physics.frame import Fork, FrameGeometry, WheelRadii
from sagwright.physics.numeric import Real, finite, positive


class Sag(NamedTuple):
    """How far a bike stands in its travel.

    `front` is the fork's compression along the steerer; `rear_up` and `rear_back` are how far the rear axle
    has moved in the frame's axes, see `rear_axle_straight_up` and its neighbours [m].
    """

    front: Real = 0.0
    rear_up: Real = 0.0
    rear_back: Real = 0.0


TOPPED_OUT = Sag()


class WheelStance(NamedTuple):
    """A bike on level ground.

    Attributes
    ----------
    pitch : float or array
        Turn of the frame against its own axes, front up positive [rad].
    head_angle, seat_angle : float or array
        From the horizontal behind [rad].
    bb_height, bb_drop : float or array
        Bottom bracket over the ground, and below the rear axle [m].
    reach, stack : float or array
        Upper end of the head tube before and above the bottom bracket [m].
    trail, mechanical_trail, flop : float or array
        Along the ground, square to the steering axis, and the wheel flop [m].
    wheelbase, front_centre : float or array
        Axle to axle, level; bottom bracket to front axle, straight [m].
    """

    pitch: Real
    head_angle: Real
    seat_angle: Real
    bb_height: Real
    bb_drop: Real
    reach: Real
    stack: Real
    trail: Real
    mechanical_trail: Real
    flop: Real
    wheelbase: Real
    front_centre: Real


class Tilt(NamedTuple):
    """What can be said without a bike: how its pitch [rad] and wheelbase [m] change. Head and seat angle fall
    by the pitch."""

    pitch: Real
    wheelbase: Real


def stance_on_wheels(frame: FrameGeometry, *, fork: Fork, wheels: WheelRadii, sag: Sag = TOPPED_OUT) -> WheelStance:
    """How a bike stands.

    Parameters
    ----------
    frame : FrameGeometry
    fork : Fork
        Topped out.
    wheels : WheelRadii
    sag : Sag

    Returns
    -------
    Stance
        Not-a-number where the frame does not know.

    Raises
    ------
    NoSolution
        If the wheels cannot both reach the ground, or a number is not finite.

    Notes
    -----
    Valid for: rigid frame and wheels, level ground, a fork that slides along its steerer. Closed form.

    References
    ----------
    Trail as in [meijaard-2007]; flop = mechanical trail × cos(head angle).
    """
    cos_h, sin_h = np.cos(frame.head_angle), np.sin(frame.head_angle)
    length = fork.axle_to_crown - sag.front
    # everything from the rear axle where it stands now
    x = frame.crown_x + sag.rear_back + length * cos_h + fork.offset * sin_h
    y = frame.crown_y - sag.rear_up - length * sin_h + fork.offset * cos_h
    bb_x, bb_y = frame.bb_x + sag.rear_back, frame.bb_y - sag.rear_up
    wheelbase, cos_p, sin_p = _turn(x, y, wheels.front - wheels.rear)
    cos_t, sin_t = cos_h * cos_p + sin_h * sin_p, sin_h * cos_p - cos_h * sin_p
    pitch = np.arctan2(sin_p, cos_p)
    drop = -1.0 * (bb_x * sin_p + bb_y * cos_p)
    top_x, top_y = frame.top_x - frame.bb_x, frame.top_y - frame.bb_y
    mechanical = wheels.front * cos_t - fork.offset
    return WheelStance(
        pitch=pitch,
        head_angle=frame.head_angle - pitch,
        seat_angle=frame.seat_angle - pitch,
        bb_height=wheels.rear - drop,
        bb_drop=drop,
        reach=top_x * cos_p - top_y * sin_p,
        stack=top_x * sin_p + top_y * cos_p,
        trail=mechanical / sin_t,
        mechanical_trail=mechanical,
        flop=mechanical * cos_t,
        wheelbase=wheelbase,
        front_centre=np.hypot(x - bb_x, y - bb_y),
    )


def front_axle(frame: FrameGeometry, fork: Fork, sag: Sag = TOPPED_OUT) -> tuple[Real, Real]:
    """The front axle in the frame's axes [m]."""
    cos_h, sin_h = np.cos(frame.head_angle), np.sin(frame.head_angle)
    length = fork.axle_to_crown - sag.front
    return (
        frame.crown_x + length * cos_h + fork.offset * sin_h,
        frame.crown_y - length * sin_h + fork.offset * cos_h,
    )


def on_the_ground(x: Real, y: Real, *, pitch: Real, sag: Sag, rear_radius: Real) -> tuple[Real, Real]:
    """A point of the frame seen from the ground under the rear axle: forward and up [m].

    Parameters
    ----------
    x, y : float or array
        In the frame's axes [m].
    pitch : float or array
        Of the stance [rad].
    sag : Sag
        Of the same stance.
    rear_radius : float or array [m]
    """
    cos_p, sin_p = np.cos(pitch), np.sin(pitch)
    right, up = x + sag.rear_back, y - sag.rear_up
    return right * cos_p - up * sin_p, rear_radius + right * sin_p + up * cos_p


def tilt_alone(head_angle: Real, wheelbase: Real, *, longer: Real, rise: Real = 0.0) -> Tilt:
    """What a longer or shorter fork does to a bike of which only head angle and wheelbase are known.

    Parameters
    ----------
    head_angle : float or array
        Before, 0 to π/2 [rad].
    wheelbase : float or array
        Before, > 0 [m].
    longer : float or array
        Change of the axle to crown, shorter negative [m].
    rise : float or array
        Front wheel's radius less the rear one's; 0 for wheels alike [m].

    Returns
    -------
    Tilt

    Raises
    ------
    OutOfRange
        If an argument is not what it must be.
    NoSolution
        If the wheels could not both reach the ground.

    Notes
    -----
    Exact, since nothing else of a rigid bike enters; the pitch is that of `stance_on_wheels` for the same bike.
    """
    positive(head_angle=head_angle, right_angle_less_head_angle=0.5 * np.pi - head_angle, wheelbase=wheelbase)
    finite(longer=longer, rise=rise)
    x = wheelbase + longer * np.cos(head_angle)
    y = rise - longer * np.sin(head_angle)
    after, cos_p, sin_p = _turn(x, y, rise)
    return Tilt(np.arctan2(sin_p, cos_p), after - wheelbase)


def trail_of(head_angle: Real, *, radius: Real, offset: Real) -> tuple[Real, Real, Real]:
    """Trail, mechanical trail and wheel flop of a front wheel [m].

    Parameters
    ----------
    head_angle : float or array
        0 to π, from the horizontal behind [rad].
    radius, offset : float or array
        Of the wheel with its tyre, and of the fork [m].

    Raises
    ------
    OutOfRange
        If the head angle or the radius is not greater than 0.

    References
    ----------
    Trail c, mechanical trail c sin θ and flop c sin θ cos θ as in [meijaard-2007].
    """
    positive(head_angle=head_angle, radius=radius)
    mechanical = radius * np.cos(head_angle) - offset
    return mechanical / np.sin(head_angle), mechanical, mechanical * np.cos(head_angle)


def rear_axle_straight_up(travel: Real) -> Sag:
    """Rear sag of a bike whose axle is taken to rise square to the ground of the printed geometry."""
    return Sag(rear_up=travel)


def rear_axle_about_pivot(travel: Real, *, pivot_x: Real, pivot_y: Real) -> Sag:
    """Rear sag of a bike whose axle swings about one pivot.

    Parameters
    ----------
    travel : float or array
        Rise of the axle, square to the ground of the printed geometry [m].
    pivot_x, pivot_y : float or array
        In the frame's axes, from the topped-out rear axle [m].

    Raises
    ------
    NoSolution
        If the axle cannot rise that far.
    """
    square = pivot_x * pivot_x + pivot_y * pivot_y - (travel - pivot_y) ** 2
    if not np.all(np.asarray(square) > 0.0):
        raise NoSolution("the rear axle cannot rise that far about its pivot")
    return Sag(rear_up=travel, rear_back=np.sqrt(square) - pivot_x)


def rear_axle_along(travel: Real, *, ups: tuple[float, ...], backs: tuple[float, ...]) -> Sag:
    """Rear sag of a bike whose axle path was measured as points, straight lines between them.

    Parameters
    ----------
    travel : float or array
        Within the points [m].
    ups, backs : tuple of float
        Rise of the axle, ascending, and how far behind its topped-out place it then is [m].

    Raises
    ------
    OutOfRange
        If the travel lies outside the points, or they do not ascend.
    """
    if len(ups) != len(backs) or len(ups) < 2 or not np.all(np.diff(ups) > 0.0):
        raise OutOfRange("must be two points or more, each higher than the one before", field="axle_path")
    inside = (np.asarray(travel) >= ups[0]) & (np.asarray(travel) <= ups[-1])
    if not np.all(inside):
        raise OutOfRange("must lie within the axle path", field="rear travel", value=str(travel))
    return Sag(rear_up=travel, rear_back=np.interp(travel, ups, backs))


def _turn(x: Real, y: Real, rise: Real) -> tuple[Real, Real, Real]:
    """Wheelbase, and cosine and sine of the pitch, that bring a front axle from (x, y) to a height of
    `rise`."""
    square = x * x + y * y
    level = square - rise * rise
    if not np.all(level > 0.0):
        raise NoSolution("the wheels cannot both stand on the ground; check axle to crown, wheels and wheelbase")
    wheelbase = np.sqrt(level)
    return wheelbase, (wheelbase * x + rise * y) / square, (rise * x - wheelbase * y) / square
