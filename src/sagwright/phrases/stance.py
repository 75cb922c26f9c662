"""Stances in words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from sagwright.domain.stance import Clearance, OutlineChange, RiderLoad, Stance, StanceView
from sagwright.domain.value import Quantity
from sagwright.phrases import quantities
from sagwright.phrases.labelled import LabelledLine
from sagwright.phrases.spring import HOW
from sagwright.units import UnitChoice, show_difference, show_in
from sagwright.units.table import unit_named

_UNKNOWN: Final = "?"


@dataclass(frozen=True, slots=True)
class StanceTerm:
    """One number of a stance: its field, its name in full and short, and what kind of number it is."""

    field: str
    name: str
    short: str
    quantity: Quantity


STANCE_TERMS: Final = (
    StanceTerm("head_angle", "head angle", "head", Quantity.ANGLE),
    StanceTerm("seat_angle", "seat angle", "seat", Quantity.ANGLE),
    StanceTerm("bb_height", "bottom bracket height", "BB", Quantity.LENGTH),
    StanceTerm("bb_drop", "bottom bracket drop", "drop", Quantity.LENGTH),
    StanceTerm("pedal_height", "pedal height", "pedal", Quantity.LENGTH),
    StanceTerm("reach", "reach", "reach", Quantity.LENGTH),
    StanceTerm("stack", "stack", "stack", Quantity.LENGTH),
    StanceTerm("trail", "trail", "trail", Quantity.LENGTH),
    StanceTerm("mechanical_trail", "mechanical trail", "mech. trail", Quantity.LENGTH),
    StanceTerm("flop", "wheel flop", "flop", Quantity.LENGTH),
    StanceTerm("wheelbase", "wheelbase", "wheelbase", Quantity.LENGTH),
    StanceTerm("front_centre", "front centre", "front centre", Quantity.LENGTH),
)
"""Every number of a stance that is compared, in the order of `domain.stance.FIGURES`."""


FORK: Final = StanceTerm("axle_to_crown", "axle to crown", "axle to crown", Quantity.LENGTH)
"""The fork's own length, topped out."""


def difference_of(term: StanceTerm, before: Stance, after: Stance) -> float | None:
    """After less before; None where one of them is unknown."""
    first, second = getattr(before, term.field), getattr(after, term.field)
    return None if first is None or second is None else float(second) - float(first)


def digits_of(quantity: Quantity, choice: UnitChoice) -> int:
    """Decimals of a stance's numbers, kept so that columns line up: lengths to 1 mm, the others as usual in their
    unit."""
    unit = choice.unit(quantity)
    return 0 if unit == "mm" else unit_named(unit).digits


def stance_number(si: float | None, quantity: Quantity, choice: UnitChoice) -> str:
    """A number with its unit, or "?" where it is unknown."""
    return _UNKNOWN if si is None else show_in(choice, si, quantity, digits=digits_of(quantity, choice))


def change(si: float | None, quantity: Quantity, choice: UnitChoice) -> str:
    """A difference with its sign and without its unit: "+0.8", "−6"; empty where it is unknown."""
    if si is None:
        return ""
    unit = choice.unit(quantity)
    text = show_difference(si, unit, digits=digits_of(quantity, choice), decimal=choice.decimal)
    text = text.removesuffix(unit).strip()
    return text if text.startswith("−") or not any(mark in text for mark in "123456789") else f"+{text}"


def value_of(term: StanceTerm, stance: Stance, choice: UnitChoice) -> str:
    """A stance's number with its unit."""
    return stance_number(getattr(stance, term.field), term.quantity, choice)


def sags(stance: Stance, choice: UnitChoice) -> str:
    """How far a stance sits in its travel: "topped out", or both sags."""
    if stance.front_sag == 0.0 and stance.rear_sag == 0.0:
        return "topped out"
    front, rear = (quantities.number_text(sag, Quantity.LENGTH, choice) for sag in (stance.front_sag, stance.rear_sag))
    return f"sag {front} in front, {rear} behind"


def rear_sag_text(stance: Stance, choice: UnitChoice) -> str:
    """How far the rear axle stands in its travel."""
    return (
        quantities.number_text(stance.rear_sag, Quantity.LENGTH, choice) if stance.rear_sag else "topped out, or rigid"
    )


def sagged_meaning(view: StanceView, choice: UnitChoice) -> str:
    """The sags, front and rear, at which the sagged stances are taken."""
    text = "At sag: in front the rider's sag, as below"
    if view.rear_sag:
        text += f"; {quantities.number_text(view.rear_sag, Quantity.FRACTION, choice)} of the rear travel, assumed"
    return f"{text}."


def outline_lines(change_of: OutlineChange, choice: UnitChoice) -> Iterator[LabelledLine]:
    """What a change of fork length does to a bike of which only head angle and wheelbase are known."""
    changes: list[tuple[str, float | None, Quantity]] = [
        ("axle to crown", change_of.longer, Quantity.LENGTH),
        ("head angle", change_of.head_angle, Quantity.ANGLE),
        ("seat angle", change_of.seat_angle, Quantity.ANGLE),
        ("wheelbase", change_of.wheelbase, Quantity.LENGTH),
        ("trail", change_of.trail, Quantity.LENGTH),
    ]
    for name, si, quantity in changes:
        if si is not None:
            unit = choice.unit(quantity)
            yield LabelledLine(name, change(si, quantity, choice) + ("" if unit == "°" else " ") + unit)


def sat_line(sat: RiderLoad, choice: UnitChoice) -> LabelledLine:
    """The load and sag of one setup under one person, with their uncertainties and where the load comes from."""
    load = quantities.figure(sat.load.of(Quantity.FORCE), choice)
    sag = quantities.figure(sat.sag.of(Quantity.LENGTH), choice)
    share = quantities.number_text(sat.sag.value / sat.travel, Quantity.FRACTION, choice)
    low, high = (quantities.bare(end, Quantity.LENGTH, choice) for end in (sat.lifted, sat.pressed))
    friction = quantities.number_text(sat.friction, Quantity.FORCE, choice)
    text = f"{load} along the fork, {HOW[sat.how]}; sag {sag}, {share} of travel; "
    text += f"reads {low} after lifting to {high} after pressing, by {friction} of friction"
    if sat.across is not None and sat.front_axle is not None:
        axle, across = (quantities.number_text(force, Quantity.FORCE, choice) for force in (sat.front_axle, sat.across))
        text += f"; front axle {axle}, across the fork {across}"
    return LabelledLine(sat.side.value if sat.who == "rider" else f"{sat.side.value}, {sat.who}", f"{text}.")


def clearance_lines(found: tuple[Clearance, ...], choice: UnitChoice) -> Iterator[LabelledLine]:
    """Gaps at full compression."""
    for one in found:
        gap = quantities.figure(one.gap.of(Quantity.LENGTH), choice)
        how = "measured" if one.measured else "drawn"
        yield LabelledLine(f"tyre to {one.place.value}", f"{gap} at full compression, {how}")
