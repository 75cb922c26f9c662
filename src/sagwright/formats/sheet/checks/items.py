"""What must hold between the items of a sheet, so that no order of work drawn from it can hurt anyone.

The safety rules lean on the cover relation: an item that holds gas in must be covered by the charge, and so on. A
sheet that does not say so is refused here, with its line, and not later as an order that cannot be found. Common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from graphlib import CycleError, TopologicalSorter
from typing import Final

from sagwright.domain.item import CHARGES, Act, Item, Role, ThreadState
from sagwright.domain.sheet import Sheet
from sagwright.errors import MissingValue, OutOfRange
from sagwright.formats.faults import Faults, FoundFault
from sagwright.formats.sheet.checks import safety
from sagwright.formats.source.tree import FieldPath
from sagwright.units import nearest

COVERED: Final = {
    Role.AIR_CAP: (Role.AIR_CHARGE,),
    Role.VOLUME_SPACERS: (Role.AIR_CAP,),
    Role.FOOT_FASTENER: (Role.AIR_CHARGE, Role.ADJUSTERS, Role.KNOB),
    Role.LOWERS: (Role.FOOT_SEAT, Role.LOWER_LEG_OIL),
    Role.RETAINING_RING: (Role.AIR_CHARGE, Role.LOWERS, Role.COIL),
    Role.AIR_SHAFT: (Role.RETAINING_RING,),
    Role.TRAVEL_SPACERS: (Role.AIR_SHAFT,),
    Role.TRANSFER_PORT: (Role.AIR_SHAFT,),
    Role.SPRING_CAP: (Role.PRELOAD,),
    Role.COIL: (Role.SPRING_CAP,),
    Role.PRELOAD_SPACERS: (Role.SPRING_CAP,),
    Role.SPRING_SHAFT: (Role.RETAINING_RING,),
    Role.TOP_OUT_SPACERS: (Role.SPRING_SHAFT,),
}
"""Roles that must be covered, directly or through others, by every item there is with these roles."""

COVERED_IN_LEG: Final = {Role.FOOT_SEAT: Role.FOOT_FASTENER, Role.LOWER_LEG_OIL: Role.FOOT_SEAT}
"""Roles that must be covered by the item of another role within the same leg."""

EVIDENCE_WORK: Final = (
    *((role, Act.OFF) for role in CHARGES),
    (Role.RETAINING_RING, Act.CHECK),
    (Role.PRELOAD, Act.OFF),
)
"""Work that proves something: no step after it may rely on it before the evidence is written."""

LETS_GO: Final[dict[str, tuple[tuple[Role, Act], ...]]] = {
    "air": (),
    "coil": ((Role.SPRING_CAP, Act.OFF), (Role.SPRING_CAP, Act.ON), (Role.RETAINING_RING, Act.OFF)),
}
"""Work on what a coil presses against; each carries its caution."""

OF_THE_PLAN: Final = (
    *("found_", "pressure_left", "pressure_set", "pressure_again", "state_again", "holds_again", "not_rideable"),
    *("second_found", "second_left", "negative_found", "negative_left"),
)
"""Beginnings of the keys of readings that a plan adds by itself."""


def check_items(sheet: Sheet, faults: Faults) -> None:
    """Add everything that does not hold."""
    for check in ITEM_CHECKS:
        for path, fault in check(sheet):
            faults.add(path, fault)


def safe_cover(sheet: Sheet) -> FoundFault:
    """What holds gas, oil or a shaft in is covered by what must be off first."""
    for item in sheet.items:
        over = _over(sheet, item)
        for other in _must_cover(sheet, item):
            if other.key not in over:
                yield (
                    ("items", item.key, "covered_by"),
                    OutOfRange(
                        f"must lead to {other.key}, the {other.role}, which comes off before it",
                        value=", ".join(item.covered_by) or "nothing",
                        remedy=f"Add {other.key}, or cover one of its covers with it.",
                    ),
                )


def _must_cover(sheet: Sheet, item: Item) -> Iterator[Item]:
    for role in COVERED.get(item.role, ()) if item.role else ():
        yield from sheet.having(role)
    if item.role in COVERED_IN_LEG:
        yield from (one for one in sheet.having(COVERED_IN_LEG[item.role]) if one.leg == item.leg)


def _over(sheet: Sheet, item: Item) -> set[str]:
    """Keys of everything that covers an item, directly or through others."""
    by_key = {one.key: one for one in sheet.items}
    pending, seen = list(item.covered_by), set[str]()
    while pending:
        key = pending.pop()
        if key in by_key and key not in seen:
            seen.add(key)
            pending.extend(by_key[key].covered_by)
    return seen


def cover(sheet: Sheet) -> FoundFault:
    """Items are covered by, and come after, items there are; and no item covers itself through others."""
    keys = {item.key for item in sheet.items}
    for item in sheet.items:
        for field, named in (("covered_by", item.covered_by), ("after", item.after)):
            for index, key in enumerate(named):
                if key not in keys:
                    near = nearest(key, keys)
                    yield (
                        ("items", item.key, field, index),
                        OutOfRange(
                            "must be the key of an item", value=key, remedy=f"Did you mean {near}?" if near else ""
                        ),
                    )
        if _covers_itself(sheet, item):
            yield (
                ("items", item.key, "covered_by"),
                OutOfRange("must not lead back to the item itself", remedy="Decide which of them comes off first."),
            )


def _covers_itself(sheet: Sheet, item: Item) -> bool:
    by_key = {one.key: one for one in sheet.items}
    pending, seen = list(item.covered_by), set[str]()
    while pending:
        key = pending.pop()
        if key == item.key:
            return True
        if key in by_key and key not in seen:
            seen.add(key)
            pending.extend(by_key[key].covered_by)
    return False


def order(sheet: Sheet) -> FoundFault:
    """Going on is possible: the cover relation, reversed, and the extra order do not contradict each other."""
    before: dict[str, set[str]] = {item.key: set(item.after) for item in sheet.items}
    for item in sheet.items:
        for cover in item.covered_by:
            before.setdefault(cover, set()).add(item.key)
    try:
        TopologicalSorter(before).prepare()
    except CycleError as error:
        ring: list[str] = error.args[1]
        guilty = next((item for item in sheet.items if item.key in ring and set(item.after) & set(ring)), None)
        if guilty is not None:
            yield (
                ("items", guilty.key, "after"),
                OutOfRange(
                    "must not ask for an order that cannot be",
                    value=", ".join(guilty.after),
                    remedy=f"Each would go on before the next: {' → '.join(ring)}. Remove one.",
                ),
            )


def coming_and_going(sheet: Sheet) -> FoundFault:
    """What comes off goes on again; what is renewed goes on; what is inspected comes off."""
    for item in sheet.items:
        off, on = item.work(Act.OFF), item.work(Act.ON)
        if off and not on and item.role not in CHARGES:
            yield ("items", item.key), MissingValue('must say "on", because it comes off', remedy="Write how.")
        if item.renew and not on:
            yield (
                ("items", item.key, "renew"),
                OutOfRange("cannot be renewed where nothing goes on", remedy='Write its "on", or remove the line.'),
            )
        if item.inspect and not off:
            yield (
                ("items", item.key, "criteria"),
                OutOfRange("cannot be looked at where nothing comes off", remedy="Move them to what comes off."),
            )


def torques(sheet: Sheet) -> FoundFault:
    """Foot nut or bolts have a torque, known or not, and threadlocker has the time it cures in."""
    for item, act, work in safety.works(sheet):
        path: FieldPath = ("items", item.key, act.value)
        if item.role is Role.FOOT_FASTENER and act is Act.ON and work.torque is None:
            yield (
                (*path, "torque"),
                MissingValue("must be given, for it carries the wheel", remedy='Write it, or "find the value, dry".'),
            )
        if work.torque and work.torque.state is ThreadState.COMPOUND and work.waiting is None:
            yield (
                (*path, "waiting"),
                MissingValue("must be given beside threadlocker", remedy="Write how long it cures, like 30 min."),
            )


def final_check_hold_points(sheet: Sheet) -> FoundFault:
    """What proves the unit empty, or its spring held in, does not pass without evidence."""
    for item, act, work in safety.works(sheet):
        if (item.role, act) in EVIDENCE_WORK and not (work.hold_point and work.records):
            yield (
                ("items", item.key, act.value),
                OutOfRange(
                    "must be a hold point with something to record, because later steps rely on it",
                    remedy="Write hold_point: yes, and under record what is seen.",
                ),
            )


def warned(sheet: Sheet) -> FoundFault:
    """What lets a pressed coil go says so before it is done."""
    for item, act, work in safety.works(sheet):
        if (item.role, act) in LETS_GO[sheet.spring.kind] and not work.cautions:
            yield (
                ("items", item.key, act.value, "cautions"),
                MissingValue("must be given, for a pressed coil throws parts", remedy="Write what can hurt, and how."),
            )


def records(sheet: Sheet) -> FoundFault:
    """Every reading has a key of its own."""
    first: dict[str, str] = {}
    for item, act, work in safety.works(sheet):
        for record in work.records:
            path: FieldPath = ("items", item.key, act.value, "record", record.key)
            here = f"{item.key}.{act.value}"
            if record.key.startswith(OF_THE_PLAN):
                yield path, OutOfRange("is a key that plans use themselves", remedy="Give it another name.")
            elif first.setdefault(record.key, here) != here:
                yield path, OutOfRange(f"is recorded in {first[record.key]} already", remedy="Give it another name.")


def lower_leg_oil(sheet: Sheet) -> FoundFault:
    """Every leg that takes lower-leg oil has an item for it, whose amount stands with the leg."""
    for leg in sheet.legs:
        having = [item.key for item in sheet.having(Role.LOWER_LEG_OIL) if item.leg == leg.name]
        if len(having) != (1 if leg.lower_leg_oil.si > 0.0 else 0):
            yield (
                ("legs", leg.name, "lower_leg_oil"),
                OutOfRange(
                    f"must have one item that fills it, and none for 0 ml; there are {len(having)}",
                    value=leg.lower_leg_oil.as_written,
                    remedy="Correct the amount, or the items with the role lower-leg oil.",
                ),
            )
    for item in sheet.having(Role.LOWER_LEG_OIL):
        yield from _filled(item)


def _filled(item: Item) -> FoundFault:
    on = item.work(Act.ON)
    if on is None:
        return
    path: FieldPath = ("items", item.key, Act.ON.value, "fluid")
    if on.fluid is None:
        yield path, MissingValue("must be given, for it is a fill", remedy="Write the oil, without an amount.")
    elif on.fluid.amount is not None:
        yield (
            (*path, "amount"),
            OutOfRange(
                "stands with the leg", value=on.fluid.amount.as_written, remedy="Write it as legs lower_leg_oil."
            ),
        )


ITEM_CHECKS: Final[tuple[Callable[[Sheet], FoundFault], ...]] = (
    cover,
    safe_cover,
    order,
    coming_and_going,
    torques,
    final_check_hold_points,
    warned,
    records,
    lower_leg_oil,
    *safety.SAFETY_CHECKS,
)
"""Every check of the items, in the order in which faults are reported."""
