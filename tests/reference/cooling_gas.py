"""A gas that is compressed and cools through its wall, as a differential equation solved step by step."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

Array = NDArray[np.float64]


def pressures(
    time: Array,
    *,
    volume: Callable[[float], tuple[float, float]],
    start_abs: float,
    tau: float,
    gamma: float = 1.4,
) -> Array:
    """p(t) of p' = −γ p V'/V − (p − p_wall)/τ; `volume` gives V and V' at a time; the gas starts at the
    wall's temperature."""
    at_wall = start_abs * volume(time[0])[0]

    def slope(t: float, p: Array) -> Array:
        v, rate = volume(t)
        return -1.4 * p * rate / v - (p - at_wall / v) / tau

    answer = solve_ivp(slope, (time[0], time[-1]), [start_abs], t_eval=time, method="DOP853", rtol=1e-12, atol=1e-6)
    solved: Array = answer.y[0]
    return solved
