"""Loads: moment balance, the benchmark bicycle, and load and sag that agree."""

from __future__ import annotations

import numpy as np
import pytest

from sagwright.errors import NoSolution, OutOfRange
from sagwright.physics.load import (
    GRAVITY,
    BushingGeometry,
    ForkLoad,
    PointMass,
    agree,
    along_fork,
    axle_loads,
    bushing_friction,
    centre_of_mass,
    front_load_of_scale,
)

DEGREE = np.pi / 180.0
BALANCE = 1e-9  # N·m for 1 N·m of weight

# Meijaard, Papadopoulos, Ruina and Schwab (2007), table 1: mass [kg], centre forward of the rear contact and
# above [m].
BENCHMARK = (
    PointMass(2.0, 0.0, 0.30),  # rear wheel
    PointMass(85.0, 0.3, 0.9),  # rider and frame
    PointMass(4.0, 0.9, 0.7),  # fork and handlebar
    PointMass(3.0, 1.02, 0.35),  # front wheel
)


def test_benchmark_bicycle__meijaard_2007_table_1() -> None:
    """Masses and places as printed; total, centre and share computed from them apart from this package."""
    whole = centre_of_mass(BENCHMARK)
    assert whole.mass == 94.0
    assert whole.x == pytest.approx(0.3421277, abs=5e-8)
    assert whole.y == pytest.approx(0.8611702, abs=5e-8)
    loads = axle_loads(whole, wheelbase=1.02)
    assert loads.front / (loads.front + loads.rear) == pytest.approx(0.33542, abs=5e-6)


def test_measured_city_bicycle_front_share() -> None:
    """Rider and bicycle of the parameter set `meijaard2007_browser_jason`: w 1.121 m, x 0.3184 m, 90.21 kg →
    28.4 %."""
    loads = axle_loads(PointMass(90.21, 0.3184, 0.990), wheelbase=1.121)
    assert loads.front / (loads.front + loads.rear) == pytest.approx(0.284, abs=5e-4)


def test_forces_and_moments_balance() -> None:
    rng = np.random.default_rng(1)
    for _ in range(300):
        mass, x, y = rng.uniform(20, 150), rng.uniform(0.1, 1.0), rng.uniform(0.4, 1.4)
        wheelbase, slope = rng.uniform(0.8, 1.4), rng.uniform(0.0, 0.6)
        loads = axle_loads(PointMass(mass, x, y), wheelbase=wheelbase, slope=slope)
        weight = mass * GRAVITY
        assert loads.front + loads.rear == pytest.approx(weight, rel=BALANCE)
        # levers as gravity has them, about a point chosen anywhere
        turn = np.exp(-1j * slope)
        centre, front, rear = complex(x, y) * turn, wheelbase * turn, 0.0 * turn
        about = complex(rng.uniform(-1, 1), 0.0)
        moment = loads.front * (front - about).real + loads.rear * (rear - about).real - weight * (centre - about).real
        assert abs(moment) < BALANCE * weight


def test_centres_combine_in_any_order_and_grouping() -> None:
    first = centre_of_mass(BENCHMARK)
    again = centre_of_mass((centre_of_mass(BENCHMARK[2:]), BENCHMARK[1], BENCHMARK[0]))
    assert again == pytest.approx(first, rel=1e-14)


def test_along_and_across_make_up_the_sprung_weight() -> None:
    for head in np.linspace(60.0, 75.0, 7) * DEGREE:
        for slope in (0.0, 0.2):
            load = along_fork(400.0, unsprung=3.2, head_angle=head, slope=slope)
            assert np.hypot(load.along, load.across) == pytest.approx(400.0 - 3.2 * GRAVITY, rel=1e-12)
            assert load.across / load.along == pytest.approx(1.0 / np.tan(head + slope), rel=1e-12)


def test_a_scale_reads_mass() -> None:
    assert front_load_of_scale(40.0) == pytest.approx(392.266, abs=1e-9)


def test_bushings_balance_the_leg() -> None:
    """Statics by hand, without the formula under test: forces and moments on the lowers about the axle."""
    rng = np.random.default_rng(2)
    for _ in range(100):
        load = ForkLoad(float(rng.uniform(100, 900)), float(rng.uniform(50, 400)))
        spacing, overhang = float(rng.uniform(0.08, 0.2)), float(rng.uniform(0.2, 0.45))
        bushings = BushingGeometry(spacing, overhang, float(rng.uniform(0.0, 0.04)), 1.0)
        # unknown: upper reaction, lower reaction. Across: upper − lower + across = 0.
        # Moment about the axle: upper·(overhang + spacing) − lower·overhang − along·lead = 0.
        across = np.array([[1.0, -1.0], [overhang + spacing, -overhang]])
        upper, lower = np.linalg.solve(across, [-float(load.across), float(load.along * bushings.lead)])
        assert bushing_friction(load, bushings) == pytest.approx(abs(upper) + abs(lower), rel=1e-9)


