"""Refusing what a formula is not valid for."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from sagwright.errors import OutOfRange
from sagwright.physics.types import Real

ABOVE_ZERO: Final = 5e-324
"""The least number above zero."""


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


def within(low: float, high: float, **arguments: Real) -> None:
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
