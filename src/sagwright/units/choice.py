"""Which unit a shop reads each quantity in."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sagwright.errors import WrongUnit
from sagwright.units.showing import in_unit, show_as
from sagwright.units.table import BARE, MeasureUnit, all_names, find_unit, intended_unit, unit_named


@dataclass(frozen=True, slots=True)
class UnitChoice:
    """A unit per quantity, and the decimal mark.

    Every field but `decimal` is named like a quantity and holds the name of a unit, empty for a plain number.
    """

    length: str = "mm"
    volume: str = "ml"
    pressure: str = "psi"
    mass: str = "kg"
    force: str = "N"
    rate: str = "N/mm"
    torque: str = "N·m"
    temperature: str = "°C"
    time: str = "min"
    angle: str = "°"
    fraction: str = "%"
    energy: str = "J"
    count: str = ""
    ratio: str = ""
    decimal: str = "."

    def unit(self, quantity: str) -> str:
        """The name of the unit chosen for a quantity."""
        return str(getattr(self, quantity))


def choose_units(text: str, *, base: UnitChoice | None = None) -> UnitChoice:
    """A choice by the names of its units: `choose("bar,in,lbf-in,lb")`; what is not named stays as in `base`.

    Raises
    ------
    WrongUnit
        If a name is no unit, or two units of one quantity are named.
    """
    units = [_known(name.strip(), text) for name in text.split(",") if name.strip()]
    chosen: dict[str, str] = {}
    for unit in units:
        if chosen.setdefault(unit.quantity, unit.name) != unit.name:
            raise WrongUnit(
                f"must name one unit of {unit.quantity}",
                value=text,
                remedy=f"Leave out {chosen[unit.quantity]} or {unit.name}.",
            )
    return replace(base or UnitChoice(), **chosen)


def show_in(choice: UnitChoice, si: float, quantity: str, *, digits: int | None = None) -> str:
    """A number in the unit chosen for its quantity."""
    return show_as(_chosen(choice, quantity), si, digits=digits, decimal=choice.decimal)


def amount_in(choice: UnitChoice, si: float, quantity: str) -> float:
    """A number in the unit chosen for its quantity, as a number: for charts and tables of numbers.

    Raises
    ------
    OutOfRange
        If the number is not finite.
    """
    return in_unit(si, _chosen(choice, quantity))


def _chosen(choice: UnitChoice, quantity: str) -> MeasureUnit:
    name = choice.unit(quantity)
    return unit_named(name) if name else BARE[quantity]


def _known(name: str, text: str) -> MeasureUnit:
    unit = find_unit(name)
    if unit is None:
        near = intended_unit(name)
        hint = f"Did you mean {near}? " if near else ""
        raise WrongUnit(
            f"must be units with commas between them, and {name!r} is none",
            value=text,
            remedy=f"{hint}Known are {', '.join(all_names())}.",
        )
    return unit
