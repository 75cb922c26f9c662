"""Text as people write it → SI."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from sagwright.errors import OutOfRange, WrongUnit
from sagwright.units.table import BARE, QUANTITY_UNITS, MeasureUnit, find_unit, intended_unit, units_of

_LONGEST: Final = 60  # characters; nobody writes a longer number
_NUMBER: Final = re.compile(
    r"([+-]?) ?(\d{1,18}(?:[.,]\d{1,18})?|[.,]\d{1,18})(?:[eE]([+-]?\d{1,2}))?(?![\d.,])", re.ASCII
)


def parse(text: str, quantity: str, *, decimal: str = ".") -> float:
    """A number with its unit, in SI.

    Parameters
    ----------
    text : str
        "31.8 mm", "78 psi", "40 %"; spaces of every kind, and "·", "*", "-" or "." in products.
    quantity : str
        What it must be: a value of `domain.value.Quantity`. "fraction", "count" and "ratio" need no unit.
    decimal : {".", ","}
        The decimal mark of the writer.

    Returns
    -------
    float
        SI: m, m³, Pa, kg, N, N/m, N·m, K, s, rad, 1, J. Rounded once from the exact definition.

    Raises
    ------
    WrongUnit
        If it is no number, has no unit where one is needed, or a unit of something else.
    OutOfRange
        If a temperature does not lie above absolute zero, or a count is not whole.

    References
    ----------
    [nist-sp-811] appendix B.
    """
    number, unit = _number_and_unit(text, quantity, decimal)
    si = float((number + unit.offset) * unit.scale)
    if quantity == "temperature" and si <= 0.0:
        raise OutOfRange("must lie above absolute zero", value=text, remedy="Check the sign and the unit.")
    if quantity == "count" and number.denominator != 1:
        raise OutOfRange("must be a whole number", value=text, remedy="Count whole pieces.")
    return si


def parse_difference(text: str, quantity: str, *, decimal: str = ".") -> float:
    """A difference of two such numbers, in SI: as `parse`, but 2 °C of tolerance are 2 K."""
    number, unit = _number_and_unit(text, quantity, decimal)
    return float(number * unit.scale)


def split(text: str) -> tuple[str, str]:
    """A text's leading number and what follows it, both as written; the number is empty if there is none."""
    found = _NUMBER.match(_tidied(text))
    if found is None:
        return "", text.strip()
    return found.group().strip(), _tidied(text)[found.end() :].strip()


def _number_and_unit(text: str, quantity: str, decimal: str) -> tuple[Fraction, MeasureUnit]:
    tidy = _tidied(text)
    found = _NUMBER.match(tidy) if len(text) <= _LONGEST else None
    if found is None:
        raise _wrong(text, quantity, f"Write {QUANTITY_UNITS[quantity].noun} as a number with its unit.")
    sign, digits, exponent = found.groups()
    unit = _unit(tidy[found.end() :].strip(), text, quantity)
    return Fraction(f"{sign}{_digits(digits, text, decimal)}e{exponent or 0}"), unit


def _tidied(text: str) -> str:
    return " ".join(text.replace("−", "-").replace("–", "-").split())


def _digits(digits: str, text: str, decimal: str) -> str:
    """The digits with a decimal point. The other mark is refused: 1,234 may mean two things."""
    other = "," if decimal == "." else "."
    if other in digits:
        raise WrongUnit(
            f'must be written with "{decimal}" as the decimal mark',
            value=text,
            remedy=f"Write {digits.replace(other, decimal)}, without marks between thousands.",
        )
    return digits.replace(",", ".")


def _unit(spelling: str, text: str, quantity: str) -> MeasureUnit:
    if not spelling and quantity in BARE:
        return BARE[quantity]
    if not spelling:
        raise _wrong(text, quantity, f"Write the unit: {_offered(quantity)}.")
    unit = find_unit(spelling)
    if unit is None:
        near = intended_unit(spelling, quantity)
        hint = f", did you mean {near}?" if near else ""
        raise _wrong(text, quantity, f"{spelling!r} is no unit we know{hint}; {_how(quantity)}.")
    if unit.quantity != quantity:
        noun = QUANTITY_UNITS[unit.quantity].noun
        raise _wrong(text, quantity, f"{unit.name} is a unit of {noun.partition(' ')[2]}; {_how(quantity)}.")
    return unit


def _wrong(text: str, quantity: str, remedy: str) -> WrongUnit:
    kind = QUANTITY_UNITS[quantity]
    return WrongUnit(f"must be {kind.noun}, like {kind.example}", value=text, remedy=remedy)


def _how(quantity: str) -> str:
    kind = QUANTITY_UNITS[quantity]
    names = [name for name in units_of(quantity) if name]
    return f"{kind.noun} is written in {_listed(names)}" if names else f"{kind.noun} has no unit"


def _offered(quantity: str) -> str:
    return _listed([name for name in units_of(quantity) if name])


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " or " + names[-1]
