"""Numbers of this layer: their types, refusal of what a formula is not valid for, and roots of rising functions.

A number is a float or an array. A root is found element by element and is converged, or an error is raised.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from sagwright.errors import NoSolution, OutOfRange

Real: TypeAlias = float | NDArray[Any]
Mask: TypeAlias = bool | NDArray[Any]

ABOVE_ZERO: Final = 5e-324
"""The least number above zero."""

_STEPS = 80
"""Steps after which a root counts as not found."""

_PATIENCE = 12
"""Steps after which Newton must halve its step each time, or give way."""


def positive(**arguments: Real) -> None:
    """Refuse arguments that are not finite and greater than zero.

    Raises
    ------
    OutOfRange
        Naming the first such argument.
    """
    for name, value in arguments.items():
        if not (_finite(value) and _between(value, ABOVE_ZERO, np.inf)):
            raise OutOfRange("must be finite and greater than 0", field=name, value=str(value))


def finite(**arguments: Real) -> None:
    """Refuse arguments that are not finite.

    Raises
    ------
    OutOfRange
        Naming the first such argument.
    """
    for name, value in arguments.items():
        if not _finite(value):
            raise OutOfRange("must be finite", field=name, value=str(value))


def require_within(low: float, high: float, **arguments: Real) -> None:
    """Refuse arguments outside low to high, both included.

    Raises
    ------
    OutOfRange
        Naming the first such argument and the range.
    """
    for name, value in arguments.items():
        if not _between(value, low, high):
            raise OutOfRange(f"must be between {low:g} and {high:g}", field=name, value=str(value))


def _finite(value: Real) -> bool:
    """Whether all of it is; a single number, which most arguments are, without an array's cost."""
    return math.isfinite(value) if isinstance(value, float) else bool(np.all(np.isfinite(value)))


def _between(value: Real, low: float, high: float) -> bool:
    """Whether all of it is, both ends included."""
    if isinstance(value, float):
        return bool(low <= value <= high)
    array = np.asarray(value)
    return bool(np.all((array >= low) & (array <= high)))


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
    for taken in range(_STEPS):
        value, slope = residual(x)
        below = value < 0
        low, low_seen = np.where(below, x, low), low_seen | below
        high, high_seen = np.where(below, high, x), high_seen | ~below
        with np.errstate(divide="ignore", invalid="ignore"):
            newton = x - value / slope
        if taken > _PATIENCE:
            newton = np.where(np.abs(newton - x) > 0.5 * step, np.inf, newton)
        following = _next(newton, low, high, low_seen, high_seen)
        step = np.abs(following - x)
        x = following
        if np.all(step <= tolerance) and np.all(np.isfinite(value)):
            return np.asarray(x)[()]
    raise NoSolution(f"no root within {tolerance:g} after {_STEPS} steps")


def _next(newton: Real, low: Real, high: Real, low_seen: Mask, high_seen: Mask) -> Real:
    """Newton's step; where it leaves the bracket, an end not looked at yet, or else the middle."""
    middle = 0.5 * (low + high)
    upward = np.where(newton <= high, newton, np.where(high_seen, np.where(low_seen, middle, low), high))
    return np.where(newton >= low, upward, np.where(low_seen, np.where(high_seen, middle, high), low))
