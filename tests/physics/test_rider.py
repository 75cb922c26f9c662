"""A rider's centre of mass: de Leva's table, a body laid out by hand, and front shares in their band."""

from __future__ import annotations

import numpy as np
import pytest

from sagwright.errors import NoSolution, OutOfRange
from sagwright.physics.rider import (
    ANKLE_BEHIND_PEDAL,
    ANKLE_OVER_PEDAL,
    ATTACKING,
    FEMALE,
    MALE,
    NECK,
    STANDING_LEVEL,
    Body,
    ContactPoints,
    PlanePoint,
    Segment,
    hips_of,
    rider_centre,
)

BB, WHEELBASE = (0.434, 0.325), 1.237  # a trail bike at sag [m], from the rear contact
PEDALS: tuple[PlanePoint, PlanePoint] = ((BB[0] + 0.17, BB[1]), (BB[0] - 0.17, BB[1]))
GRIPS: PlanePoint = (0.856, 1.05)


def shares(body: Body) -> float:
    twice = (body.upper_arm, body.forearm, body.hand, body.thigh, body.shank, body.foot)
    return body.head.mass + body.trunk.mass + 2.0 * sum(part.mass for part in twice)


def test_the_segments_are_a_whole_body__de_leva_1996_table_4() -> None:
    assert shares(MALE) == pytest.approx(1.0, abs=5e-5)
    assert shares(FEMALE) == pytest.approx(0.9999, abs=5e-5)


def test_a_body_laid_out_by_hand() -> None:
    """All on one level line: straight-ish legs to pedals behind, trunk ahead; the sum done here, segment by
    segment."""
    hips, arms = (0.0, 1.0), 0.995
    reach = MALE.upper_arm.length + MALE.forearm.length + MALE.hand.centre * MALE.hand.length
    grips = (MALE.trunk.length + (arms - 1e-9) * reach, 1.0)
    leg = MALE.thigh.length + MALE.shank.length
    pedal = (-0.9999 * leg + ANKLE_BEHIND_PEDAL, 1.0 - ANKLE_OVER_PEDAL)
    found = rider_centre(MALE, height=MALE.height, hips=hips, held=ContactPoints((pedal, pedal), grips), arms=arms)

    def two(part: Segment, x: float) -> float:
        return 2.0 * part.mass * x

    shoulder = MALE.trunk.length
    expected = (
        MALE.trunk.mass * shoulder * (1.0 - MALE.trunk.centre)
        + MALE.head.mass * (shoulder + NECK * np.sqrt(0.5))
        + two(MALE.upper_arm, shoulder + MALE.upper_arm.centre * MALE.upper_arm.length)
        + two(MALE.forearm, shoulder + MALE.upper_arm.length + MALE.forearm.centre * MALE.forearm.length)
        + two(MALE.hand, grips[0])
        - two(MALE.thigh, MALE.thigh.centre * MALE.thigh.length)
        - two(MALE.shank, MALE.thigh.length + MALE.shank.centre * MALE.shank.length)
        + two(MALE.foot, pedal[0])
    )
    assert found[0] == pytest.approx(expected, abs=0.004)


@pytest.mark.parametrize("body", [MALE, FEMALE])
@pytest.mark.parametrize("height", [1.60, 1.75, 1.90])
@pytest.mark.parametrize("posture", [STANDING_LEVEL, ATTACKING])
def test_front_shares_lie_in_the_band(body: Body, height: float, posture: object) -> None:
    """Band 25 to 50 % front: published bicycles with riders stand at 28 to 45 % (tests of load; weak
    sources)."""
    chosen = STANDING_LEVEL if posture is STANDING_LEVEL else ATTACKING
    hips = hips_of(chosen, body, height=height, bb=BB)
    centre = rider_centre(body, height=height, hips=hips, held=ContactPoints(PEDALS, GRIPS), arms=chosen.arms)
    assert 0.25 < centre[0] / WHEELBASE < 0.50


def test_a_rider_moves_with_the_bike() -> None:
    here = rider_centre(MALE, height=1.8, hips=(0.3, 1.2), held=ContactPoints(PEDALS, GRIPS), arms=0.85)
    pedals: tuple[PlanePoint, PlanePoint] = tuple((x + 0.4, y - 0.1) for x, y in PEDALS)  # type: ignore[assignment]
    there = rider_centre(
        MALE, height=1.8, hips=(0.7, 1.1), held=ContactPoints(pedals, (GRIPS[0] + 0.4, GRIPS[1] - 0.1)), arms=0.85
    )
    assert there == pytest.approx((here[0] + 0.4, here[1] - 0.1), abs=1e-12)


def test_hips_back_take_weight_off_the_front() -> None:
    near, far = (
        rider_centre(MALE, height=1.8, hips=(x, 1.1), held=ContactPoints(PEDALS, GRIPS), arms=0.85)[0]
        for x in (0.3, 0.2)
    )
    assert far < near


def test_arrays_are_the_single_riders() -> None:
    heights = np.array([1.6, 1.7, 1.8])
    hips = hips_of(STANDING_LEVEL, MALE, height=heights, bb=BB)
    together = rider_centre(MALE, height=heights, hips=hips, held=ContactPoints(PEDALS, GRIPS), arms=0.86)
    for place, height in enumerate(heights):
        one = hips_of(STANDING_LEVEL, MALE, height=float(height), bb=BB)
        alone = rider_centre(MALE, height=float(height), hips=one, held=ContactPoints(PEDALS, GRIPS), arms=0.86)
        assert np.column_stack(together)[place] == pytest.approx(alone, rel=1e-14)


def test_what_a_body_cannot_do_is_refused() -> None:
    with pytest.raises(NoSolution, match="legs do not reach"):
        rider_centre(MALE, height=1.6, hips=(0.3, 1.6), held=ContactPoints(PEDALS, (0.8, 1.4)), arms=0.9)
    with pytest.raises(NoSolution, match="arms do not reach"):
        rider_centre(MALE, height=1.6, hips=(-0.6, 0.9), held=ContactPoints(PEDALS, GRIPS), arms=0.9)
    with pytest.raises(OutOfRange, match="height must be between"):
        rider_centre(MALE, height=178.0, hips=(0.3, 1.2), held=ContactPoints(PEDALS, GRIPS), arms=0.9)
