"""Two gases parted by a floating piston, as differential equations from one turn of the piston to the next."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

Array = NDArray[np.float64]

GAMMA = 1.4
WALL = 293.15


def pressures(
    time: Array,
    *,
    front: Callable[[float], tuple[float, float]],
    behind: float,
    start_abs: tuple[float, float],
    tau: float,
) -> Array:
    """Both pressures (2, times) [Pa]; `front` gives the volume in front and its rate, the piston on its stop.

    The state is both temperatures over the wall's, and what the piston has given up of the volume behind it; each gas
    obeys T' = (T_wall − T)/τ − (γ − 1) T V'/V. Afloat the piston moves so that both pressures stay equal.
    """
    heats = (start_abs[0] * front(time[0])[0], start_abs[1] * behind)

    def pressure(t: float, y: Array) -> tuple[float, float]:
        return heats[0] * y[0] / (front(t)[0] + y[2] * behind), heats[1] * y[1] / (behind * (1 - y[2]))

    def rates(t: float, y: Array, *, afloat: bool) -> list[float]:
        volume, moved = front(t)
        volumes = (volume + y[2] * behind, behind * (1.0 - y[2]))
        cooling = [(1.0 - y[i]) / tau / y[i] for i in range(2)]  # of each, over its temperature
        gives = 0.0
        if afloat:
            gives = (cooling[0] - cooling[1] - GAMMA * moved / volumes[0]) / (GAMMA * (1 / volumes[0] + 1 / volumes[1]))
        swept = (moved + gives, -gives)
        warms = [y[i] * (cooling[i] - (GAMMA - 1.0) * swept[i] / volumes[i]) for i in range(2)]
        return [*warms, gives / behind]

    def lifts(t: float, y: Array) -> float:
        p = pressure(t, y)
        return p[0] - p[1]

    def lands(_: float, y: Array) -> float:
        return float(y[2])

    lifts.terminal, lifts.direction = True, 1.0  # type: ignore[attr-defined]
    lands.terminal, lands.direction = True, -1.0  # type: ignore[attr-defined]
    rows, now, state, afloat = [], float(time[0]), np.array([1.0, 1.0, 0.0]), False
    while now < time[-1]:
        solved = solve_ivp(
            lambda t, y, on=afloat: rates(t, y, afloat=on),
            (now, float(time[-1])),
            state,
            t_eval=time[(time >= now) & (time <= time[-1])],
            events=lands if afloat else lifts,
            method="DOP853",
            rtol=1e-10,
            atol=1e-12,
            max_step=0.02,
        )
        rows += [(t, *pressure(t, y)) for t, y in zip(solved.t, solved.y.T, strict=True)]
        if solved.t_events is None or solved.y_events is None or solved.status != 1:
            break
        now, state, afloat = float(solved.t_events[0][0]), solved.y_events[0][0], not afloat
    known = np.array(rows)
    return np.stack([np.interp(time, known[:, 0], known[:, i]) for i in (1, 2)])
