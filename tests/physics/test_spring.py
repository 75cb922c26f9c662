"""Laws of the gas spring: energy, virtual work, monotony, mass, and what ports do."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from sagwright.errors import NoSolution, OutOfRange
from sagwright.physics.bumper import LinearBumper
from sagwright.physics.gas import R_AIR
from sagwright.physics.numeric import increasing_root
from sagwright.physics.spring import Chamber, GasState, Port, Spring, Stroke, check_spring
from tests.support.published import as_printed
from tests.support.springs import TEMPERATURE, charged_springs, cycled

pytestmark = pytest.mark.law

EXPONENTS = st.sampled_from([1.0, 1.1, 1.2, 1.4])


def closed_spring(pressure_abs: float = 701_325.0) -> tuple[Spring, GasState]:
    area = math.pi / 4 * 0.032**2
    spring = Spring((Chamber("positive", area * 0.2, -area),), (), (), 0.15, 101_325.0)
    return spring, GasState((pressure_abs * area * 0.2 / (R_AIR * TEMPERATURE),), TEMPERATURE)


def inner_edges(stroke: Stroke) -> list[float]:
    return sorted({float(edge) for edge in stroke.edges})


def test_force_of_one_closed_chamber__check_vector_3b() -> None:
    # The project's list of outside checks, section 3b, rows n = 1.2.
    stroke = Stroke(*closed_spring(), n=1.2)
    for x, printed in ((0.0, "482.549"), (0.03, "604.008"), (0.07, "864.340"), (0.14, "2310.523")):
        assert stroke.force(x) == as_printed(printed)


@given(charged_springs(), EXPONENTS)
def test_energy_is_the_integral_of_force(charged: tuple[Spring, GasState], n: float) -> None:
    # Split at port edges and stops, where the force has kinks or jumps; scipy's quad as the judge.
    stroke = Stroke(*charged, n=n)
    travel = float(stroke.spring.travel)
    cuts = sorted({*inner_edges(stroke), 0.003, travel - 0.01})
    work = 0.0
    for a, b in itertools.pairwise(cuts):
        inset = (b - a) * 1e-13
        work += quad(lambda x: float(stroke.force(x)), a + inset, b, epsabs=1e-12, epsrel=1e-12)[0]
    assert float(stroke.energy(travel)) == pytest.approx(work, rel=1e-9, abs=1e-9)


@given(charged_springs(ports=2), EXPONENTS)
def test_work_goes_into_gas_ambient_and_stops(charged: tuple[Spring, GasState], n: float) -> None:
    # ∫F dx = −Σ∫p dV + p_amb ΣΔV + stops, each integral by 64-point Gauss-Legendre on every piece.
    stroke = Stroke(*charged, n=n)
    spring, travel = stroke.spring, float(stroke.spring.travel)
    nodes, weights = np.polynomial.legendre.leggauss(64)
    gas = 0.0
    for a, b in zip(inner_edges(stroke), inner_edges(stroke)[1:], strict=False):
        x = 0.5 * (a + b) + 0.5 * (b - a) * nodes
        for chamber, pressure in zip(spring.chambers, stroke.pressures_abs(x), strict=True):
            gas -= float(np.sum(weights * pressure) * 0.5 * (b - a)) * float(chamber.slope)
    swept = sum(float(chamber.slope) for chamber in spring.chambers) * travel
    top, bottom = (stop for stop in spring.stops if isinstance(stop, LinearBumper))
    stops = 0.5 * float(bottom.rate) * 0.01**2 - 0.5 * float(top.rate) * 0.003**2
    expected = gas + 101_325.0 * swept + stops
    assert float(stroke.energy(travel)) == pytest.approx(expected, rel=1e-9, abs=1e-9)


@given(charged_springs(), EXPONENTS, st.floats(0.02, 0.98))
def test_force_is_the_slope_of_energy(charged: tuple[Spring, GasState], n: float, share: float) -> None:
    stroke = Stroke(*charged, n=n)
    x, h = share * float(stroke.spring.travel), 1e-6
    near = [*inner_edges(stroke), 0.003, float(stroke.spring.travel) - 0.01]
    if min(abs(x - edge) for edge in near) < 2 * h:
        x += 4 * h
    slope = (float(stroke.energy(x + h)) - float(stroke.energy(x - h))) / (2 * h)
    assert float(stroke.force(x)) == pytest.approx(slope, rel=1e-5, abs=1e-3)


@given(charged_springs(), EXPONENTS, st.floats(0.02, 0.98))
def test_stiffness_is_the_slope_of_force(charged: tuple[Spring, GasState], n: float, share: float) -> None:
    stroke = Stroke(*charged, n=n)
    x, h = share * float(stroke.spring.travel), 1e-6
    near = [*inner_edges(stroke), 0.003, float(stroke.spring.travel) - 0.01]
    if min(abs(x - edge) for edge in near) < 2 * h:
        x += 4 * h
    slope = (float(stroke.force(x + h)) - float(stroke.force(x - h))) / (2 * h)
    assert float(stroke.stiffness(x)) == pytest.approx(slope, rel=1e-5, abs=1e-2)


@given(charged_springs(), EXPONENTS)
def test_force_of_a_cycled_spring_rises_strictly(charged: tuple[Spring, GasState], n: float) -> None:
    spring, state = charged
    stroke = Stroke(spring, cycled(spring, state), n=n)
    force = np.asarray(stroke.force(np.linspace(0.0, float(spring.travel), 2001)))
    # Above slow, the pieces before a port opens end at unlike pressures (the gas cools or warms), so only a slow
    # stroke is free of jumps; between the edges every stroke rises.
    if n == 1.0:
        assert np.all(np.diff(force) > 0)
    for a, b in zip(inner_edges(stroke), inner_edges(stroke)[1:], strict=False):
        inside = np.asarray(stroke.force(np.linspace(a + 1e-9 * (b - a), b, 200)))
        assert b - a < 1e-6 or np.all(np.diff(inside) > 0)


@given(charged_springs(ports=3), st.floats(0.0, 1.0))
def test_no_gas_is_lost_in_a_slow_stroke(charged: tuple[Spring, GasState], share: float) -> None:
    spring, state = charged
    x = share * float(spring.travel)
    held = sum(p * c.at(x) for p, c in zip(Stroke(spring, state, n=1.0).pressures_abs(x), spring.chambers, strict=True))
    assert held / (R_AIR * TEMPERATURE) == pytest.approx(sum(state.masses), rel=1e-12)


@given(charged_springs(ports=2), EXPONENTS)
def test_joined_chambers_have_one_pressure(charged: tuple[Spring, GasState], n: float) -> None:
    stroke = Stroke(*charged, n=n)
    for port in stroke.spring.ports:
        low, high = max(port.opens, 0.0), min(port.closes, float(stroke.spring.travel))
        if high - low > 1e-6:
            x = 0.5 * (low + high)
            pressures = stroke.pressures_abs(x)
            assert float(pressures[port.first]) == pytest.approx(float(pressures[port.second]), rel=1e-12)


@given(charged_springs(), st.floats(0.0, 3000.0))
def test_compression_under_a_load_carries_it(charged: tuple[Spring, GasState], load: float) -> None:
    spring, state = charged
    stroke = Stroke(spring, cycled(spring, state), n=1.0)
    x = float(stroke.compression_under(load))
    if x == 0.0:
        assert float(stroke.force(0.0)) >= load - 1e-9
    elif x == float(spring.travel):
        assert float(stroke.force(spring.travel)) <= load + 1e-9
    else:
        assert float(stroke.force(x)) == pytest.approx(load, rel=1e-6, abs=1e-3)


@given(st.lists(charged_springs(), min_size=2, max_size=4), EXPONENTS)
def test_arrays_and_floats_give_the_same(charged: list[tuple[Spring, GasState]], n: float) -> None:
    x = np.array([0.0, 0.01, 0.05, 0.079])
    for spring, state in charged:
        stroke = Stroke(spring, state, n=n)
        for k, one in enumerate(x):
            assert float(stroke.force(float(one))) == pytest.approx(float(np.asarray(stroke.force(x))[k]), rel=1e-13)
            assert float(stroke.energy(float(one))) == pytest.approx(float(np.asarray(stroke.energy(x))[k]), rel=1e-13)


def test_springs_side_by_side_give_what_each_gives_alone() -> None:
    opens = np.array([-0.05, 0.004, 0.03, 0.5])
    side_by_side = two_chambers(opens)
    stroke = Stroke(*side_by_side, n=1.2)
    for k, one in enumerate(opens):
        alone = Stroke(*two_chambers(float(one)), n=1.2)
        for x in (0.0, 0.005, 0.02, 0.04, 0.1):
            assert np.asarray(stroke.force(x))[k] == pytest.approx(float(alone.force(x)), rel=1e-13)
        assert np.asarray(stroke.compression_under(300.0))[k] == pytest.approx(
            float(alone.compression_under(300.0)), abs=1e-9
        )


def two_chambers(opens: float | np.ndarray) -> tuple[Spring, GasState]:
    """A positive and a negative chamber filled topped out, the negative one still at ambient."""
    bore, ring = math.pi / 4 * 0.0318**2, math.pi / 4 * (0.0318**2 - 0.01**2)
    positive, negative = Chamber("positive", bore * 0.215, -bore), Chamber("negative", ring * 0.08, ring)
    spring = Spring((positive, negative), (Port(0, 1, opens, opens + 0.002),), (), 0.13, 101_325.0)
    gas = R_AIR * TEMPERATURE
    return spring, GasState((700e3 * positive.volume / gas, 101_325.0 * negative.volume / gas), TEMPERATURE)


def test_pressure_falls_once_when_an_uncycled_charge_passes_the_port() -> None:
    stroke = Stroke(*two_chambers(0.004), n=1.0)
    before, after = float(stroke.pressures_abs(0.0039)[0]), float(stroke.pressures_abs(0.0061)[0])
    # Isothermal mixing: (p V + p' V') / (V + V'), by hand from the volumes where the port opens.
    spring = stroke.spring
    positive, negative = (float(chamber.at(0.004)) for chamber in spring.chambers)
    mixed = (before * float(spring.chambers[0].at(0.0039)) + 101_325.0 * float(spring.chambers[1].volume)) / (
        positive + negative
    )
    assert after == pytest.approx(mixed, rel=2e-2)
    assert 0.70 < after / before < 0.85


def test_a_port_that_is_never_passed_leaves_the_negative_chamber_empty() -> None:
    # About 500 N to start moving: common practice, no source.
    stroke = Stroke(*two_chambers(-0.02), n=1.0)
    assert 420 < float(stroke.force(0.0)) < 560


def test_a_spring_that_cannot_exist_is_refused() -> None:
    with pytest.raises(OutOfRange, match="positive chamber must keep a volume greater than 0"):
        check_spring(Spring((Chamber("positive", 1e-4, -1e-3),), (), (), 0.12, 101_325.0))
    with pytest.raises(OutOfRange, match="travel must be greater than 0"):
        check_spring(Spring((Chamber("positive", 1e-3, -1e-3),), (), (), 0.0, 101_325.0))


def test_the_lightest_load_rests_on_the_top_and_the_heaviest_on_the_bottom() -> None:
    stroke = Stroke(*closed_spring(), n=1.0)
    assert stroke.compression_under(100.0) == 0.0
    assert stroke.compression_under(1e6) == 0.15


def test_a_bumper_pushes_only_at_its_end() -> None:
    spring, state = closed_spring()
    bumped = Spring(spring.chambers, (), (LinearBumper(0.14, 5e4, +1), LinearBumper(0.002, 1e4, -1)), 0.15, 101_325.0)
    plain, stroke = Stroke(spring, state, n=1.0), Stroke(bumped, state, n=1.0)
    assert float(stroke.force(0.07)) == float(plain.force(0.07))
    assert float(stroke.force(0.15) - plain.force(0.15)) == pytest.approx(500.0)
    assert float(stroke.force(0.0) - plain.force(0.0)) == pytest.approx(-20.0)


def test_a_root_that_does_not_converge_is_refused() -> None:
    with pytest.raises(NoSolution, match="no root within"):
        increasing_root(lambda x: (x * math.nan, x * 0.0 + 1.0), 0.0, 1.0, start=0.5, tolerance=1e-12)


@given(st.floats(-2.0, 2.0), st.floats(0.1, 9.0))
def test_roots_are_found_from_any_start_and_pinned_to_the_ends(target: float, bend: float) -> None:
    def residual(x: float | np.ndarray) -> tuple[float | np.ndarray, float | np.ndarray]:
        return np.asarray(x) ** 3 * bend - target, 3 * bend * np.asarray(x) ** 2 + 1e-12

    expected = float(np.clip(np.cbrt(target / bend), -1.0, 1.0))
    for start in (-1.0, 0.0, 0.3, 1.0):
        assert float(increasing_root(residual, -1.0, 1.0, start=start, tolerance=1e-12)) == pytest.approx(
            expected,
            abs=1e-6,  # the root is flat where the target is 0
        )
