"""How a bike stands, what its fork carries and which way that was got, and how much room its tyre has."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

from sagwright.domain.bike import ClearancePlace
from sagwright.domain.value import Measured

StancePoint: TypeAlias = tuple[float, float]


class LoadHow(StrEnum):
    """Which way a load was got."""

    GIVEN = "given"
    SHARE = "mass times a stated front share"
    SCALE = "a scale under the front wheel"
    POSTURE = "masses, posture and how the bike stands at sag"
    ASSUMED = "assumed: what as found carries at 20 % of its travel"


@dataclass(frozen=True, slots=True)
class Load:
    """Force along the fork at rest [N], and which way it was got."""

    force: Measured
    how: LoadHow


@dataclass(frozen=True, slots=True)
class Points:
    """Where a bike's points stand: forward of the rear axle, and over the ground [m].

    `saddle` and `grips` are None where nobody knows; `head_top` is None where reach and stack are unknown.
    """

    rear_axle: StancePoint
    bb: StancePoint
    crown: StancePoint
    front_axle: StancePoint
    head_top: StancePoint | None = None
    saddle: StancePoint | None = None
    grips: StancePoint | None = None


@dataclass(frozen=True, slots=True)
class Stance:
    """A bike on level ground; None where nobody knows.

    Attributes
    ----------
    axle_to_crown : float
        Of the fork topped out, along the steerer [m].
    front_sag, rear_sag : float
        Along the steerer, and as the rear axle's rise [m].
    head_angle, seat_angle : float, float or None
        From the horizontal behind [rad].
    bb_height, bb_drop, pedal_height : float, float, float or None
        Bottom bracket over the ground and below the rear axle; the lower pedal's axle over the ground [m].
    reach, stack : float or None [m]
    trail, mechanical_trail, flop, wheelbase, front_centre : float [m]
    rear_radius, front_radius : float
        Of the wheels [m].
    points : Points
    """

    axle_to_crown: float
    front_sag: float
    rear_sag: float
    head_angle: float
    seat_angle: float | None
    bb_height: float
    bb_drop: float
    pedal_height: float | None
    reach: float | None
    stack: float | None
    trail: float
    mechanical_trail: float
    flop: float
    wheelbase: float
    front_centre: float
    rear_radius: float
    front_radius: float
    points: Points


FIGURES: tuple[str, ...] = (
    "head_angle",
    "seat_angle",
    "bb_height",
    "bb_drop",
    "pedal_height",
    "reach",
    "stack",
    "trail",
    "mechanical_trail",
    "flop",
    "wheelbase",
    "front_centre",
)
"""The numbers of a stance that are compared, in the order in which they are shown."""


def stance_difference(before: Stance, after: Stance) -> dict[str, float | None]:
    """After less before, for each of `FIGURES`; None where one of them is unknown."""
    return {name: _less(getattr(after, name), getattr(before, name)) for name in FIGURES}


def _less(after: float | None, before: float | None) -> float | None:
    return None if after is None or before is None else after - before


@dataclass(frozen=True, slots=True)
class OutlineChange:
    """What a change of fork length does to a bike of which only the outline is known.

    Attributes
    ----------
    longer : float
        Change of the axle to crown [m].
    head_angle, seat_angle : float
        Change [rad].
    wheelbase : float
        Change [m].
    trail : float or None
        Change [m]; None without offset and wheel.
    """

    longer: float
    head_angle: float
    seat_angle: float
    wheelbase: float
    trail: float | None = None


class Side(StrEnum):
    """Which setup of a plan something belongs to."""

    AS_FOUND = "as found"
    TARGET = "target"


@dataclass(frozen=True, slots=True)
class Clearance:
    """Room between the front tyre and a part at full compression.

    Attributes
    ----------
    place : ClearancePlace
    gap : Measured
        [m]; below zero is contact.
    measured : bool
        From a measured gap; otherwise from dimensions.
    under_test : float or None
        Gap under 2800 N at the lowest permitted pressure, ISO 4210-6 [m]; None where it does not apply.
    """

    place: ClearancePlace
    gap: Measured
    measured: bool
    under_test: float | None = None


@dataclass(frozen=True, slots=True)
class RiderLoad:
    """A fork under a rider, load and sag in agreement.

    Attributes
    ----------
    side : Side
    who : str
        "rider" or "technician".
    how : LoadHow
        Which way the load was got.
    load : Measured
        Along the fork [N].
    front_axle, rear_axle : float, float or None
        What each wheel carries on the road [N]; the rear one only where masses are known.
    across : float or None
        What bends the fork [N]; None without a bike.
    head_angle : float or None
        At sag [rad]; None without a bike.
    sag : Measured
        With the uncertainty that the load's brings [m].
    travel : float
        [m].
    lifted, pressed : float
        Sag read after lifting and after pressing: friction holds it there [m].
    friction : float
        Half that band: sliding friction, and what bending adds [N].
    """

    side: Side
    who: str
    how: LoadHow
    load: Measured
    front_axle: float | None
    rear_axle: float | None
    across: float | None
    head_angle: float | None
    sag: Measured
    travel: float
    lifted: float
    pressed: float
    friction: float


@dataclass(frozen=True, slots=True)
class StanceView:
    """What a plan does to the bike.

    Attributes
    ----------
    topped_out, sagged : tuple of (Side, Stance)
        As found and at the target as far as they are known; with the rider's sag in front and `rear_sag` behind.
    outline : OutlineChange or None
        Instead of these, where only an outline of the bike is known.
    rider_loads : tuple of RiderLoad
    clearances : tuple of Clearance
    rear_sag : float
        Share of rear travel taken for the sagged stances; 0 for a rigid rear end.
    """

    topped_out: tuple[tuple[Side, Stance], ...] = ()
    sagged: tuple[tuple[Side, Stance], ...] = ()
    outline: OutlineChange | None = None
    rider_loads: tuple[RiderLoad, ...] = ()
    clearances: tuple[Clearance, ...] = ()
    rear_sag: float = 0.0
