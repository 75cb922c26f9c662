"""Numbers with units in a form: shown in this browser's units, kept as they were typed.

A field is sent with three hidden companions: the unit beside it, the text it was filled with, and what that text was
made from. Where nobody has typed in it, what it was made from is taken again, so that showing 105 psi as 7.24 bar and
sending the page back changes nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from sagwright.domain.value import Quantity
from sagwright.errors import InputError
from sagwright.phrases import quantities
from sagwright.units import UnitChoice, parse, split, units_of
from sagwright.web.http.form import Form

AS, WAS, UNIT = ".as", ".was", ".unit"
LONGEST: Final = 60


@dataclass(frozen=True, slots=True)
class NumberField:
    """A field for a number with a unit.

    Attributes
    ----------
    name, label : str
    text : str
        What stands in it.
    unit : str
        Beside it.
    source : str
        What the text was made from, number and unit as they are kept; empty where it was typed just now.
    wrong : str
        What is wrong with it, as a sentence; empty if nothing is.
    low, high, step : str
        For the buttons beside it, in its unit with a decimal point; empty for none.
    hint : str
        What holds while it is empty.
    mark : str
        The decimal mark.
    """

    name: str
    label: str
    text: str
    unit: str
    source: str = ""
    wrong: str = ""
    low: str = ""
    high: str = ""
    step: str = ""
    hint: str = ""
    mark: str = "."


@dataclass(frozen=True, slots=True)
class Typed:
    """What came back from a field: the text, the fact it makes ("105 psi", empty for nothing), or what is wrong."""

    text: str
    fact: str = ""
    wrong: str = ""


def read_number(form: Form, name: str, quantity: Quantity, choice: UnitChoice) -> Typed:
    """A field's number as a fact: as it was where it was not touched, else as typed with the unit beside it."""
    text = form.text(name)[:LONGEST]
    if not text:
        return Typed("")
    untouched = text == form.text(name + WAS) and form.text(name + AS)
    fact = form.text(name + AS)[:LONGEST] if untouched else _fact(text, form.text(name + UNIT), quantity, choice)
    try:
        parse(fact, quantity)
    except InputError as error:
        return Typed(text, wrong=sentence_of(error, text))
    return Typed(text, fact)


def _fact(text: str, unit: str, quantity: Quantity, choice: UnitChoice) -> str:
    """Number and unit with a decimal point; a unit that was typed comes before the one beside the field."""
    number, own = split(text)
    other = "." if choice.decimal == "," else ","
    if other in number:
        return f"{text} {choice.unit(quantity)}"  # a mark of thousands or of another country: refused as it stands
    beside = unit if unit in units_of(quantity) else choice.unit(quantity)
    return f"{number.replace(',', '.')} {own or beside}".strip() if number else text


def sentence_of(error: InputError, text: str | None) -> str:
    """What is wrong with a field, for somebody who sees which field it is."""
    said = str(InputError(error.rule, value=text, remedy=error.remedy))
    return said[:1].upper() + said[1:]


def shown_number(fact: str, quantity: Quantity, choice: UnitChoice) -> str:
    """A fact's number in this browser's unit, without the unit: as it is written where the unit is the same."""
    number, unit = split(fact.partition("±")[0])
    if unit == choice.unit(quantity):
        return number.replace(".", choice.decimal)
    return quantities.bare(parse(f"{number} {unit}", quantity), quantity, choice)
