"""The tables of one spring give what the kernel gives."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmarks.sampled import Sampled
from sagwright.errors import OutOfRange
from sagwright.physics.bumper import LinearBumper
from sagwright.physics.gas import AMBIENT_ABS, R_AIR
from sagwright.physics.spring import Chamber, GasState, Port, Spring, Stroke

POSITIVE, NEGATIVE = Chamber("positive", 1.7e-4, -8e-4), Chamber("negative", 3e-5, 7e-4)
STOPS = (LinearBumper(0.13, 1e5, 1), LinearBumper(0.003, 2e4, -1))
GAS = R_AIR * 293.15


def stroke(*ports: Port, n: float = 1.2, shares: object = 1.0) -> Stroke:
    masses = (7e5 * 1.7e-4 / GAS * np.asarray(shares)[()], 5e5 * 3e-5 / GAS)
    return Stroke(Spring((POSITIVE, NEGATIVE), ports, STOPS, 0.14, AMBIENT_ABS), GasState(masses, 293.15), n=n)


@given(st.floats(0.0, 0.1), st.floats(0.0, 0.05), st.floats(1.0, 1.4), st.randoms())
def test_it_is_the_kernels_force_in_any_order(opens: float, band: float, n: float, random: object) -> None:
    whole = stroke(Port(0, 1, opens, opens + band), n=n)
    x = np.concatenate([np.linspace(0.0, 0.14, 101), [float(np.asarray(edge)) for edge in whole.edges]])
    random.shuffle(x)  # type: ignore[attr-defined]  # hypothesis gives a Random
    np.testing.assert_allclose(Sampled(whole).force(x), whole.force(x), rtol=1e-11, atol=1e-8)


def test_without_ports_there_is_one_piece() -> None:
    x = np.linspace(0.0, 0.14, 11)
    np.testing.assert_allclose(Sampled(stroke()).force(x), stroke().force(x), rtol=1e-12)


def test_many_springs_are_refused() -> None:
    with pytest.raises(OutOfRange, match="one spring"):
        Sampled(stroke(shares=np.array([1.0, 1.1])))
