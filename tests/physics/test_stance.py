"""Stance: laws of a rigid body, published vectors, and an independent solution of the contact conditions."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from sagwright.errors import NoSolution, OutOfRange
from sagwright.physics.frame import (
    Angles,
    Fork,
    Rear,
    WheelRadii,
    along_steerer,
    below_head_tube_top,
    frame_from_reach,
    frame_from_wheelbase,
    wheelbase_of_front_centre,
)
from sagwright.physics.stance import (
    Sag,
    front_axle,
    on_the_ground,
    rear_axle_about_pivot,
    rear_axle_along,
    rear_axle_straight_up,
    stance_on_wheels,
    tilt_alone,
    trail_of,
)
from sagwright.units import worded
from tests.reference.contact import stand
from tests.support.bikes import parts, random_bikes, stacked
from tests.support.published import as_printed

DEGREE = np.pi / 180.0
LAW = 1e-9  # m and rad


def test_it_stands_as_printed_with_the_fork_it_was_printed_with() -> None:
    for bike in random_bikes(200, seed=1):
        frame, _, wheels, _ = parts(bike)
        standing = stance_on_wheels(frame, fork=Fork(bike.axle_to_crown, bike.offset), wheels=wheels)
        assert standing.pitch == pytest.approx(0.0, abs=LAW)
        assert standing.head_angle == pytest.approx(bike.head_angle, abs=LAW)
        assert standing.reach == pytest.approx(bike.reach, abs=LAW)
        assert standing.stack == pytest.approx(bike.stack, abs=LAW)
        assert standing.bb_drop == pytest.approx(bike.drop, abs=LAW)


# CHECKS of the trade's formulas: trail (R cos θ − o)/sin θ. Vectors computed apart from this package.
@pytest.mark.parametrize(
    ("wheel", "trail", "mechanical", "flop"),
    [
        ((65.0, 0.3685, 0.044), "0.12329", "0.11173", "0.04722"),
        ((73.0, 0.336, 0.045), "0.05567", "0.05324", "0.01556"),
    ],
)
def test_trail_vectors(wheel: tuple[float, float, float], trail: str, mechanical: str, flop: str) -> None:
    head, radius, offset = wheel
    found = trail_of(head * DEGREE, radius=radius, offset=offset)
    assert list(found) == [as_printed(trail), as_printed(mechanical), as_printed(flop)]


def test_benchmark_bicycle__meijaard_2007_table_1() -> None:
    """Table 1: w 1.02 m, c 0.08 m, λ π/10, rF 0.35 m. Offset, mechanical trail and flop follow from them,
    computed apart from this package to the digits below."""
    head, radius = 0.5 * np.pi - np.pi / 10.0, 0.35
    trail, mechanical, flop = trail_of(head, radius=radius, offset=0.0320714267)
    assert trail == pytest.approx(0.08, abs=2e-10)
    assert mechanical == as_printed("0.0760845213")
    assert flop == as_printed("0.0235114101")


def test_benchmark_bicycle_as_a_frame__meijaard_2007_table_1() -> None:
    wheels, fork = WheelRadii(rear=0.30, front=0.35), Fork(0.38, 0.0320714267)
    frame = frame_from_wheelbase(
        Rear(0.42, 0.05), Angles(72.0 * DEGREE, np.nan), fork=fork, wheels=wheels, wheelbase=1.02
    )
    standing = stance_on_wheels(frame, fork=fork, wheels=wheels)
    assert standing.wheelbase == pytest.approx(1.02, abs=LAW)
    assert standing.trail == pytest.approx(0.08, abs=2e-10)
    assert np.isnan(standing.reach)
    assert np.isnan(standing.seat_angle)


def test_every_distance_in_the_frame_is_kept() -> None:
    for bike in random_bikes(200, seed=2):
        frame, fork, wheels, sag = parts(bike)
        standing = stance_on_wheels(frame, fork=fork, wheels=wheels, sag=sag)
        points = {
            "bb": (frame.bb_x, frame.bb_y),
            "top": (frame.top_x, frame.top_y),
            "crown": (frame.crown_x, frame.crown_y),
            "front": front_axle(frame, fork, sag),
        }
        moved = {
            name: on_the_ground(*point, pitch=standing.pitch, sag=sag, rear_radius=wheels.rear)
            for name, point in points.items()
        }
        for one, other in combinations(points, 2):
            before = np.hypot(points[one][0] - points[other][0], points[one][1] - points[other][1])
            after = np.hypot(moved[one][0] - moved[other][0], moved[one][1] - moved[other][1])
            assert after == pytest.approx(before, abs=LAW)
        head_tube = np.hypot(moved["top"][0] - moved["crown"][0], moved["top"][1] - moved["crown"][1])
        assert head_tube == pytest.approx(below_head_tube_top(frame), abs=LAW)


def test_both_tyres_are_on_the_ground() -> None:
    for bike in random_bikes(200, seed=3):
        frame, fork, wheels, sag = parts(bike)
        standing = stance_on_wheels(frame, fork=fork, wheels=wheels, sag=sag)
        front = on_the_ground(*front_axle(frame, fork, sag), pitch=standing.pitch, sag=sag, rear_radius=wheels.rear)
        rear = on_the_ground(-sag.rear_back, sag.rear_up, pitch=standing.pitch, sag=sag, rear_radius=wheels.rear)
        assert front == pytest.approx((standing.wheelbase, wheels.front), abs=LAW)
        assert rear == pytest.approx((0.0, wheels.rear), abs=LAW)


def test_ten_thousand_bikes_against_scipy() -> None:
    """Independent: the contact conditions solved by scipy.optimize.fsolve, tests/reference/contact.py."""
    bikes = list(random_bikes(10_000, seed=4))
    frame, fork, wheels, sag = parts(stacked(bikes))
    found = stance_on_wheels(frame, fork=fork, wheels=wheels, sag=sag)
    solved = [stand(bike) for bike in bikes]
    expected = {
        "head_angle": [each.head_angle for each in solved],
        "bb_height": [each.bb.imag for each in solved],
        "bb_drop": [(each.rear_axle - each.bb).imag for each in solved],
        "reach": [(each.top - each.bb).real for each in solved],
        "stack": [(each.top - each.bb).imag for each in solved],
        "trail": [each.trail for each in solved],
        "wheelbase": [each.front_axle.real - each.rear_axle.real for each in solved],
        "front_centre": [abs(each.front_axle - each.bb) for each in solved],
    }
    for name, column in expected.items():
        np.testing.assert_allclose(getattr(found, name), column, rtol=0, atol=1e-8, err_msg=name)


def test_one_bike_and_an_array_of_it_give_the_same_bits() -> None:
    bikes = list(random_bikes(50, seed=5))
    frame, fork, wheels, sag = parts(stacked(bikes))
    together = stance_on_wheels(frame, fork=fork, wheels=wheels, sag=sag)
    for place, bike in enumerate(bikes):
        one_frame, one_fork, one_wheels, one_sag = parts(bike)
        alone = stance_on_wheels(one_frame, fork=one_fork, wheels=one_wheels, sag=one_sag)
        for name, value in alone._asdict().items():
            assert getattr(together, name)[place] == pytest.approx(value, rel=1e-14)


def test_without_a_bike_the_differences_are_those_of_the_bike() -> None:
    for bike in random_bikes(200, seed=6):
        frame, _, wheels, _ = parts(bike)
        before = stance_on_wheels(frame, fork=Fork(bike.axle_to_crown, bike.offset), wheels=wheels)
        after = stance_on_wheels(frame, fork=Fork(bike.axle_to_crown + 0.02, bike.offset), wheels=wheels)
        tilt = tilt_alone(before.head_angle, before.wheelbase, longer=0.02, rise=wheels.front - wheels.rear)
        assert tilt.pitch == pytest.approx(before.head_angle - after.head_angle, abs=LAW)
        assert tilt.pitch == pytest.approx(before.seat_angle - after.seat_angle, abs=LAW)
        assert tilt.wheelbase == pytest.approx(after.wheelbase - before.wheelbase, abs=LAW)


def test_half_a_degree_for_ten_millimetres() -> None:
    """Common practice, no source: about half a degree of head angle for 10 mm of fork on a trail bike."""
    tilt = tilt_alone(65.0 * DEGREE, 1.23, longer=0.010)
    assert float(tilt.pitch) / DEGREE == pytest.approx(0.5, abs=0.1)


def test_a_longer_fork_slackens_raises_and_shortens_the_reach() -> None:
    for bike in random_bikes(100, seed=7):
        frame, _, wheels, _ = parts(bike)
        short, long = (
            stance_on_wheels(frame, fork=Fork(bike.axle_to_crown + more, bike.offset), wheels=wheels)
            for more in (0.0, 0.01)
        )
        assert long.head_angle < short.head_angle
        assert long.bb_height > short.bb_height
        assert long.reach < short.reach
        assert long.trail > short.trail
        assert long.wheelbase > short.wheelbase


def test_front_sag_is_a_shorter_fork() -> None:
    for bike in random_bikes(50, seed=8):
        frame, fork, wheels, _ = parts(bike)
        sagged = stance_on_wheels(frame, fork=fork, wheels=wheels, sag=Sag(front=0.03))
        shorter = stance_on_wheels(frame, fork=Fork(fork.axle_to_crown - 0.03, fork.offset), wheels=wheels)
        assert sagged == pytest.approx(shorter, rel=1e-14, abs=1e-15)


def test_the_trails_hang_together() -> None:
    for bike in random_bikes(50, seed=9):
        frame, fork, wheels, sag = parts(bike)
        standing = stance_on_wheels(frame, fork=fork, wheels=wheels, sag=sag)
        assert trail_of(standing.head_angle, radius=wheels.front, offset=fork.offset) == pytest.approx(
            (standing.trail, standing.mechanical_trail, standing.flop), abs=1e-12
        )


def test_a_frame_by_wheelbase_or_front_centre_is_the_frame_by_reach() -> None:
    for bike in random_bikes(100, seed=10):
        frame, _, wheels, _ = parts(bike)
        fork = Fork(bike.axle_to_crown, bike.offset)
        known = stance_on_wheels(frame, fork=fork, wheels=wheels)
        rear, angles = Rear(bike.chainstay, bike.drop), Angles(frame.head_angle, frame.seat_angle)
        wheelbase = wheelbase_of_front_centre(rear, known.front_centre, wheels)
        assert wheelbase == pytest.approx(known.wheelbase, abs=LAW)
        again = frame_from_wheelbase(rear, angles, fork=fork, wheels=wheels, wheelbase=wheelbase)
        assert (again.crown_x, again.crown_y) == pytest.approx((frame.crown_x, frame.crown_y), abs=LAW)


def test_an_axle_on_a_pivot_keeps_its_distance() -> None:
    for travel in np.linspace(0.0, 0.16, 9):
        sag = rear_axle_about_pivot(float(travel), pivot_x=0.40, pivot_y=0.05)
        assert np.hypot(-sag.rear_back - 0.40, sag.rear_up - 0.05) == pytest.approx(np.hypot(0.40, 0.05), abs=LAW)
        assert sag.rear_up == travel


def test_a_measured_path_goes_through_its_points() -> None:
    ups, backs = (0.0, 0.05, 0.15), (0.0, 0.004, 0.001)
    for up, back in zip(ups, backs, strict=True):
        assert rear_axle_along(up, ups=ups, backs=backs) == pytest.approx((0.0, up, back), abs=1e-15)
    assert rear_axle_along(0.10, ups=ups, backs=backs).rear_back == pytest.approx(0.0025, abs=1e-15)
    assert rear_axle_straight_up(0.05) == (0.0, 0.05, 0.0)


def test_a_straight_tape_reads_the_longer_side() -> None:
    assert np.hypot(along_steerer(0.551, 0.044), 0.044) == pytest.approx(0.551, abs=1e-15)


def test_what_cannot_stand_is_refused() -> None:
    fork, wheels = Fork(0.55, 0.044), WheelRadii(0.37, 0.37)
    rear, angles = Rear(0.435, 0.03), Angles(65.0 * DEGREE, 76.0 * DEGREE)
    with pytest.raises(NoSolution, match="stack leaves no room"):
        frame_from_reach(rear, angles, fork=fork, wheels=wheels, reach_stack=(0.47, 0.40))
    with pytest.raises(OutOfRange) as caught:
        frame_from_reach(rear, Angles(95.0 * DEGREE, np.nan), fork=fork, wheels=wheels, reach_stack=(0.47, 0.63))
    assert str(worded(caught.value)) == "head_angle must lie between 0° and 90°, got '95°'."
    with pytest.raises(OutOfRange, match="longer than the drop"):
        frame_from_wheelbase(Rear(0.02, 0.03), angles, fork=fork, wheels=wheels, wheelbase=1.2)
    with pytest.raises(NoSolution, match="front centre"):
        wheelbase_of_front_centre(rear, 0.01, wheels)
    frame = frame_from_reach(rear, angles, fork=fork, wheels=wheels, reach_stack=(0.47, 0.63))
    for bad in (WheelRadii(0.37, 5.0), WheelRadii(np.nan, 0.37), WheelRadii(0.37, np.inf)):
        with pytest.raises(NoSolution, match="both stand"):
            stance_on_wheels(frame, fork=fork, wheels=bad)
    with pytest.raises(NoSolution, match="cannot rise"):
        rear_axle_about_pivot(0.6, pivot_x=0.4, pivot_y=0.0)
    with pytest.raises(OutOfRange, match="within the axle path"):
        rear_axle_along(0.2, ups=(0.0, 0.1), backs=(0.0, 0.0))
    with pytest.raises(OutOfRange, match="each higher"):
        rear_axle_along(0.0, ups=(0.0, 0.0), backs=(0.0, 0.0))
    with pytest.raises(OutOfRange, match="longer than the offset"):
        along_steerer(0.04, 0.044)
    with pytest.raises(OutOfRange, match="right_angle_less_head_angle"):
        tilt_alone(95.0 * DEGREE, 1.2, longer=0.01)
