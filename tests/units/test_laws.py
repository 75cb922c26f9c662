"""Laws of reading and showing, over random numbers, units and texts."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from sagwright.domain.value import Quantity
from sagwright.errors import InputError
from sagwright.units import (
    UnitChoice,
    amount_in,
    choose_units,
    parse,
    parse_difference,
    show_difference,
    show_value,
    split,
    units_of,
)
from sagwright.units.table import UNITS, MeasureUnit

pytestmark = pytest.mark.law

NAMED = [unit for unit in UNITS if unit.name]
SHIFTED = [unit for unit in NAMED if unit.quantity == "temperature"]
UNSHIFTED = [unit for unit in NAMED if unit not in SHIFTED]

units = st.sampled_from(NAMED)
marks = st.sampled_from([".", ","])
thousandths = st.integers(-(10**9), 10**9)
finite = st.floats(-1e9, 1e9)


def written(thousandth: int, unit: MeasureUnit, decimal: str) -> str:
    """A number of three decimals, written without the code under test."""
    sign, whole, part = "-" if thousandth < 0 else "", abs(thousandth) // 1000, abs(thousandth) % 1000
    return f"{sign}{whole}{decimal}{part:03d} {unit.name}"


@given(thousandths, units, marks)
def test_what_is_read_is_shown_as_it_was_written(thousandth: int, unit: MeasureUnit, decimal: str) -> None:
    text = written(thousandth, unit, decimal)
    si = parse_difference(text, unit.quantity, decimal=decimal)
    shown = show_difference(si, unit.name, digits=3, decimal=decimal)
    minus_nothing = text.startswith("-") and thousandth == 0
    assert shown.replace("−", "-").replace(" ", "") == text.removeprefix("-" if minus_nothing else "").replace(" ", "")


@given(thousandths, st.sampled_from(SHIFTED), marks)
def test_a_temperature_is_shown_as_it_was_written(thousandth: int, unit: MeasureUnit, decimal: str) -> None:
    assume(Fraction(thousandth, 1000) > -unit.offset)
    text = written(thousandth, unit, decimal)
    assert show_value(
        parse(text, "temperature", decimal=decimal), unit.name, digits=3, decimal=decimal
    ) == text.replace("-", "−")


@given(finite, units, marks)
def test_what_is_shown_is_read_back_within_half_a_digit(si: float, unit: MeasureUnit, decimal: str) -> None:
    text = show_difference(si, unit.name, digits=6, decimal=decimal)
    assume(len(text) <= 24)
    back = parse_difference(text, unit.quantity, decimal=decimal)
    assert back == pytest.approx(si, rel=0, abs=0.5e-6 * float(unit.scale) + 1e-15 * abs(si))


@given(finite, units, st.none() | st.integers(0, 6), marks)
def test_what_is_shown_has_one_mark_and_no_signed_nothing(
    si: float, unit: MeasureUnit, digits: int | None, decimal: str
) -> None:
    number, name = split(show_difference(si, unit.name, digits=digits, decimal=decimal))
    assert name == unit.name
    assert number.count(".") + number.count(",") == number.count(decimal) <= 1
    assert not number.startswith("-") or float(number.replace(",", ".")) < 0.0


@given(st.floats(allow_nan=False, allow_infinity=False), units)
def test_every_finite_number_is_shown_or_refused_in_a_sentence(si: float, unit: MeasureUnit) -> None:
    try:
        shown = show_value(si, unit.name)
    except InputError as error:
        shown = error.remedy
    assert shown.removesuffix(unit.name).strip()


@given(thousandths, st.sampled_from(list(Quantity)), st.data())
def test_every_spelling_reads_the_same(thousandth: int, quantity: Quantity, data: st.DataObject) -> None:
    unit = data.draw(st.sampled_from([unit for unit in UNITS if unit.quantity == quantity]))
    spelling = data.draw(st.sampled_from([unit.name, *unit.also]))
    number = f"{abs(thousandth)}"
    expected = parse_difference(f"{number} {unit.name}", quantity)
    assert parse_difference(f"{number} {spelling}", quantity) == expected
    assert parse_difference(f"{number}{spelling}", quantity) == expected


@given(finite, st.sampled_from(UNSHIFTED))
def test_a_unit_without_an_offset_is_a_factor(si: float, unit: MeasureUnit) -> None:
    choice = choose_units(unit.name)
    one = parse(f"1 {unit.name}", unit.quantity)
    assert amount_in(choice, si, unit.quantity) * one == pytest.approx(si, rel=1e-14, abs=1e-300)


@given(st.floats(0.01, 1e6), st.sampled_from(SHIFTED), st.sampled_from(SHIFTED))
def test_a_difference_is_the_difference_of_two_temperatures(
    kelvin: float, unit: MeasureUnit, other: MeasureUnit
) -> None:
    step = amount_in(choose_units(unit.name), kelvin + 1.0, "temperature") - amount_in(
        choose_units(unit.name), kelvin, "temperature"
    )
    assert parse_difference(f"{step:.9f} {unit.name}", "temperature") == pytest.approx(1.0, abs=1e-8)
    same = f"{amount_in(choose_units(other.name), kelvin, 'temperature'):.9f} {other.name}"
    assert parse(same, "temperature") == pytest.approx(kelvin, abs=1e-8)


@given(st.permutations(list(Quantity)), st.data())
def test_the_order_of_a_choice_does_not_matter(quantities: list[Quantity], data: st.DataObject) -> None:
    names = {each: data.draw(st.sampled_from(units_of(each))) for each in sorted(quantities)}
    choice = choose_units(",".join(names[each] for each in quantities))
    assert choice == choose_units(",".join(names.values()))
    assert all(choice.unit(each) == (name or UnitChoice().unit(each)) for each, name in names.items())


@given(
    st.text(max_size=80) | st.from_regex(r"[-+]?[0-9.,eE]{1,30} ?[a-zA-Z°·/³%]{0,6}", fullmatch=True),
    st.sampled_from(list(Quantity)),
    marks,
)
def test_any_text_is_a_number_or_an_input_error(text: str, quantity: Quantity, decimal: str) -> None:
    si, fault = 0.0, None
    try:
        si = parse(text, quantity, decimal=decimal)
    except InputError as error:
        fault = error
    assert fault.remedy if fault else math.isfinite(si)


@given(st.text(max_size=80))
def test_any_text_is_a_choice_or_an_input_error(text: str) -> None:
    choice, fault = UnitChoice(), None
    try:
        choice = choose_units(text)
    except InputError as error:
        fault = error
    assert fault.remedy if fault else all(choice.unit(each) in units_of(each) for each in Quantity)
