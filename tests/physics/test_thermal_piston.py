"""A thermal stroke with a floating piston: against differential equations, and its limits slow, fast and stiff."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from sagwright.errors import OutOfRange
from sagwright.physics import thermal, thermal_piston
from sagwright.physics.floating_piston import release_point
from sagwright.physics.gas import AMBIENT_ABS, R_AIR
from sagwright.physics.spring import Chamber, GasState, Port, Spring, Stroke
from sagwright.physics.thermal_piston import Charged, Piston
from tests.reference import floating_piston

Array = NDArray[np.float64]

AREA, LENGTH, TRAVEL, BEHIND = 8e-4, 0.2, 0.15, 60e-6
PISTON = Piston(0, 2)


def fork(behind_abs: float = 12e5, *ports: Port) -> tuple[Spring, GasState]:
    """A positive, a negative and a second positive chamber."""
    chambers = (
        Chamber("positive", AREA * LENGTH, -AREA),
        Chamber("negative", 0.9 * AREA * 0.05, 0.9 * AREA),
        Chamber("second positive", BEHIND, 0.0),
    )
    charged = (6e5, 6e5, behind_abs)
    masses = tuple(p * float(np.asarray(c.volume)) / (R_AIR * 293.15) for p, c in zip(charged, chambers, strict=True))
    return Spring(chambers, ports, (), TRAVEL, AMBIENT_ABS), GasState(masses, 293.15)


def sweep(cycles: float, period: float, samples: int) -> tuple[Array, Array]:
    time = np.linspace(0.0, cycles * period, samples)
    return time, 0.07 - 0.065 * np.cos(2 * np.pi * time / period)


@pytest.mark.parametrize("tau", [0.2, 1.0, 5.0])
@pytest.mark.parametrize("behind_abs", [8e5, 12e5])
def test_it_agrees_with_a_piston_that_gives_way(tau: float, behind_abs: float) -> None:
    # scipy's DOP853 on the temperatures of both gases and the place of the piston, from event to event.
    period = 1.0
    time, x = sweep(2.0, period, 801)
    spring, state = fork(behind_abs)
    trace = thermal_piston.piston_stroke(Charged(spring, state, PISTON), time=time, compression=x, tau=tau)

    def front(t: float) -> tuple[float, float]:
        at = 0.07 - 0.065 * math.cos(2 * math.pi * t / period)
        return AREA * (LENGTH - at), -AREA * 0.065 * 2 * math.pi / period * math.sin(2 * math.pi * t / period)

    start = float(trace.pressures_abs[0, 0])
    solved = floating_piston.pressures(time, front=front, behind=BEHIND, start_abs=(start, behind_abs), tau=tau)
    for ours, theirs in zip(trace.pressures_abs[[0, 2]], solved, strict=True):
        np.testing.assert_allclose(np.interp(time, trace.time, ours), theirs, rtol=2e-4)


def test_without_heat_it_is_the_fast_stroke() -> None:
    spring, state = fork()
    time = np.linspace(0.0, 1.0, 400)
    x = TRAVEL * time
    trace = thermal_piston.piston_stroke(Charged(spring, state, PISTON), time=time, compression=x, tau=math.inf)
    fast = Stroke(release_point(spring, state, front=0, behind=2, n=1.4), state, n=1.4)
    np.testing.assert_allclose(trace.pressures_abs[0], fast.pressures_abs(trace.compression)[0], rtol=1e-9)
    np.testing.assert_allclose(trace.force, np.asarray(fast.force(trace.compression)), rtol=1e-9)


def test_without_heat_nothing_is_lost_and_the_piston_goes_home() -> None:
    spring, state = fork()
    time, x = sweep(1.0, 1.0, 2001)
    trace = thermal_piston.piston_stroke(Charged(spring, state, PISTON), time=time, compression=x, tau=math.inf)
    assert abs(thermal.work(trace)) < 1e-4
    np.testing.assert_allclose(trace.pressures_abs[:, -1], trace.pressures_abs[:, 0], rtol=1e-9)


def test_in_ample_time_it_is_the_slow_stroke() -> None:
    spring, state = fork()
    time, x = sweep(1.0, 400.0, 4001)
    trace = thermal_piston.piston_stroke(Charged(spring, state, PISTON), time=time, compression=x, tau=0.05)
    slow = Stroke(release_point(spring, state, front=0, behind=2, n=1.0), state, n=1.0)
    np.testing.assert_allclose(trace.pressures_abs[0], slow.pressures_abs(trace.compression)[0], rtol=2e-3)


def test_a_piston_that_never_lifts_is_a_wall() -> None:
    ports = (Port(0, 1, 0.004, 0.008),)
    spring, state = fork(200e5, *ports)
    time, x = sweep(3.0, 1.0, 1201)
    trace = thermal_piston.piston_stroke(Charged(spring, state, PISTON), time=time, compression=x, tau=1.0)
    front = replace(spring, chambers=spring.chambers[:2])
    wall = thermal.stroke(front, GasState(state.masses[:2], 293.15), time=time, compression=x, tau=1.0)
    for ours, theirs in zip(trace.pressures_abs[:2], wall.pressures_abs, strict=True):
        np.testing.assert_allclose(np.interp(time, trace.time, ours), np.interp(time, wall.time, theirs), rtol=1e-6)


def test_it_leaves_its_stop_and_comes_back_elsewhere() -> None:
    spring, state = fork()
    time, x = sweep(6.0, 1.0, 6001)
    trace = thermal_piston.piston_stroke(Charged(spring, state, PISTON), time=time, compression=x, tau=0.5)
    last = trace.time > 5.0
    front, behind = trace.pressures_abs[0, last], trace.pressures_abs[2, last]
    afloat = np.isclose(front, behind, rtol=1e-12)
    at = trace.compression[last][np.flatnonzero(np.diff(afloat.astype(int)))]
    assert len(at) == 2
    assert abs(at[0] - at[1]) > 1e-3
    put_in = float(
        np.max(np.asarray(Stroke(release_point(spring, state, front=0, behind=2, n=1.4), state, n=1.4).energy(0.13)))
    )
    assert 0.0 < float(np.trapezoid(trace.force[last], trace.compression[last])) < 0.3 * put_in


def test_the_law_of_gas_holds_behind_the_piston() -> None:
    # First law, integrated along the trace: what goes into both gases as work leaves them as heat or stays as energy.
    spring, state = fork()
    time, x = sweep(1.0, 1.0, 8001)
    tau = 0.7
    trace = thermal_piston.piston_stroke(Charged(spring, state, PISTON), time=time, compression=x, tau=tau)
    geometric = np.asarray(spring.chambers[0].at(trace.compression)) + BEHIND
    p, q = trace.pressures_abs[0], trace.pressures_abs[2]
    volumes = (geometric - BEHIND, np.full_like(geometric, BEHIND))
    both = np.where(np.isclose(p, q, rtol=1e-12), p * geometric, p * volumes[0] + q * volumes[1])
    heat = R_AIR * 293.15 * (float(state.masses[0]) + float(state.masses[2]))
    lost = np.trapezoid((both - heat) / tau, trace.time) / 0.4
    done = np.trapezoid(-p, volumes[0]) * -1.0
    stored = (both[-1] - both[0]) / 0.4
    assert stored == pytest.approx(-done - lost, abs=2e-3 * abs(lost))


def test_a_chamber_behind_that_moves_is_refused() -> None:
    spring, state = fork()
    time, x = sweep(1.0, 1.0, 11)
    with pytest.raises(OutOfRange, match="compression"):
        thermal_piston.piston_stroke(Charged(spring, state, Piston(0, 1)), time=time, compression=x, tau=1.0)
