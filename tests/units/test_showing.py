"""SI to text: the digits the trade reads, the decimal mark, and never "−0"."""

from __future__ import annotations

import pytest

from sagwright.errors import OutOfRange
from sagwright.units import show_difference, show_value
from sagwright.units.table import all_names


@pytest.mark.parametrize(
    ("si", "unit", "text"),
    [
        (537e3, "psi", "78 psi"),
        (537e3, "bar", "5.37 bar"),
        (540e3, "bar", "5.4 bar"),
        (0.0318, "mm", "31.8 mm"),
        (0.03, "mm", "30 mm"),
        (100e3, "kPa", "100 kPa"),
        (293.15, "°C", "20 °C"),
        (293.15, "°F", "68 °F"),
        (263.15, "°C", "−10 °C"),
        (-0.012, "mm", "−12 mm"),
        (1.1344640137963142, "°", "65°"),
        (0.4, "%", "40 %"),
        (1.25, "", "1.25"),
        (24.0, "Nm", "24 N·m"),
        (24.0, "N-m", "24 N·m"),
    ],
)
def test_it_shows_as_many_digits_as_the_trade_reads(si: float, unit: str, text: str) -> None:
    assert show_value(si, unit) == text


def test_digits_asked_for_are_kept_even_where_they_are_zero() -> None:
    assert show_value(0.03, "mm", digits=2) == "30.00 mm"
    assert show_value(537e3, "psi", digits=1) == "77.9 psi"
    assert show_value(1000.0, "N", digits=0) == "1000 N"


def test_a_difference_of_temperature_has_no_offset() -> None:
    assert show_difference(2.0, "°C") == "2 °C"
    assert show_difference(5.0, "°F") == "9 °F"
    assert show_difference(-5.0, "K") == "−5 K"


@pytest.mark.parametrize(
    ("si", "digits", "text"), [(0.0318, None, "31,8 mm"), (0.03, None, "30 mm"), (-0.03, 2, "−30,00 mm")]
)
def test_it_shows_a_decimal_comma(si: float, digits: int | None, text: str) -> None:
    assert show_value(si, "mm", digits=digits, decimal=",") == text


@pytest.mark.parametrize("name", ["", *all_names()])
@pytest.mark.parametrize("si", [-0.0, -1e-12])
@pytest.mark.parametrize("digits", [None, 0, 3])
@pytest.mark.parametrize("decimal", [".", ","])
def test_nothing_has_no_sign(name: str, si: float, digits: int | None, decimal: str) -> None:
    text = show_difference(si, name, digits=digits, decimal=decimal)
    assert text.startswith("0")
    assert "-" not in text
    assert "−" not in text.removesuffix(name)


@pytest.mark.parametrize(("si", "unit"), [(273.1, "°C"), (255.2, "°F")])
def test_a_little_frost_is_not_minus_nothing(si: float, unit: str) -> None:
    assert show_value(si, unit) == f"0 {unit}"


@pytest.mark.parametrize("si", [float("nan"), float("inf"), -float("inf"), 1e308])
def test_what_is_not_finite_in_its_unit_is_not_shown(si: float) -> None:
    with pytest.raises(OutOfRange, match="must be a finite number to be shown") as caught:
        show_value(si, "mm")
    assert caught.value.value == str(si)
    assert caught.value.remedy == "Check what it came from."


def test_a_unit_nobody_knows_is_not_shown_in() -> None:
    with pytest.raises(OutOfRange, match="must be a unit we know, got 'furlong'") as caught:
        show_value(1.0, "furlong")
    assert all(name in caught.value.remedy for name in all_names())
