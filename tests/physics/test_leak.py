"""Leaks over time: closed forms, conservation, and where they end."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from sagwright.errors import OutOfRange
from sagwright.physics import leak
from sagwright.physics.gas import AMBIENT_ABS, R_AIR
from sagwright.physics.leak import OUTSIDE, Leak
from sagwright.physics.spring import Chamber, GasState, Port, Spring, Stroke

AREA, RING, TRAVEL, GAS = 8e-4, 7.2e-4, 0.15, R_AIR * 293.15
POSITIVE = Chamber("positive", AREA * 0.2, -AREA)
NEGATIVE = Chamber("negative", RING * 0.04, RING)
PORT = Port(0, 1, 0.004, 0.008)
HOUR = 3600.0


def fork() -> tuple[Spring, GasState]:
    spring = Spring((POSITIVE, NEGATIVE), (PORT,), (), TRAVEL, AMBIENT_ABS)
    return spring, GasState((7e5 * AREA * 0.2 / GAS, 7e5 * RING * 0.044 / GAS), 293.15)


def test_a_rigid_chamber_leaks_out_exponentially() -> None:
    # A damper's gas: V ṗ = −c (p − p_ambient), in closed form.
    tank = Chamber("tank", 1e-4, 0.0)
    spring = Spring((tank, POSITIVE), (), (), TRAVEL, AMBIENT_ABS)
    state = GasState((5e5 * 1e-4 / GAS, 7e5 * AREA * 0.2 / GAS), 293.15)
    time = np.array([0.0, 1.0, 2.0, 5.0]) * HOUR
    answer = leak.sink(spring, state, [Leak(0, OUTSIDE, 2e-8)], load=500.0, time=time)
    expected = AMBIENT_ABS + (5e5 - AMBIENT_ABS) * np.exp(-2e-8 * time / 1e-4)
    np.testing.assert_allclose(answer.pressures_abs[0], expected, rtol=2e-4)


def test_a_passing_piston_seal_loses_no_gas_and_sinks() -> None:
    spring, state = fork()
    time = np.linspace(0.0, 8.0, 9) * HOUR
    answer = leak.sink(spring, state, [Leak(0, 1, 3e-9)], load=450.0, time=time)
    assert np.all(np.diff(answer.compression) > 0)
    total = [
        p0 * float(POSITIVE.at(x)) + p1 * float(NEGATIVE.at(x))
        for x, p0, p1 in zip(answer.compression, *answer.pressures_abs, strict=True)
    ]
    np.testing.assert_allclose(total, total[0], rtol=1e-10)


def test_it_ends_where_both_chambers_are_even_under_the_load() -> None:
    # The end by itself: one pressure p in both, p (A − A_ring) = load + p_ambient (A − A_ring) and all the
    # gas in it.
    spring, state = fork()
    answer = leak.sink(spring, state, [Leak(0, 1, 1e-6)], load=60.0, time=np.array([0.0, 2 * HOUR]))
    held = sum(float(np.asarray(m)) for m in state.masses) * GAS

    def excess(x: float) -> float:
        even = held / (AREA * (0.2 - x) + RING * (0.04 + x))
        return (even - AMBIENT_ABS) * (AREA - RING) - 60.0

    deepest = TRAVEL if excess(TRAVEL) < 0 else brentq(excess, 0.0, TRAVEL)
    assert answer.compression[-1] == pytest.approx(deepest, abs=1e-5)


def test_it_follows_an_ode_solver() -> None:
    # scipy's RK45 over masses, the resting place found by brentq with the force written out here.
    spring, state = fork()
    conductance, load = 2e-8, 450.0
    time = np.linspace(0.0, 1.0, 5) * HOUR
    answer = leak.sink(spring, state, [Leak(0, 1, conductance)], load=load, time=time)
    start = answer.pressures_abs[:, 0] * [
        float(POSITIVE.at(answer.compression[0])),
        float(NEGATIVE.at(answer.compression[0])),
    ]

    def rest(y: np.ndarray) -> float:
        def excess(x: float) -> float:
            p0, p1 = y[0] / (AREA * (0.2 - x)), y[1] / (RING * (0.04 + x))
            return float((p0 - AMBIENT_ABS) * AREA - (p1 - AMBIENT_ABS) * RING - load)

        return float(brentq(excess, 0.0, TRAVEL, xtol=1e-12))

    def slope(_: float, y: np.ndarray) -> list[float]:
        x = rest(y)
        passing = conductance * (y[0] / (AREA * (0.2 - x)) - y[1] / (RING * (0.04 + x)))
        return [-passing, passing]

    solved = solve_ivp(slope, (0.0, HOUR), start, t_eval=time, rtol=1e-9, atol=1e-9)
    np.testing.assert_allclose(answer.compression, [rest(y) for y in solved.y.T], atol=2e-5)


def test_a_topped_out_even_fork_does_not_leak_inside() -> None:
    # Both chambers at one pressure in the port's band: nothing drives the gas.
    spring, _ = fork()
    state = GasState((7e5 * AREA * 0.2 / GAS, 7e5 * RING * 0.04 / GAS), 293.15)
    answer = leak.sink(spring, state, [Leak(0, 1, 1e-8)], load=0.0, time=np.array([0.0, HOUR]))
    assert answer.compression[-1] == pytest.approx(answer.compression[0], abs=1e-9)
    np.testing.assert_allclose(answer.pressures_abs[:, -1], answer.pressures_abs[:, 0], rtol=1e-9)


def test_a_leak_is_what_it_was_seen_as() -> None:
    # A rigid tank that was seen to lose 0.1 bar in an hour at 5 bar over the air loses a tenth of that in
    # a tenth of it.
    spring = Spring((Chamber("tank", 1e-4, 0.0), POSITIVE), (), (), TRAVEL, AMBIENT_ABS)
    state = GasState(((5e5 + AMBIENT_ABS) * 1e-4 / GAS, 7e5 * AREA * 0.2 / GAS), 293.15)
    seen = leak.conductance_of(10_000.0, per=HOUR, volume=1e-4, difference=5e5)
    answer = leak.sink(spring, state, [Leak(0, OUTSIDE, seen)], load=500.0, time=np.array([0.0, 0.1 * HOUR]))
    assert -np.diff(answer.pressures_abs[0])[0] == pytest.approx(1000.0, rel=2e-3)


def test_a_fork_that_leaks_out_is_softer_afterwards() -> None:
    spring, state = fork()
    answer = leak.sink(spring, state, [Leak(0, OUTSIDE, 5e-9)], load=0.0, time=np.array([0.0, HOUR]))
    softer = Stroke(spring, answer.state, n=1.0).compression_under(400.0)
    assert softer > Stroke(spring, state, n=1.0).compression_under(400.0)


@pytest.mark.parametrize(
    ("bad", "time"),
    [
        (Leak(0, 0, 1e-9), [0.0, 1.0]),
        (Leak(OUTSIDE, 0, 1e-9), [0.0, 1.0]),
        (Leak(0, 5, 1e-9), [0.0, 1.0]),
        (Leak(0, 1, -1e-9), [0.0, 1.0]),
        (Leak(0, 1, float("nan")), [0.0, 1.0]),
        (Leak(0, 1, 1e-9), [1.0, 2.0]),
        (Leak(0, 1, 1e-9), [0.0, 0.0]),
    ],
)
def test_leaks_that_cannot_be_are_refused(bad: Leak, time: list[float]) -> None:
    with pytest.raises(OutOfRange):
        leak.sink(*fork(), [bad], load=100.0, time=np.array(time))
