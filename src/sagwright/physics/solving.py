"""Roots of increasing functions, element by element, or an error: never an unconverged number."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from sagwright.errors import NoSolution
from sagwright.physics.types import Mask, Real

STEPS = 80
"""Steps after which a root counts as not found."""

PATIENCE = 12
"""Steps after which Newton must halve its step each time, or give way."""


def increasing_root(
    residual: Callable[[Real], tuple[Real, Real]], low: Real, high: Real, *, start: Real, tolerance: float
) -> Real:
    """Where an increasing function is zero between two ends, by Newton's step inside a shrinking bracket.

    A step that leaves the bracket, or after a while is not half as long as the one before, gives way to the
    bracket's middle.

    Parameters
    ----------
    residual : callable
        x → (value, slope), both of the shape of x; value increases with x between `low` and `high`.
    low, high : float or array
        Ends of the bracket. Where the value is already ≥ 0 at `low` the root is `low`; where it is still ≤ 0 at
        `high` it is `high`.
    start : float or array
        First guess; it is moved inside the bracket.
    tolerance : float
        Largest last step, in the unit of x.

    Returns
    -------
    float or array

    Raises
    ------
    NoSolution
        If some element has not converged, or is not a number.
    """
    low, high = np.broadcast_arrays(low, high)
    low_seen = high_seen = np.zeros(np.shape(low), dtype=bool)
    x: Real = np.clip(start, low, high)
    step: Real = np.inf
    for taken in range(STEPS):
        value, slope = residual(x)
        below = value < 0
        low, low_seen = np.where(below, x, low), low_seen | below
        high, high_seen = np.where(below, high, x), high_seen | ~below
        with np.errstate(divide="ignore", invalid="ignore"):
            newton = x - value / slope
        if taken > PATIENCE:
            newton = np.where(np.abs(newton - x) > 0.5 * step, np.inf, newton)
        following = _next(newton, low, high, low_seen, high_seen)
        step = np.abs(following - x)
        x = following
        if np.all(step <= tolerance) and np.all(np.isfinite(value)):
            return np.asarray(x)[()]
    raise NoSolution(f"no root within {tolerance:g} after {STEPS} steps")


def _next(newton: Real, low: Real, high: Real, low_seen: Mask, high_seen: Mask) -> Real:
    """Newton's step; where it leaves the bracket, an end not looked at yet, or else the middle."""
    middle = 0.5 * (low + high)
    upward = np.where(newton <= high, newton, np.where(high_seen, np.where(low_seen, middle, low), high))
    return np.where(newton >= low, upward, np.where(low_seen, np.where(high_seen, middle, high), low))
