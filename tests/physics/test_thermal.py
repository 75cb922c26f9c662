"""Strokes with a wall time constant: against an ODE solver, an exact index, and the limits slow and fast."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from sagwright.errors import OutOfRange
from sagwright.physics import thermal
from sagwright.physics.bumper import LinearBumper
from sagwright.physics.gas import AMBIENT_ABS, R_AIR
from sagwright.physics.spring import Chamber, GasState, Port, Spring, Stroke
from tests.reference import cooling_gas

Array = NDArray[np.float64]

AREA = np.pi * 0.032**2 / 4
TRAVEL = 0.14


def fork(*ports: Port) -> tuple[Spring, GasState]:
    """A positive and a negative chamber, gas at one pressure in both."""
    positive = Chamber("positive", AREA * 0.21, -AREA)
    negative = Chamber("negative", 0.9 * AREA * 0.05, 0.9 * AREA)
    spring = Spring((positive, negative), ports, (LinearBumper(0.13, 60e3, 1),), TRAVEL, AMBIENT_ABS)
    masses = tuple(6.5e5 * chamber.volume / (R_AIR * 293.15) for chamber in spring.chambers)
    return spring, GasState(masses, 293.15)


def sweep(cycles: float, period: float, samples: int) -> tuple[Array, Array]:
    time = np.linspace(0.0, cycles * period, samples)
    return time, 0.06 - 0.05 * np.cos(2 * np.pi * time / period)


# n(ω) = (1 + iγωτ)/(1 + iωτ) with γ = 1.4, values from an independent integration of the equation: ωτ, Re,
# Im.
INDEX = [(0.1, 1.00396, 0.03960), (1.0, 1.20000, 0.20000), (10.0, 1.39604, 0.03960)]


@pytest.mark.parametrize(("swing", "real", "imaginary"), INDEX)
def test_index_table(swing: float, real: float, imaginary: float) -> None:
    n = complex(np.asarray(thermal.index(swing, 1.0)))
    assert n == pytest.approx(complex(real, imaginary), abs=1e-5)


@pytest.mark.parametrize("swing", [0.03, 0.1, 0.5, 1.0, 3.0, 10.0, 40.0])
def test_a_small_oscillation_shows_the_exact_index(swing: float) -> None:
    # The integrator's own pressure, projected on the last cycle of a small swing, has n(ω) real and
    # imaginary.
    tau, share, samples = 2.0, 1e-4, 20_000
    omega = swing / tau
    settle = int(np.ceil(20 * tau * omega / (2 * np.pi))) + 1
    time = np.linspace(0.0, (settle + 1) * 2 * np.pi / omega, samples * (settle + 1) + 1)
    volume = 1e-4 * (1 + share * np.sin(omega * time))
    pressure = thermal.relaxed(time, volume, start_abs=8e5, heat=80.0, tau=tau)
    last = slice(-samples - 1, None)
    swung = (pressure[last] / 8e5 - 1) / share
    angle = omega * time[last]
    parts = [-2 * np.trapezoid(swung * wave(angle), angle) / (2 * np.pi) for wave in (np.sin, np.cos)]
    expected = complex(np.asarray(thermal.index(omega, tau)))
    assert complex(*parts) == pytest.approx(expected, abs=1e-3)
    lost = -np.trapezoid(pressure[last], volume[last])
    assert lost / (np.pi * 8e5 * 1e-4 * share**2) == pytest.approx(expected.imag, abs=1e-3)


@pytest.mark.parametrize("tau", [0.02, 0.3, 2.0, 50.0])
@pytest.mark.parametrize("period", [0.4, 3.0])
def test_a_large_stroke_agrees_with_an_ode_solver(tau: float, period: float) -> None:
    # scipy's DOP853 at rtol 1e-12, on its own writing of the equation.
    time, _ = sweep(2, period, 10_001)
    omega = 2 * np.pi / period

    def volume(t: float) -> tuple[float, float]:
        x, rate = 0.06 - 0.05 * np.cos(omega * t), 0.05 * omega * np.sin(omega * t)
        return AREA * (0.21 - x), -AREA * rate

    ours = thermal.relaxed(
        time,
        np.array([volume(t)[0] for t in time]),
        start_abs=7e5,
        heat=7e5 * volume(0.0)[0],
        tau=tau,
    )
    np.testing.assert_allclose(ours, cooling_gas.pressures(time, volume=volume, start_abs=7e5, tau=tau), rtol=2e-7)


def test_the_error_falls_with_the_square_of_the_step() -> None:
    def error(samples: int) -> float:
        time, x = sweep(1, 1.0, samples)
        fine_time, fine_x = sweep(1, 1.0, 64 * (samples - 1) + 1)
        coarse, fine = (
            thermal.relaxed(t, AREA * (0.21 - y), start_abs=7e5, heat=7e5 * AREA * 0.2, tau=0.5)
            for t, y in ((time, x), (fine_time, fine_x))
        )
        return float(np.max(np.abs(coarse - fine[::64])))

    assert error(101) / error(201) == pytest.approx(4.0, rel=0.05)


def test_without_heat_it_is_isentropic_and_with_much_it_is_isothermal() -> None:
    time, x = sweep(1, 1.0, 501)
    volume = AREA * (0.21 - x)
    heat = 7e5 * volume[0]
    fast = thermal.relaxed(time, volume, start_abs=7e5, heat=heat, tau=np.inf)
    np.testing.assert_allclose(fast, 7e5 * (volume[0] / volume) ** 1.4, rtol=1e-12)
    slow = thermal.relaxed(time, volume, start_abs=7e5, heat=heat, tau=1e-9)
    np.testing.assert_allclose(slow[1:], heat / volume[1:], rtol=1e-7)


def test_a_slow_stroke_through_the_port_is_the_kernels_slow_stroke() -> None:
    spring, state = fork(Port(0, 1, 0.005, 0.012))
    time = np.linspace(0.0, 1.0, 4001)
    x = 0.12 * time
    trace = thermal.stroke(spring, state, time=time, compression=x, tau=1e-7)
    expected = Stroke(spring, state, n=1.0).force(trace.compression)
    apart = np.min(np.abs(trace.compression[:, None] - np.array([0.0, 0.005, 0.012])), axis=1) > 1e-4
    np.testing.assert_allclose(trace.force[apart], np.asarray(expected)[apart], rtol=1e-5)


def test_a_fast_stroke_through_the_port_is_the_kernels_fast_stroke() -> None:
    spring, state = fork(Port(0, 1, 0.005, 0.012))
    time = np.linspace(0.0, 1.0, 4001)
    trace = thermal.stroke(spring, state, time=time, compression=0.13 * time, tau=np.inf)
    expected = Stroke(spring, state, n=1.4).force(trace.compression)
    apart = np.min(np.abs(trace.compression[:, None] - np.array([0.005, 0.012])), axis=1) > 1e-6
    np.testing.assert_allclose(trace.force[apart], np.asarray(expected)[apart], rtol=1e-9)


def test_a_port_passed_many_times_agrees_with_an_ode_solver() -> None:
    # One ODE per stretch between edges, joined by hand: total p·V kept when the port opens. Independent of
    # _runs.
    spring, state = fork(Port(0, 1, 0.03, 0.2))
    positive, negative = spring.chambers
    time, x = sweep(1, 1.0, 10_001)
    trace = thermal.stroke(spring, state, time=time, compression=x, tau=0.4)
    opening = float(np.arccos((0.06 - 0.03) / 0.05) / (2 * np.pi))
    closing = 1.0 - opening

    def run(start: float, end: float, y0: list[float], heats: list[float], *, joined: bool) -> Array:
        def slope(t: float, p: Array) -> Array:
            y = 0.06 - 0.05 * np.cos(2 * np.pi * t)
            rate = 0.1 * np.pi * np.sin(2 * np.pi * t)
            volumes = np.array([positive.at(y), negative.at(y)], dtype=float)
            rates = np.array([positive.slope, negative.slope], dtype=float) * rate
            if joined:
                volumes, rates = np.array([volumes.sum()] * 2), np.array([rates.sum()] * 2)
            change: Array = -1.4 * p * rates / volumes - (p - np.array(heats) / volumes) / 0.4
            return change

        solved: Array = solve_ivp(slope, (start, end), y0, method="DOP853", rtol=1e-11, atol=1e-4).y[:, -1]
        return solved

    heats = [float(m) * R_AIR * 293.15 for m in state.masses]
    at = [float(np.asarray(c.at(0.01))) for c in spring.chambers]
    first = run(0.0, opening, [h / v for h, v in zip(heats, at, strict=True)], heats, joined=False)
    edge = np.array([float(np.asarray(c.at(0.03))) for c in spring.chambers])
    met = float(first @ edge / edge.sum())
    second = run(opening, closing, [met, met], [sum(heats)] * 2, joined=True)
    shared = [sum(heats) * float(v / edge.sum()) for v in edge]
    third = run(closing, 1.0, list(second), shared, joined=False)
    np.testing.assert_allclose(trace.pressures_abs[:, -1], third, rtol=1e-6)


def test_the_gas_is_never_lost() -> None:
    spring, state = fork(Port(0, 1, 0.03, 0.05))
    time = np.linspace(0.0, 40.0, 8001)
    x = np.where(time < 2, 0.01 + 0.05 * (1 - np.cos(3 * np.pi * time)), 0.01)
    trace = thermal.stroke(spring, state, time=time, compression=x, tau=0.5)
    volumes = np.array([float(np.asarray(c.at(trace.compression[-1]))) for c in spring.chambers])
    heat = sum(float(m) for m in state.masses) * R_AIR * 293.15
    assert trace.pressures_abs[:, -1] @ volumes == pytest.approx(heat, rel=1e-9)


@pytest.mark.parametrize("period", [0.05, 0.5, 5.0, 50.0])
def test_a_closed_loop_always_loses_work(period: float) -> None:
    spring, state = fork()
    time, x = sweep(1, period, 4001)
    trace = thermal.stroke(spring, state, time=time, compression=x, tau=1.0)
    assert thermal.work(trace) > 0


def test_time_constants_of_still_air() -> None:
    # R²/(5.783 α), α from CoolProp 8.0.0 at 20 °C: 16 mm at 5, 10, 20 bar and 10 mm at the same.
    for radius, bar, seconds in [(16, 5, 10.3), (16, 10, 20.6), (16, 20, 41.4), (10, 5, 4.0), (10, 10, 8.0)]:
        density = bar * 1e5 / (R_AIR * 293.15)
        assert thermal.longest_time_constant(radius / 1e3, density) == pytest.approx(seconds, rel=0.03)


@pytest.mark.parametrize(
    ("time", "x", "tau", "named"),
    [
        ([0.0, 1.0], [0.0, 0.2], 1.0, "compression"),
        ([0.0, 0.0], [0.0, 0.1], 1.0, "time"),
        ([0.0, 1.0], [0.0, 0.1], 0.0, "tau"),
        ([0.0, 1.0], [0.0, 0.1], float("nan"), "tau"),
        ([0.0], [0.0], 1.0, "compression"),
        ([0.0, 1.0, 2.0], [0.0, 0.1], 1.0, "compression"),
        ([0.0, float("nan")], [0.0, 0.1], 1.0, "time"),
    ],
)
def test_what_cannot_be_is_refused(time: list[float], x: list[float], tau: float, named: str) -> None:
    spring, state = fork()
    with pytest.raises(OutOfRange) as caught:
        thermal.stroke(spring, state, time=np.array(time), compression=np.array(x), tau=tau)
    assert caught.value.field == named
