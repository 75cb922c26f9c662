"""Text in, text out: what is refused and how it is said, number locale, the shop's choice of units."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sagwright.errors import InputError, OutOfRange, WrongUnit
from sagwright.units import Choice, choose, parse, parse_difference, show, show_difference, show_in


@pytest.mark.parametrize(
    ("text", "quantity", "si"),
    [
        ("31.8 mm", "length", 0.0318),
        ("31.8mm", "length", 0.0318),
        ("3.18 cm", "length", 0.0318),
        ("+.5 in", "length", 0.0127),
        ("8 ml", "volume", 8e-6),
        ("8 cm³", "volume", 8e-6),
        ("8 cc", "volume", 8e-6),
        ("26 N·m", "torque", 26.0),
        ("26 Nm", "torque", 26.0),
        ("26 N m", "torque", 26.0),
        ("100 lbf-in", "torque", 11.29848290276167),
        ("40 %", "fraction", 0.4),
        ("0.4", "fraction", 0.4),
        ("3 min", "time", 180.0),
        ("2 weeks", "time", 1_209_600.0),
        ("−10 °C", "temperature", 263.15),
        ("1009 hPa", "pressure", 100_900.0),
        ("1.5e3 N", "force", 1500.0),
        ("65°", "angle", 1.1344640137963142),
    ],
)
def test_it_reads_what_people_write(text: str, quantity: str, si: float) -> None:
    assert parse(text, quantity) == pytest.approx(si, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "rule", "remedy"),
    [
        ("31.8 psi", "must be a length, like 31.8 mm", "psi is a unit of pressure"),
        ("31.8", "must be a length, like 31.8 mm", "Write the unit: mm, cm, m or in."),
        ("31.8 mmm", "must be a length, like 31.8 mm", "did you mean mm?"),
        ("mm", "must be a length, like 31.8 mm", "Write a length as a number"),
        ("31,8 mm", 'must be written with "." as the decimal mark', "Write 31.8"),
        ("1,234.5 mm", "must be a length, like 31.8 mm", "Write a length as a number"),
        ("nan mm", "must be a length, like 31.8 mm", "Write a length as a number"),
    ],
)
def test_it_says_what_is_wrong_and_what_to_write(text: str, rule: str, remedy: str) -> None:
    with pytest.raises(WrongUnit) as caught:
        parse(text, "length")
    assert caught.value.rule == rule
    assert remedy in caught.value.remedy
    assert caught.value.value == text


def test_a_decimal_comma_is_read_where_it_is_the_mark() -> None:
    assert parse("31,8 mm", "length", decimal=",") == pytest.approx(0.0318)
    with pytest.raises(WrongUnit, match='","'):
        parse("31.8 mm", "length", decimal=",")


def test_below_absolute_zero_is_refused() -> None:
    with pytest.raises(OutOfRange, match="above absolute zero"):
        parse("-274 °C", "temperature")


def test_half_a_piece_is_refused() -> None:
    with pytest.raises(OutOfRange, match="whole number"):
        parse("2.5", "count")


def test_a_difference_of_temperature_has_no_offset() -> None:
    assert parse_difference("2 °C", "temperature") == 2.0
    assert parse_difference("9 °F", "temperature") == pytest.approx(5.0)
    assert show_difference(2.0, "°C") == "2 °C"


@pytest.mark.parametrize(
    ("si", "unit", "text"),
    [
        (537e3, "psi", "78 psi"),
        (537e3, "bar", "5.37 bar"),
        (0.0318, "mm", "31.8 mm"),
        (0.03, "mm", "30 mm"),
        (293.15, "°C", "20 °C"),
        (-1e-9, "mm", "0 mm"),
        (-0.012, "mm", "−12 mm"),
    ],
)
def test_it_shows_as_many_digits_as_the_trade_reads(si: float, unit: str, text: str) -> None:
    assert show(si, unit) == text


def test_it_shows_a_decimal_comma() -> None:
    assert show(0.0318, "mm", decimal=",") == "31,8 mm"


def test_what_is_not_finite_is_not_shown() -> None:
    with pytest.raises(OutOfRange, match="finite"):
        show(float("nan"), "mm")


def test_a_shop_chooses_its_units() -> None:
    choice = choose("bar,in,lbf-in,lb")
    assert (choice.pressure, choice.length, choice.torque, choice.mass) == ("bar", "in", "lbf·in", "lb")
    assert choice.volume == Choice().volume
    assert show_in(choice, 5e5, "pressure") == "5 bar"
    assert show_in(Choice(decimal=","), 0.0318, "length") == "31,8 mm"


@pytest.mark.parametrize(
    ("text", "said"), [("barr", "Did you mean bar?"), ("psi,bar", "Leave out psi or bar."), ("furlong", "Known are")]
)
def test_a_choice_that_is_none_is_refused(text: str, said: str) -> None:
    with pytest.raises(WrongUnit) as caught:
        choose(text)
    assert said in caught.value.remedy


@pytest.mark.law
@given(st.text(max_size=80), st.sampled_from(["length", "pressure", "count", "temperature", "fraction"]))
def test_any_text_is_a_number_or_an_input_error(text: str, quantity: str) -> None:
    si, fault = 0.0, None
    try:
        si = parse(text, quantity)
    except InputError as error:
        fault = error
    assert fault.remedy if fault else math.isfinite(si)
