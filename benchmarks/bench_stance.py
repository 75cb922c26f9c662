"""How long a stance takes, alone and by the hundred thousand, load with sag, and both drawings."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from benchmarks.timing import Timed, benchmark
from sagwright.domain.intake import Intake
from sagwright.domain.setup import Setup
from sagwright.drawing.cutaway.cutaway import cutaway
from sagwright.drawing.cutaway.layout import ShownLeg
from sagwright.drawing.side_view import Shown, side_view
from sagwright.drawing.svg import Meaning
from sagwright.formats.bike.load import load_bike
from sagwright.formats.intake.load import load_intake
from sagwright.physics.frame import Angles, Fork, FrameGeometry, Rear, WheelRadii, frame_from_reach
from sagwright.physics.stance import Sag, WheelStance, stance_on_wheels
from sagwright.planning.bike.fork_load import LoadSplit
from sagwright.planning.bike.geometry import stand_of
from sagwright.planning.bike.report import agreed_load
from sagwright.planning.bike.stance import stance_of
from sagwright.planning.spring.cutaway import leg_inside
from sagwright.units import UnitChoice
from tests.reference.contact import Bike as Reference
from tests.reference.contact import stand

EXAMPLES = Path(__file__).parents[1] / "examples"
MANY = 100_000
HEAD, SEAT = np.radians(64.8), np.radians(77.0)


@benchmark("one_stance")
def one_stance() -> Timed[WheelStance]:
    """One bike from its frame, fork, wheels and sag to all its numbers."""
    bike = stand_of(load_bike(EXAMPLES / "bikes" / "trail.yaml"))
    sag = Sag(0.028, 0.039, 0.002)
    return Timed(work=lambda: stance_on_wheels(bike.frame, fork=bike.fork, wheels=bike.wheels, sag=sag))


@benchmark("many_stances")
def many_stances() -> Timed[NDArray[np.float64]]:
    """A hundred thousand bikes as arrays.

    The baseline solves each bike's contact conditions by scipy's fsolve, from the printed numbers.
    """
    rng = np.random.default_rng(7)
    lengths, sags = rng.uniform(0.48, 0.58, MANY), rng.uniform(0.0, 0.05, MANY)
    reaches, stacks = rng.uniform(0.42, 0.52, MANY), rng.uniform(0.60, 0.66, MANY)
    chainstay, drop, radii = 0.435, 0.030, (0.370, 0.372)
    wheels, rear = WheelRadii(*radii), Rear(chainstay, drop)

    def frames() -> FrameGeometry:
        printed = Fork(0.45, 0.044)
        return frame_from_reach(rear, Angles(HEAD, SEAT), fork=printed, wheels=wheels, reach_stack=(reaches, stacks))

    def work() -> NDArray[np.float64]:
        found = stance_on_wheels(frames(), fork=Fork(lengths, 0.044), wheels=wheels, sag=Sag(front=sags))
        return np.stack([found.head_angle, found.bb_height, found.wheelbase])

    def alone(n: int) -> tuple[float, float, float]:
        bike = Reference(
            reach=reaches[n],
            stack=stacks[n],
            head_angle=HEAD,
            chainstay=chainstay,
            drop=drop,
            axle_to_crown=0.45,
            offset=0.044,
            rear_radius=radii[0],
            front_radius=radii[1],
            other_axle_to_crown=lengths[n],
            front_sag=sags[n],
            rear_sag=0.0,
            rear_back=0.0,
        )
        standing = stand(bike)
        return standing.head_angle, standing.bb.imag, standing.front_axle.real - standing.rear_axle.real

    def baseline() -> NDArray[np.float64]:
        return np.array([alone(n) for n in range(MANY)]).T

    return Timed(work=work, baseline=baseline, agree=lambda a, b: np.allclose(a, b, rtol=0, atol=1e-8), runs=1)


@benchmark("load_and_sag")
def load_and_sag() -> Timed[LoadSplit | None]:
    """A rider's load and the fork's sag until they agree; spring and bike are built from their values each time."""
    intake, setup = _charged()
    return Timed(work=lambda: agreed_load(intake, setup))


def _charged() -> tuple[Intake, Setup]:
    intake = replace(load_intake(EXAMPLES / "shorten-t35-bike.yaml"), technician=None)
    return intake, intake.as_found.setup


@benchmark("side_view")
def two_bikes_drawn() -> Timed[str]:
    """Two stances over each other as SVG."""
    bike = stand_of(load_bike(EXAMPLES / "bikes" / "trail.yaml"))
    bikes = (
        Shown("as found", Meaning.AS_FOUND, stance_of(bike, 0.541)),
        Shown("target", Meaning.TARGET, stance_of(bike, 0.521)),
    )
    return Timed(work=lambda: side_view(bikes, choice=UnitChoice()))


@benchmark("cutaway")
def two_legs_drawn() -> Timed[str]:
    """Two spring legs side by side as SVG."""
    intake, setup = _charged()
    inside = leg_inside(intake.sheet, setup)
    legs = (ShownLeg("as found", Meaning.AS_FOUND, inside), ShownLeg("target", Meaning.TARGET, inside))
    return Timed(work=lambda: cutaway(legs, choice=UnitChoice()))