def test_closer_bushings_bind_more() -> None:
    load = ForkLoad(300.0, 140.0)
    wide, narrow = (bushing_friction(load, BushingGeometry(spacing, 0.3, 0.0, 0.05)) for spacing in (0.15, 0.10))
    assert narrow > wide > 0.0


def test_load_and_sag_agree() -> None:
    """A spring of 9 N/mm under a load that falls a little with sag: the closed form is the line's
    crossing."""
    rate, start, fall = 9000.0, 320.0, 400.0
    sag, load = agree(lambda force: force / rate, lambda sag: start - fall * sag, travel=0.15)
    assert sag == pytest.approx(start / (rate + fall), abs=1e-9)
    assert load == pytest.approx(rate * sag, rel=1e-8)


def test_agreement_of_a_curved_spring_is_that_of_bisection() -> None:
    def sag_under(force: float) -> float:
        return 0.15 * (1.0 - 200.0 / (force + 200.0))

    def load_at(sag: float) -> float:
        return float(330.0 * np.sin(1.13 + 3.0 * sag))

    low, high = 0.0, 0.15
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if sag_under(load_at(middle)) > middle else (low, middle)
    assert agree(sag_under, load_at, travel=0.15, tolerance=1e-10)[0] == pytest.approx(low, abs=2e-9)


def test_a_spring_that_gives_way_at_once_is_met_where_it_does() -> None:
    """Up to 300 N it stands at 20 mm, from there on at 60 mm; the load falls from 310 N by 1 N per 4 mm: 300 N at 40
    mm."""
    sag, load = agree(lambda force: 0.02 if force < 300.0 else 0.06, lambda sag: 310.0 - 250.0 * sag, travel=0.15)
    assert sag == pytest.approx(0.04, abs=1e-6)
    assert load == pytest.approx(300.0, abs=1e-3)


@pytest.mark.parametrize(("force", "expected"), [(0.0, 0.0), (9000.0, 0.15)])
def test_the_ends_of_the_travel_can_be_the_answer(force: float, expected: float) -> None:
    found, _ = agree(lambda load: min(load / 9000.0, 0.15), lambda sag: force, travel=0.15)
    assert found == pytest.approx(expected, abs=2e-7)


def test_what_is_no_number_is_refused() -> None:
    with pytest.raises(NoSolution, match="no numbers"):
        agree(lambda force: force, lambda sag: float("nan"), travel=1e9)


@pytest.mark.parametrize(
    ("refused", "field"),
    [
        (lambda: axle_loads(PointMass(0.0, 0.4, 1.0), wheelbase=1.2), "mass"),
        (lambda: axle_loads(PointMass(80.0, 0.4, 1.0), wheelbase=-1.2), "wheelbase"),
        (lambda: axle_loads(PointMass(80.0, np.nan, 1.0), wheelbase=1.2), "x"),
        (lambda: axle_loads(PointMass(80.0, 0.4, 1.0), wheelbase=1.2, slope=1.5), "slope"),
        (lambda: along_fork(400.0, unsprung=-1.0, head_angle=1.1), "unsprung"),
        (lambda: along_fork(400.0, unsprung=3.0, head_angle=65.0), "head_angle"),
        (lambda: along_fork(np.inf, unsprung=3.0, head_angle=1.1), "front_load"),
        (lambda: front_load_of_scale(0.0), "reading"),
        (lambda: bushing_friction(ForkLoad(1.0, 1.0), BushingGeometry(0.0, 0.3, 0.0, 0.1)), "spacing"),
        (lambda: bushing_friction(ForkLoad(1.0, 1.0), BushingGeometry(0.1, 0.3, 0.0, 3.0)), "coefficient"),
        (lambda: centre_of_mass([PointMass(0.0, 0.0, 0.0)]), "masses"),
    ],
)
def test_arguments_outside_their_range_are_refused(refused: object, field: str) -> None:
    assert callable(refused)
    with pytest.raises(OutOfRange) as caught:
        refused()
    assert caught.value.field == field
