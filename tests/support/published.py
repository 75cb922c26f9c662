"""Numbers as their sources print them."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation

import pytest


def as_printed(text: str) -> object:
    """The number that a source prints as `text`: equal within half a unit of its last printed digit.

    Compare with `==`: `12.649110640673516 == as_printed("12.65")` holds, `12.64 == as_printed("12.65")` does
    not. Every digit counts as printed, so where a source's 130 has two digits write `"1.3e2"`.

    Raises
    ------
    ValueError
        If the text is not a finite decimal number.
    """
    try:
        number = Decimal(text)
    except InvalidOperation as error:
        raise ValueError(f"not a number: {text!r}") from error
    if not number.is_finite():
        raise ValueError(f"not a finite number: {text!r}")
    half_a_unit = 0.5 * 10.0 ** int(number.as_tuple().exponent)
    return pytest.approx(float(number), rel=0, abs=half_a_unit)
