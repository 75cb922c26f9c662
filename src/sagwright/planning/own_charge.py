"""Charging and emptying chambers with a valve of their own, beside the main one.

What is charged last is emptied first: a floating piston is charged, and stays charged, behind an empty main chamber,
while a negative chamber is charged only under a main one that holds the unit out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from sagwright.domain.build import Change, Charge
from sagwright.domain.item import Item, Record, Role
from sagwright.domain.sheet import Sheet
from sagwright.domain.value import Quantity, Unknown
from sagwright.planning.valves import NAMES, must_be_set, own_valves

READS: Final = 10_000.0
"""How far the last reading may lie from the plan [Pa]: a digital pump's 1 to 2 psi; common practice, no source."""


@dataclass(frozen=True, slots=True)
class OwnCharge:
    """One such chamber on the bench: its field in a `Charge`, its item, and whether it is charged first."""

    field: str
    item: Item
    first: bool


def owns_of(sheet: Sheet) -> tuple[OwnCharge, ...]:
    """All of them."""
    return tuple(
        OwnCharge(own.field, item, own.valve.first) for own in own_valves(sheet) for item in sheet.having(own.role)
    )


def due_among(sheet: Sheet, changes: Iterable[Change]) -> tuple[OwnCharge, ...]:
    """Those that a change of the charge concerns."""
    roles: frozenset[Role] = frozenset()
    for change in changes:
        before, after = change.before, change.after
        if change.field == "charge" and isinstance(before, Charge | Unknown) and isinstance(after, Charge):
            roles |= must_be_set(sheet, before, after)
    return tuple(own for own in owns_of(sheet) if own.item.role in roles)


def emptied_before(sheet: Sheet, item: Item, off: set[str]) -> Iterator[Item]:
    """The charges that must be out before this one, among those that come out."""
    owns = [own for own in owns_of(sheet) if own.item.key in off]
    if item.role is Role.AIR_CHARGE:
        yield from (own.item for own in owns if not own.first)
    elif any(own.first and own.item.key == item.key for own in owns):
        yield from (main for main in sheet.having(Role.AIR_CHARGE) if main.key in off)


def found_at(sheet: Sheet, item: Item) -> Iterator[Record]:
    """What is read of them before anything is touched."""
    if item.role is Role.READINGS:
        for own in owns_of(sheet):
            what = f"Gauge pressure of the {own.item.name} as it came in, read at its own valve."
            yield Record(f"{NAMES[own.field]}_found", what, Quantity.PRESSURE)


def left_at(sheet: Sheet, own: OwnCharge, gauge: float | None) -> Record:
    """What is read of one once it is charged; within what the sheet permits, where nobody said how far."""
    what = f"pressure of the {own.item.name}, read at its own valve"
    if gauge is None:
        span = next(one.span for one in own_valves(sheet) if one.field == own.field)
        limits = (None, None) if span is None else (span.low, span.high)
        return Record(f"{NAMES[own.field]}_left", what, Quantity.PRESSURE, *limits)
    return Record(f"{NAMES[own.field]}_left", what, Quantity.PRESSURE, gauge - READS, gauge + READS)
