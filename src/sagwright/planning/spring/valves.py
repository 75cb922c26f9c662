"""Chambers with a valve of their own: which a sheet has, what they are charged to, and in which order.

What is charged last is emptied first: a floating piston is charged, and stays charged, behind an empty main chamber,
while a negative chamber is charged only under a main one that holds the unit out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from sagwright.domain import measuring
from sagwright.domain.air_spring import OwnValve
from sagwright.domain.item import Item, Record, Role
from sagwright.domain.setup import Change, Charge
from sagwright.domain.sheet import Sheet
from sagwright.domain.value import Quantity, Span, Unknown, Value
from sagwright.physics.numeric import Real

MAIN: Final = "pressure_gauge"
NEGATIVE_CHAMBER: Final = "negative_gauge"
SECOND_CHAMBER: Final = "second_gauge"

ROLES: Final = {NEGATIVE_CHAMBER: Role.NEGATIVE_CHARGE, SECOND_CHAMBER: Role.SECOND_CHARGE}
"""What holds the charge of each, by its field in `domain.setup.Charge`."""

NAMES: Final = {NEGATIVE_CHAMBER: "negative", SECOND_CHAMBER: "second"}
"""What they are called in readings, files and sentences."""

Gauges = Mapping[str, Real]
"""What valves read, by field, gauge [Pa]: the main one, and others where they were read."""

SAME: Final = 100.0
"""Charges closer than this are one charge [Pa]."""


@dataclass(frozen=True, slots=True)
class ChamberValve(OwnValve):
    """One such chamber, and what it may be charged to."""

    @property
    def role(self) -> Role:
        """The role of the item that holds its charge."""
        return ROLES[self.field]

    def charge_for_main(self, main_gauge: Real) -> Real:
        """The charge that belongs to one at the main valve, gauge [Pa]; beyond its points that of the nearest."""
        if not self.valve.follows:
            return self.usual.si
        main, here = zip(*self.valve.follows, strict=True)
        beside: Real = np.interp(main_gauge, main, here)
        return beside

    def permits(self, gauge: Real) -> bool:
        """Whether it may be charged so, to the nearest 100 Pa."""
        span = self.span
        return span is None or bool(span.low - SAME <= gauge <= span.high + SAME)

    @property
    def fixed(self) -> bool:
        """Whether it has one pressure, whatever the main one is."""
        return not self.valve.choices and not self.valve.follows and self.valve.permitted is None

    @property
    def span(self) -> Span | None:
        """What may be chosen here: as permitted, or from the first choice to the last."""
        if self.valve.permitted is None and self.valve.choices:
            return Span(self.valve.choices[0], self.valve.choices[-1])
        return self.valve.permitted


def own_valves_of(sheet: Sheet) -> tuple[ChamberValve, ...]:
    """The chambers of a sheet that have one."""
    return tuple(ChamberValve(one.field, one.usual, one.valve) for one in sheet.spring.own_valves)


def gauge_of(sheet: Sheet, read: Gauges, field: str) -> Real:
    """What one of them holds, gauge [Pa]: as read, else as the sheet has it; 0 where there is none."""
    for own in own_valves_of(sheet):
        if own.field == field:
            return read[field] if field in read else own.charge_for_main(read[MAIN])
    return 0.0


def gauges_of(sheet: Sheet, charge: Charge) -> dict[str, float]:
    """What each of them holds, by field."""
    read = read_at(charge)
    return {own.field: float(np.asarray(gauge_of(sheet, read, own.field))) for own in own_valves_of(sheet)}


def stated_gauge(sheet: Sheet, charge: Charge | Unknown) -> dict[str, float]:
    """What each of them is to hold as far as anybody says, by field: as said, by the main one, or the only pressure
    the sheet has; one that is chosen, and was not, is left out."""
    if isinstance(charge, Unknown):
        return {own.field: own.usual.si for own in own_valves_of(sheet) if own.fixed}
    known = gauges_of(sheet, charge)
    chosen = {own.field for own in own_valves_of(sheet) if own.valve.choices and getattr(charge, own.field) is None}
    return {field: gauge for field, gauge in known.items() if field not in chosen}


def limits_of(sheet: Sheet) -> tuple[float, float]:
    """Permitted charge at the main valve [Pa], where a chamber that follows it stays permitted too."""
    low, high = sheet.air.pressure_gauge.low, sheet.air.pressure_gauge.high
    for own in own_valves_of(sheet):
        if own.valve.follows:
            ends = _within(own)
            low, high = max(low, ends[0]), min(high, ends[1])
    return low, high


def _within(own: OwnValve) -> tuple[float, float]:
    """Between which pressures at the main valve this one is known and permitted."""
    main, here = zip(*own.valve.follows, strict=True)
    span = own.valve.permitted
    if span is None:
        return main[0], main[-1]
    return float(np.interp(span.low, here, main)), float(np.interp(span.high, here, main))


def must_be_set(sheet: Sheet, before: Charge | Unknown, after: Charge | Unknown) -> frozenset[Role]:
    """The roles of those whose charge differs from one to another, or that nobody has read."""
    if isinstance(after, Unknown):
        return frozenset()
    wanted = stated_gauge(sheet, after)
    read = {} if isinstance(before, Unknown) else read_at(before)
    return frozenset(
        ROLES[field] for field, gauge in wanted.items() if field not in read or abs(gauge - read[field]) > SAME
    )


def read_at(charge: Charge) -> dict[str, float]:
    """What each valve of a charge reads, the main one too, by field, gauge [Pa]; without those that nobody read."""
    said: dict[str, Value | None] = {field: getattr(charge, field) for field in (MAIN, *ROLES)}
    return {field: value.si for field, value in said.items() if value is not None}


def with_valve_pressures(charge: Charge, held: Mapping[str, Value | None]) -> Charge:
    """The charge with what some of them hold, by field."""
    return replace(
        charge,
        negative_gauge=held.get(NEGATIVE_CHAMBER, charge.negative_gauge),
        second_gauge=held.get(SECOND_CHAMBER, charge.second_gauge),
    )


def unchanged_valves(before: Charge, after: Charge) -> Charge:
    """The charge after, with what own valves were found at where that is as wanted."""
    said = {field: (getattr(before, field), getattr(after, field)) for field in ROLES}
    same = {field: was for field, (was, to) in said.items() if was and to and abs(was.si - to.si) <= SAME}
    return with_valve_pressures(after, same)


@dataclass(frozen=True, slots=True)
class ValveCharge:
    """One such chamber on the bench: its field in a `Charge`, its item, and whether it is charged first."""

    field: str
    item: Item
    first: bool


def valve_charges_of(sheet: Sheet) -> tuple[ValveCharge, ...]:
    """All of them."""
    return tuple(
        ValveCharge(own.field, item, own.valve.first) for own in own_valves_of(sheet) for item in sheet.having(own.role)
    )


def due_among(sheet: Sheet, changes: Iterable[Change]) -> tuple[ValveCharge, ...]:
    """Those that a change of the charge concerns."""
    roles: frozenset[Role] = frozenset()
    for change in changes:
        before, after = change.before, change.after
        if change.field == "charge" and isinstance(before, Charge | Unknown) and isinstance(after, Charge):
            roles |= must_be_set(sheet, before, after)
    return tuple(own for own in valve_charges_of(sheet) if own.item.role in roles)


def found_at(sheet: Sheet, item: Item) -> Iterator[Record]:
    """What is read of them before anything is touched."""
    if item.role is Role.READINGS:
        for own in valve_charges_of(sheet):
            what = f"Gauge pressure of the {own.item.name} as it came in, read at its own valve."
            yield Record(f"{NAMES[own.field]}_found", what, Quantity.PRESSURE)


def pressure_as_left(sheet: Sheet, own: ValveCharge, gauge: float | None) -> Record:
    """What is read of one once it is charged; within what the sheet permits, where nobody said how far."""
    what = f"pressure of the {own.item.name}, read at its own valve"
    if gauge is None:
        span = next(one.span for one in own_valves_of(sheet) if one.field == own.field)
        limits = (None, None) if span is None else (span.low, span.high)
        return Record(f"{NAMES[own.field]}_left", what, Quantity.PRESSURE, *limits)
    off = measuring.COVERAGE * measuring.PUMP_SCATTER.u  # the pump that set it reads it, so its bias is in both
    return Record(f"{NAMES[own.field]}_left", what, Quantity.PRESSURE, gauge - off, gauge + off)
