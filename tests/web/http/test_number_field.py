"""Numbers in forms: shown in one unit, kept as they were typed in another."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sagwright.domain.value import Quantity
from sagwright.units import UnitChoice, parse
from sagwright.web.http.form import Form
from sagwright.web.http.number_field import AS, UNIT, WAS, read_number, shown_number
from sagwright.web.http.preferences import OFFERED

CHOICES = [UnitChoice(pressure=unit, decimal=mark) for unit in OFFERED["pressure"] for mark in ".,"]


def sent(**fields: str) -> Form:
    return Form(tuple((name.replace("__", "."), text) for name, text in fields.items()))


@pytest.mark.law
@given(
    number=st.decimals(1, 300, places=2),
    unit=st.sampled_from(OFFERED["pressure"]),
    switches=st.lists(st.sampled_from(CHOICES), min_size=1, max_size=6),
)
def test_however_often_units_are_switched_what_was_typed_stays(
    number: object, unit: str, switches: list[UnitChoice]
) -> None:
    fact = f"{number} {unit}"
    for choice in switches:
        text = shown_number(fact, Quantity.PRESSURE, choice)
        fields = (("p", text), (f"p{WAS}", text), (f"p{AS}", fact), (f"p{UNIT}", choice.pressure))
        assert read_number(Form(fields), "p", Quantity.PRESSURE, choice).fact == fact
    assert parse(fact, "pressure") == parse(f"{number} {unit}", "pressure")


@pytest.mark.parametrize(
    ("form", "choice", "fact"),
    [
        (sent(p="105", p__unit="psi"), UnitChoice(), "105 psi"),
        (sent(p="105", p__unit="psi"), UnitChoice(pressure="bar"), "105 psi"),
        (sent(p="105"), UnitChoice(pressure="bar"), "105 bar"),
        (sent(p="7,2", p__unit="bar"), UnitChoice(decimal=","), "7.2 bar"),
        (sent(p="7.2 bar", p__unit="psi"), UnitChoice(), "7.2 bar"),
        (sent(p="105", p__unit="mm"), UnitChoice(), "105 psi"),
        (sent(p="", p__unit="psi", p__as="1 psi", p__was=""), UnitChoice(), ""),
        (sent(p="8", p__unit="bar", p__as="105 psi", p__was="7.24"), UnitChoice(pressure="bar"), "8 bar"),
    ],
)
def test_a_number_is_read_with_the_unit_it_was_typed_beside(form: Form, choice: UnitChoice, fact: str) -> None:
    assert read_number(form, "p", Quantity.PRESSURE, choice).fact == fact


@pytest.mark.parametrize("text", ["x", "7.2.1", "1,2", "7 mm", "--3", "9" * 70, "NaN", "inf", "٣ psi"])
def test_what_is_no_number_is_told_and_makes_no_fact(text: str) -> None:
    typed = read_number(sent(p=text, p__unit="psi"), "p", Quantity.PRESSURE, UnitChoice())
    assert typed.wrong
    assert not typed.fact


def test_a_forged_source_is_read_as_anything_else() -> None:
    typed = read_number(sent(p="1", p__was="1", p__as="rm -rf"), "p", Quantity.PRESSURE, UnitChoice())
    assert typed.wrong
    assert not typed.fact
