"""Disc springs against the standard's table."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from sagwright.errors import OutOfRange
from sagwright.physics import bumper
from sagwright.physics.bumper import Disc, DiscStop, Stack
from sagwright.physics.numeric import Real

# [din-2093] as a transcription gives it, force at s = 0.75 h0; editions differ by up to 0.8
# %, so 1 %.
# De, Di, t, l0 [mm], N. The last two rows are from memory.
TABLE = [
    (31.5, 16.3, 1.75, 2.45, 3870),
    (40, 20.4, 2.25, 3.15, 6500),
    (63, 31, 3.5, 4.9, 15000),
    (80, 41, 5, 6.7, 33600),
    (31.5, 16.3, 1.25, 2.15, 1910),
    (50, 25.4, 2, 3.4, 4760),
    (63, 31, 2.5, 4.25, 7190),
    (50, 25.4, 1.25, 2.85, 1550),
    (8, 4.2, 0.4, 0.6, 210),
]


def made(outside: float, inside: float, thickness: float, free_height: float) -> Disc:
    return Disc(outside / 1e3, inside / 1e3, thickness / 1e3, (free_height - thickness) / 1e3)


@pytest.mark.parametrize("row", TABLE)
def test_table_of_din_2093(row: tuple[float, ...]) -> None:
    *sizes, newton = row
    spring = made(*sizes)
    assert bumper.force(spring, 0.75 * spring.cone) == pytest.approx(newton, rel=0.01)


def test_factor_k1_of_din_2092() -> None:
    # Printed with the same table for De/Di = 2.
    assert bumper.k1(2.0) == pytest.approx(0.6943332, abs=5e-8)


def test_the_curve_is_flat_at_h0_over_t_of_root_two() -> None:
    # Standard, from memory: zero slope at s = h0.
    plateau = Disc(50e-3, 25.4e-3, 1e-3, np.sqrt(2) * 1e-3)
    assert bumper.disc_rate(plateau, plateau.cone) == pytest.approx(0.0, abs=1e-3)
    assert bumper.disc_rate(plateau, 0.9 * plateau.cone) > 0


def test_it_snaps_through_above_twice_root_two() -> None:
    # Standard, from memory: past flat the force turns negative only where h0/t > 2 √2.
    share = np.linspace(0, 2, 2001)
    for over, lowest in [(2.9, -1), (2.75, 1)]:
        spring = Disc(50e-3, 25.4e-3, 1e-3, over * 1e-3)
        assert np.sign(np.min(bumper.force(spring, share[1:-1] * spring.cone))) == lowest


def test_the_rate_is_the_slope_of_the_force() -> None:
    spring = made(63, 31, 2.5, 4.25)
    at = 0.6 * spring.cone
    rise = np.asarray(bumper.force(spring, at + 1e-8)) - bumper.force(spring, at - 1e-8)
    assert bumper.disc_rate(spring, at) == pytest.approx(rise / 2e-8, rel=1e-6)


def test_stacks_add_strokes_in_series_and_forces_in_parallel() -> None:
    spring = made(31.5, 16.3, 1.25, 2.15)
    single = bumper.force(spring, 0.5 * spring.cone)
    stack = Stack(spring, series=4, parallel=2)
    assert stack.stroke == pytest.approx(4 * spring.cone)
    assert bumper.stack_force(stack, 2 * spring.cone) == pytest.approx(2 * single)
    assert bumper.mean_rate(stack) * 3 * spring.cone == pytest.approx(2 * 1910, rel=0.01)


@pytest.mark.parametrize(
    ("sizes", "deflection"),
    [
        ((31.5, 32.0, 1.25, 2.15), 0.1e-3),
        ((31.5, 16.3, 1.25, 2.15), 2.0e-3),
        ((31.5, 16.3, 1.25, 2.15), -0.1e-3),
        ((31.5, 16.3, 0.0, 2.15), 0.1e-3),
        ((31.5, 16.3, 1.25, 1.25), 0.0),
    ],
)
def test_discs_that_cannot_be_are_refused(sizes: tuple[float, ...], deflection: float) -> None:
    with pytest.raises(OutOfRange):
        bumper.force(made(*sizes), deflection)


def test_an_empty_stack_is_refused() -> None:
    with pytest.raises(OutOfRange, match="series"):
        bumper.stack_force(Stack(made(31.5, 16.3, 1.25, 2.15), series=0), 0.1e-3)
    with pytest.raises(OutOfRange, match="stroke"):
        bumper.stack_force(Stack(made(31.5, 16.3, 1.25, 2.15)), 1.0e-3)


STACK = Stack(made(31.5, 16.3, 1.25, 2.15), series=4, parallel=2)


@pytest.mark.parametrize("sense", [+1, -1])
def test_a_stop_of_discs_pushes_with_the_slope_of_its_work_also_when_flat(sense: int) -> None:
    stop = DiscStop(10e-3, STACK, sense)
    for depth in (-1e-3, 0.3e-3, 2e-3, 3.4e-3, 3.7e-3, 4e-3):
        x = 10e-3 + sense * depth
        force, stiffness = stop.push(x)
        assert force == pytest.approx(slope(stop.work, x), rel=1e-6, abs=1e-6)
        assert stiffness == pytest.approx(slope(lambda y: stop.push(y)[0], x), rel=1e-6, abs=1e-3)


def slope(function: Callable[[float], Real], x: float) -> float:
    step = 1e-7
    return float((np.asarray(function(x + step)) - function(x - step)) / (2 * step))


def test_flat_discs_bear_as_a_ring_of_steel() -> None:
    # By hand: E·π/4·(31.5² − 16.3²)·10⁻⁶/(8·1.25·10⁻³).
    expected = 206e9 * np.pi / 4 * (31.5**2 - 16.3**2) * 1e-6 / 10e-3
    assert DiscStop(0.0, STACK, +1).push(5e-3)[1] == pytest.approx(expected, rel=1e-9)
