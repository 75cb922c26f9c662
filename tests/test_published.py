"""A printed number is equal within half a unit of its last digit, and in nothing more."""

from __future__ import annotations

import pytest

from tests.support.published import as_printed


@pytest.mark.parametrize(
    ("text", "value"),
    [("12.65", 12.649110640673516), ("12.65", 12.6549), ("130", 130.4), ("1.3e2", 126.0), ("-0.20", -0.196)],
)
def test_a_value_that_rounds_to_the_print_is_equal(text: str, value: float) -> None:
    assert value == as_printed(text)


@pytest.mark.parametrize(
    ("text", "value"), [("12.65", 12.64), ("12.65", 12.6551), ("130", 130.6), ("1.3e2", 124.0), ("0.0", 0.06)]
)
def test_a_value_that_rounds_elsewhere_is_not(text: str, value: float) -> None:
    assert value != as_printed(text)


@pytest.mark.parametrize("text", ["", "12,65", "nan", "inf"])
def test_what_is_no_number_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="number"):
        as_printed(text)
