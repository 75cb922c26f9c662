"""Refusing what a formula is not valid for."""

from __future__ import annotations

import numpy as np

from sagwright.errors import OutOfRange
from sagwright.physics.types import Real


def positive(**arguments: Real) -> None:
    """Refuse arguments that are not finite and greater than zero.

    Raises
    ------
    OutOfRange
        Naming the first such argument.
    """
    for name, value in arguments.items():
        if not np.all(np.isfinite(value) & (np.asarray(value) > 0)):
            raise OutOfRange("must be finite and greater than 0", field=name, value=str(value))


def finite(**arguments: Real) -> None:
    """Refuse arguments that are not finite.

    Raises
    ------
    OutOfRange
        Naming the first such argument.
    """
    for name, value in arguments.items():
        if not np.all(np.isfinite(value)):
            raise OutOfRange("must be finite", field=name, value=str(value))


def within(low: float, high: float, **arguments: Real) -> None:
    """Refuse arguments outside low to high, both included.

    Raises
    ------
    OutOfRange
        Naming the first such argument and the range.
    """
    for name, value in arguments.items():
        array = np.asarray(value)
        if not np.all((array >= low) & (array <= high)):
            raise OutOfRange(f"must be between {low:g} and {high:g}", field=name, value=str(value))
