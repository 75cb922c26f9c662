"""Clearance and tyres: distances by hand, what travel does not change, ISO 5775."""

from __future__ import annotations

import numpy as np
import pytest

from sagwright.errors import OutOfRange
from sagwright.physics.clearance import (
    Gap,
    before_the_end,
    estimated_radius,
    gap_to_arch,
    gap_to_crown,
    gap_to_tube,
    with_other_chassis,
    with_other_tyre,
)
from tests.support.published import as_printed


def crown_gap(bottomed: float, tyre: float = 0.372) -> float:
    return float(gap_to_crown(bottomed, offset=0.044, crown_depth=0.018, crown_lead=0.010, tyre_radius=tyre))


def test_gap_to_the_crown_by_hand() -> None:
    assert crown_gap(0.401) == pytest.approx((0.383**2 + 0.034**2) ** 0.5 - 0.372, abs=1e-15)


def test_travel_in_one_chassis_does_not_change_the_gap() -> None:
    """Common practice, no source: within one chassis the bottomed position stays. Axle to crown topped out
    less travel."""
    gaps = {crown_gap(axle_to_crown - travel) for axle_to_crown, travel in ((0.551, 0.150), (0.541, 0.140))}
    assert len({round(gap, 12) for gap in gaps}) == 1


def test_tyre_and_chassis_change_it_by_as_much_as_they_differ() -> None:
    measured = Gap(0.009, 0.001)
    wider = with_other_tyre(measured, measured_radius=0.370, radius=0.374, radius_u=0.002)
    assert wider == pytest.approx((0.005, np.hypot(0.001, 0.002)), abs=1e-15)
    other = with_other_chassis(measured, measured_bottomed=0.401, bottomed=0.397)
    assert other == pytest.approx((0.005, 0.001), abs=1e-15)


def test_gap_to_the_arch_by_hand() -> None:
    assert gap_to_arch(0.380, tyre_radius=0.372) == pytest.approx(0.008, abs=1e-15)


def test_gap_to_the_down_tube_by_hand() -> None:
    """A tube from (0, 0) to (3, 4); the point (4, 2) is 2 away from its line, and (6, 8) is 5 beyond its
    end."""
    ends = ((0.0, 0.0), (3.0, 4.0))
    assert gap_to_tube((4.0, 2.0), ends=ends, tube_radius=0.03, tyre_radius=0.37) == pytest.approx(1.6)
    assert gap_to_tube((6.0, 8.0), ends=ends, tube_radius=0.03, tyre_radius=0.37) == pytest.approx(4.6)


def test_what_is_left_of_the_travel_is_left_of_the_gap() -> None:
    assert before_the_end(0.006, travel=0.140, compression=0.128) == pytest.approx(0.018)


@pytest.mark.parametrize(("width", "seat", "diameter"), [(52, 622, "0.726")])
def test_the_height_of_a_tyre_is_its_width_at_most(width: int, seat: int, diameter: str) -> None:
    """52-622 → 726 mm with H = width: recalled, not seen in print; the estimate lies up to 3 % under it."""
    most = 2.0 * (0.5 * seat + width) * 1e-3
    assert most == as_printed(diameter)
    radius = estimated_radius(width * 1e-3, seat * 1e-3)
    assert 0.97 * most < 2.0 * radius <= most


def test_arguments_outside_their_range_are_refused() -> None:
    with pytest.raises(OutOfRange, match="bottomed"):
        crown_gap(-0.4)
    with pytest.raises(OutOfRange, match="arch_height"):
        gap_to_arch(0.0, tyre_radius=0.37)
    with pytest.raises(OutOfRange, match="tube_length"):
        gap_to_tube((1.0, 1.0), ends=((0.0, 0.0), (0.0, 0.0)), tube_radius=0.03, tyre_radius=0.37)
    with pytest.raises(OutOfRange, match="travel"):
        before_the_end(0.006, travel=0.0, compression=0.1)
