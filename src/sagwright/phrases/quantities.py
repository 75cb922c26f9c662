"""Numbers of the domain as text, in the units asked for."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from sagwright import units
from sagwright.domain.measuring import half_width
from sagwright.domain.value import Figure, Origin, Quantity, Unknown, Value
from sagwright.units import UnitChoice
from sagwright.units.table import BARE, unit_named

MINUTE: Final = 60.0  # s
_HOUR: Final = 60 * MINUTE
DAY: Final = 24 * _HOUR
FAITHFUL: Final = 0.02  # of a written number; more than that may not be lost when it is shown
MOST_DECIMALS: Final = 6

TOLERANCE: Final = "tol. ±"
"""Before a tolerance; a standard uncertainty has ± alone."""

UNKNOWN: Final = {
    Unknown.UNTIL_OPEN: "unknown until open",
    Unknown.NOT_MEASURED: "not measured",
}


def figure(given: Figure, choice: UnitChoice) -> str:
    """A number with its unit, and its standard uncertainty where that is known: "310 N ± 25"."""
    timed = _timed(given.value, given.quantity, choice)
    shown = units.show_in(timed, given.value, given.quantity)
    return shown if not given.u else f"{shown} ± {bare_difference(given.u, given.quantity, timed)}"


def number_text(si: float, quantity: Quantity, choice: UnitChoice) -> str:
    """A number with its unit; a time in minutes, hours or days, whichever reads best."""
    return units.show_in(_timed(si, quantity, choice), si, quantity)


def _timed(si: float, quantity: Quantity, choice: UnitChoice) -> UnitChoice:
    """The choice with the unit of time that reads best, unless one was asked for."""
    if quantity is not Quantity.TIME or choice.time != UnitChoice().time or si < 2 * _HOUR:
        return choice
    return replace(choice, time="days" if si >= 2 * DAY else "h")


def bare(si: float, quantity: Quantity, choice: UnitChoice) -> str:
    """A number without its unit."""
    return _without_unit(units.show_in(choice, si, quantity), quantity, choice)


def in_column(si: float, quantity: Quantity, choice: UnitChoice) -> str:
    """A number without its unit and with every decimal, so that a column of them lines up."""
    shown = units.show_in(choice, si, quantity, digits=_digits(quantity, choice))
    return _without_unit(shown, quantity, choice)


def uncertainty_in_column(u: float, quantity: Quantity, choice: UnitChoice) -> str:
    """A standard uncertainty with the decimals of its column, or more where it would read as nothing."""
    for digits in range(_digits(quantity, choice), MOST_DECIMALS):
        shown = units.show_difference(u, choice.unit(quantity), decimal=choice.decimal, digits=digits)
        if u == 0 or float(_without_unit(shown, quantity, choice).replace(",", ".")) > 0:
            return _without_unit(shown, quantity, choice)
    return bare_difference(u, quantity, choice)


def _digits(quantity: Quantity, choice: UnitChoice) -> int:
    unit = choice.unit(quantity)
    return (unit_named(unit) if unit else BARE[quantity]).digits


def difference(si: float, quantity: Quantity, choice: UnitChoice) -> str:
    """A difference or a tolerance with its unit: 2 K are "2 °C"."""
    return units.show_difference(si, choice.unit(quantity), decimal=choice.decimal)


def bare_difference(si: float, quantity: Quantity, choice: UnitChoice) -> str:
    """A difference or a tolerance without its unit."""
    return _without_unit(difference(si, quantity, choice), quantity, choice)


def _without_unit(shown: str, quantity: Quantity, choice: UnitChoice) -> str:
    return shown.removesuffix(choice.unit(quantity)).rstrip()


def exact(si: float, quantity: Quantity, choice: UnitChoice) -> str:
    """A written number or a limit, with more decimals than usual where rounding would change what it says."""
    for digits in (None, *range(_digits(quantity, choice) + 1, MOST_DECIMALS)):
        shown = units.show_in(choice, si, quantity, digits=digits)
        if abs(units.parse(shown, quantity, decimal=choice.decimal) - si) <= FAITHFUL * abs(si):
            return shown
    return number_text(si, quantity, choice)


def value(given: Value, quantity: Quantity, choice: UnitChoice) -> str:
    """A written value, saying so where it is only typical."""
    shown = (number_text if quantity is Quantity.TIME else exact)(given.si, quantity, choice)
    return f"{shown}, typical" if given.origin is Origin.TYPICAL else shown


def tolerance(u: float, quantity: Quantity, choice: UnitChoice) -> str:
    """Half the width of what a standard uncertainty was made of, as a column has it: "tol. ± 0.5"."""
    return f"{TOLERANCE} {uncertainty_in_column(half_width(u), quantity, choice)}"


def as_written(text: str) -> str:
    """A number as a person wrote it, for a reader: what follows its ± is a tolerance, not a standard uncertainty."""
    return text.replace("+/-", "±").replace("±", TOLERANCE)


def count_text(how_many: float, noun: str) -> str:
    """A number of things: "1 travel spacer", "2 travel spacers"."""
    return f"{how_many:.0f} {noun}" + ("" if how_many == 1 else "s")


def span(low: float | None, high: float | None, quantity: Quantity, choice: UnitChoice) -> str:
    """A range with its unit; empty if it has no ends."""
    if low is not None and high is not None and low != high:
        start = _without_unit(exact(low, quantity, choice), quantity, choice)
        return f"{start} to {exact(high, quantity, choice)}"
    if low is not None:
        return f"{'at least ' if high is None else ''}{exact(low, quantity, choice)}"
    return "" if high is None else f"at most {exact(high, quantity, choice)}"
