"""The shop's choice of units: by name, by any spelling a keyboard has, and what is said of one that is none."""

from __future__ import annotations

import math

import pytest

from sagwright.domain.value import Quantity
from sagwright.errors import OutOfRange, WrongUnit
from sagwright.units import UnitChoice, amount_in, choose_units, nearest, parse, show_in, units_of
from sagwright.units.table import UNITS, all_names, find_unit


def test_a_shop_chooses_its_units() -> None:
    choice = choose_units("bar,in,lbf-in,lb")
    assert (choice.pressure, choice.length, choice.torque, choice.mass) == ("bar", "in", "lbf·in", "lb")
    assert choice.volume == UnitChoice().volume


def test_what_is_not_named_stays_as_it_was() -> None:
    base = UnitChoice(pressure="kPa", length="cm", decimal=",")
    assert choose_units("in", base=base) == UnitChoice(pressure="kPa", length="in", decimal=",")
    assert choose_units("", base=base) == base


def test_every_quantity_has_a_choice_that_is_one_of_its_units() -> None:
    assert all(UnitChoice().unit(quantity) in units_of(quantity) for quantity in Quantity)


@pytest.mark.parametrize(
    ("written", "quantity", "name"),
    [
        ("N-m", "torque", "N·m"),
        ("Nm", "torque", "N·m"),
        ("lbf*ft", "torque", "lbf·ft"),
        ("in-lbs", "torque", "lbf·in"),
        ("kgf cm", "torque", "kgf·cm"),
        ("in3", "volume", "in³"),
        ("cm^3", "volume", "cm³"),
        ("floz", "volume", "fl oz"),
        ("degC", "temperature", "°C"),
        ("deg F", "temperature", "°F"),
        ("deg", "angle", "°"),
        ("percent", "fraction", "%"),
        (" BAR ", "pressure", "bar"),
        ("lb/in", "rate", "lbf/in"),
    ],
)
def test_it_takes_other_spellings(written: str, quantity: str, name: str) -> None:
    assert choose_units(written).unit(quantity) == name


@pytest.mark.parametrize("name", all_names())
def test_every_unit_is_chosen_by_its_name_and_by_something_in_ascii(name: str) -> None:
    unit = next(unit for unit in UNITS if unit.name == name)
    in_ascii = next(spelling for spelling in (name, *unit.also) if spelling.isascii())
    assert choose_units(name).unit(unit.quantity) == choose_units(in_ascii).unit(unit.quantity) == name


def test_no_spelling_names_two_units_whatever_its_case() -> None:
    spellings = [(spelling, unit) for unit in UNITS if unit.name for spelling in (unit.name, *unit.also)]
    assert [spelling for spelling, unit in spellings if find_unit(spelling) is not unit] == []
    shouted = [(spelling, find_unit(spelling.upper())) for spelling, _ in spellings]
    assert [spelling for spelling, unit in shouted if unit not in (None, find_unit(spelling))] == []


@pytest.mark.parametrize(
    ("text", "rule", "hint"),
    [
        ("barr", "'barr' is none", "Did you mean bar? Known are mm, cm, "),
        ("PSII", "'PSII' is none", "Did you mean psi? Known are "),
        ("kelvn", "'kelvn' is none", "Did you mean K? Known are "),
        ("in-lbss", "'in-lbss' is none", "Did you mean lbf·in? Known are "),
        ("bar,degg F", "'degg F' is none", "Did you mean °F? Known are "),
        ("furlong", "'furlong' is none", "Known are mm, cm, "),
    ],
)
def test_a_name_that_is_no_unit_is_refused(text: str, rule: str, hint: str) -> None:
    with pytest.raises(WrongUnit) as caught:
        choose_units(text)
    assert caught.value.rule == f"must be units with commas between them, and {rule}"
    assert caught.value.remedy.startswith(hint)
    assert all(name in caught.value.remedy for name in all_names())
    assert caught.value.value == text


def test_two_units_of_one_quantity_are_refused() -> None:
    with pytest.raises(WrongUnit) as caught:
        choose_units("psi,in,bar")
    assert str(caught.value) == "must name one unit of pressure, got 'psi,in,bar'. Leave out psi or bar."


def test_the_same_unit_twice_is_one() -> None:
    assert choose_units("psi,PSI,in,inch,") == choose_units("psi,in")


def test_a_number_is_shown_in_the_unit_chosen() -> None:
    assert show_in(choose_units("bar"), 5e5, "pressure") == "5 bar"
    assert show_in(UnitChoice(decimal=","), 0.0318, "length") == "31,8 mm"
    assert show_in(UnitChoice(), 0.4, "fraction") == "40 %"
    assert show_in(UnitChoice(fraction=""), 0.425, "fraction") == "0.425"
    assert show_in(UnitChoice(), 3.0, "count") == "3"
    assert show_in(UnitChoice(), 1.2, "ratio", digits=2) == "1.20"


def test_a_number_of_a_chart_is_rounded_once() -> None:
    assert amount_in(choose_units("degF"), parse("68 °F", "temperature"), "temperature") == pytest.approx(
        68.0, rel=1e-15
    )
    assert amount_in(choose_units("in"), 0.0254, "length") == 1.0
    assert amount_in(UnitChoice(), 3.0, "count") == 3.0


def test_nothing_in_a_chart_has_no_sign() -> None:
    assert math.copysign(1.0, amount_in(UnitChoice(), -0.0, "length")) == 1.0


def test_what_is_not_finite_is_in_no_chart() -> None:
    with pytest.raises(OutOfRange, match="finite"):
        amount_in(UnitChoice(), math.nan, "length")


@pytest.mark.parametrize(
    ("word", "near"),
    [("travl", "travel"), ("TRAVEL", "travel"), ("sags", "sag"), ("bag", "sag"), ("xyz", ""), ("", "")],
)
def test_the_nearest_word(word: str, near: str) -> None:
    assert nearest(word, ["travel", "sag", "pressure"]) == near


def test_of_words_equally_near_the_one_with_the_same_beginning() -> None:
    assert nearest("mid", ["aid", "mix"]) == "mix"
    assert nearest("mid", ["mix", "aid"]) == "mix"
