"""Stances in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from sagwright.domain.stance import Stance
from sagwright.domain.value import Quantity
from sagwright.phrases import figures
from sagwright.units import Choice, show_difference, show_in

UNKNOWN: Final = "?"


@dataclass(frozen=True, slots=True)
class Term:
    """One number of a stance: its field, its name in full and short, and what kind of number it is."""

    field: str
    name: str
    short: str
    quantity: Quantity


TERMS: Final = (
    Term("head_angle", "head angle", "head", Quantity.ANGLE),
    Term("seat_angle", "seat angle", "seat", Quantity.ANGLE),
    Term("bb_height", "bottom bracket height", "BB", Quantity.LENGTH),
    Term("bb_drop", "bottom bracket drop", "drop", Quantity.LENGTH),
    Term("pedal_height", "pedal height", "pedal", Quantity.LENGTH),
    Term("reach", "reach", "reach", Quantity.LENGTH),
    Term("stack", "stack", "stack", Quantity.LENGTH),
    Term("trail", "trail", "trail", Quantity.LENGTH),
    Term("mechanical_trail", "mechanical trail", "mech. trail", Quantity.LENGTH),
    Term("flop", "wheel flop", "flop", Quantity.LENGTH),
    Term("wheelbase", "wheelbase", "wheelbase", Quantity.LENGTH),
    Term("front_centre", "front centre", "front centre", Quantity.LENGTH),
)
"""Every number of a stance that is compared, in the order of `domain.stance.FIGURES`."""


def digits_of(quantity: Quantity, choice: Choice) -> int | None:
    """Decimals of a stance's numbers: angles to 0.1°, lengths to 1 mm; as usual in other units."""
    return 0 if quantity is Quantity.LENGTH and choice.length == "mm" else None


def number(si: float | None, quantity: Quantity, choice: Choice) -> str:
    """A number with its unit, or "?" where it is unknown."""
    if si is None:
        return UNKNOWN
    digits = 1 if quantity is Quantity.ANGLE and choice.angle == "°" else digits_of(quantity, choice)
    return show_in(choice, si, quantity, digits=digits)


def change(si: float | None, quantity: Quantity, choice: Choice) -> str:
    """A difference with its sign and without its unit: "+0.8", "−6"; empty where it is unknown."""
    if si is None:
        return ""
    digits = 1 if quantity is Quantity.ANGLE and choice.angle == "°" else digits_of(quantity, choice)
    unit = choice.unit(quantity)
    text = show_difference(si, unit, digits=digits, decimal=choice.decimal).removesuffix(unit).strip()
    return text if text.startswith("−") or not any(mark in text for mark in "123456789") else f"+{text}"


def value_of(term: Term, stance: Stance, choice: Choice) -> str:
    """A stance's number with its unit."""
    return number(getattr(stance, term.field), term.quantity, choice)


def sags(stance: Stance, choice: Choice) -> str:
    """How far a stance sits in its travel: "topped out", or both sags."""
    if stance.front_sag == 0.0 and stance.rear_sag == 0.0:
        return "topped out"
    front, rear = (figures.number(sag, Quantity.LENGTH, choice) for sag in (stance.front_sag, stance.rear_sag))
    return f"sag {front} in front, {rear} behind"
