"""A second positive chamber behind a floating piston, and other springs that the kernel's parts make up."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from sagwright.errors import OutOfRange
from sagwright.physics import floating_piston
from sagwright.physics.bumper import LinearBumper
from sagwright.physics.gas import AMBIENT_ABS, R_AIR
from sagwright.physics.spring import Chamber, GasState, Spring, Stroke

AREA, LENGTH, TRAVEL = 8e-4, 0.2, 0.15
BEHIND = 60e-6
P_FRONT, P_BEHIND = 6e5, 12e5


def single() -> tuple[Spring, GasState]:
    chamber = Chamber("positive", AREA * LENGTH, -AREA)
    return Spring((chamber,), (), (), TRAVEL, AMBIENT_ABS), GasState(
        (P_FRONT * AREA * LENGTH / (R_AIR * 293.15),), 293.15
    )


def two(behind_abs: float = P_BEHIND, n: float = 1.2) -> tuple[Spring, GasState, Spring]:
    spring, state = floating_piston.with_second(*single(), volume=BEHIND, pressure_abs=behind_abs)
    return spring, state, floating_piston.release_point(spring, state, front=0, behind=1, n=n)


def by_the_piston(x: float, n: float, behind_abs: float) -> float:
    """Pressure in front by finding where the piston stands: equal pressures, or on its stop. Independent
    of ports."""

    def pressure(y: float) -> float:  # y: volume the piston has given up
        return P_FRONT * float((AREA * LENGTH / (AREA * (LENGTH - x) + y)) ** n)

    def pull(y: float) -> float:
        return pressure(y) - behind_abs * float((BEHIND / (BEHIND - y)) ** n)

    return pressure(0.0) if pull(0.0) <= 0 else pressure(brentq(pull, 0.0, BEHIND * (1 - 1e-9), xtol=1e-18))


@pytest.mark.parametrize("n", [1.0, 1.2, 1.4])
@pytest.mark.parametrize("behind_abs", [7e5, 12e5, 18e5])
def test_it_agrees_with_a_piston_that_is_solved_for(n: float, behind_abs: float) -> None:
    _, state, spring = two(behind_abs, n)
    stroke = Stroke(spring, state, n=n)
    for x in np.linspace(0.0, TRAVEL, 31):
        assert stroke.pressures_abs(float(x))[0] == pytest.approx(by_the_piston(float(x), n, behind_abs), rel=1e-7)


def test_the_pressure_is_continuous_where_the_piston_lifts() -> None:
    spring, state, gone = two()
    x = floating_piston.meeting(spring, state, front=0, behind=1, n=1.2)
    assert x == pytest.approx(LENGTH * (1 - (P_FRONT / P_BEHIND) ** (1 / 1.2)), rel=1e-6)
    below, above = (Stroke(gone, state, n=1.2).force(float(np.asarray(x)) + d) for d in (-1e-7, 1e-7))
    assert above == pytest.approx(below, rel=1e-5)


def test_it_rises_less_than_one_chamber_alone_and_energy_is_the_integral_of_force() -> None:
    spring, state = single()
    _, state_two, gone = two()
    one, both = Stroke(spring, state, n=1.2), Stroke(gone, state_two, n=1.2)
    assert both.force(TRAVEL) < one.force(TRAVEL)
    assert both.force(0.01) == pytest.approx(one.force(0.01))
    edge = float(np.asarray(gone.ports[-1].opens))
    work = sum(quad(lambda x: float(np.asarray(both.force(x))), a, b)[0] for a, b in [(0, edge), (edge, TRAVEL)])
    assert both.energy(TRAVEL) == pytest.approx(work, rel=1e-9)


def test_a_piston_that_is_never_beaten_leaves_one_chamber() -> None:
    spring, state, gone = two(behind_abs=90e5)
    assert floating_piston.meeting(spring, state, front=0, behind=1, n=1.2) == floating_piston.NEVER
    assert Stroke(gone, state, n=1.2).force(TRAVEL) == pytest.approx(Stroke(*single(), n=1.2).force(TRAVEL))


def test_a_piston_charged_weaker_than_the_front_is_pushed_in_from_the_start() -> None:
    spring, state, gone = two(behind_abs=3e5)
    assert floating_piston.meeting(spring, state, front=0, behind=1, n=1.0) == 0.0
    whole = (P_FRONT * AREA * LENGTH + 3e5 * BEHIND) / (AREA * LENGTH + BEHIND)
    assert Stroke(gone, state, n=1.0).pressures_abs(1e-9)[0] == pytest.approx(whole, rel=1e-6)


def test_many_springs_at_once() -> None:
    charges = np.array([7e5, 12e5, 90e5])
    spring, state = floating_piston.with_second(*single(), volume=BEHIND, pressure_abs=charges)
    gone = floating_piston.release_point(spring, state, front=0, behind=1, n=1.2)
    forces = np.asarray(Stroke(gone, state, n=1.2).force(TRAVEL))
    for charge, force in zip(charges, forces, strict=True):
        _, one_state, one = two(float(charge))
        assert Stroke(one, one_state, n=1.2).force(TRAVEL) == pytest.approx(force, rel=1e-9)


@pytest.mark.parametrize(("front", "behind"), [(0, 2), (-1, 1), (1, 0)])
def test_chambers_that_are_not_there_are_refused(front: int, behind: int) -> None:
    spring, state, _ = two()
    with pytest.raises(OutOfRange):
        floating_piston.meeting(spring, state, front=front, behind=behind, n=1.2)


def test_a_coil_negative_spring_is_a_stop_that_pulls_in() -> None:
    # By hand: 8 N/mm over the first 20 mm takes (20 mm − x)·8 N/mm off the air spring's force, and nothing
    # beyond.
    spring, state = single()
    helped = replace(spring, stops=(LinearBumper(0.02, 8e3, -1),))
    alone, both = Stroke(spring, state, n=1.0), Stroke(helped, state, n=1.0)
    for x, taken in [(0.0, 160.0), (0.005, 120.0), (0.02, 0.0), (0.1, 0.0)]:
        assert alone.force(x) - both.force(x) == pytest.approx(taken, abs=1e-9)
    assert both.energy(0.1) - alone.energy(0.1) == pytest.approx(-0.5 * 8e3 * 0.02**2)


def test_a_main_coil_is_a_stop_that_starts_before_the_travel_does() -> None:
    # 9 N/mm preloaded by 4 mm: F = 9 (x + 4 mm); energy by the trapezium.
    coil = Stroke(Spring((), (), (LinearBumper(-0.004, 9e3, 1),), TRAVEL, AMBIENT_ABS), GasState((), 293.15), n=1.0)
    assert coil.force(0.03) == pytest.approx(9e3 * 0.034)
    assert coil.energy(0.03) == pytest.approx(0.5 * 9e3 * (0.034**2 - 0.004**2))
    assert coil.compression_under(400.0) == pytest.approx(400 / 9e3 - 0.004, abs=1e-9)


def test_a_negative_chamber_with_its_own_charge_needs_no_port() -> None:
    # By hand, isothermal: each chamber keeps its own pV.
    positive = Chamber("positive", AREA * LENGTH, -AREA)
    negative = Chamber("negative", 0.9 * AREA * 0.04, 0.9 * AREA)
    spring = Spring((positive, negative), (), (), TRAVEL, AMBIENT_ABS)
    gas = R_AIR * 293.15
    state = GasState((6e5 * AREA * LENGTH / gas, 9e5 * 0.9 * AREA * 0.04 / gas), 293.15)
    x = 0.05
    expected = (6e5 * LENGTH / (LENGTH - x) - AMBIENT_ABS) * AREA - (9e5 * 0.04 / (0.04 + x) - AMBIENT_ABS) * 0.9 * AREA
    assert Stroke(spring, state, n=1.0).force(x) == pytest.approx(expected, rel=1e-12)
