"""What the work on an item must say so that the interlocks can hold it: rings, compound, pressing, gas, knobs.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from sagwright.domain.item import MEASURED_SHUT, Act, Item, ItemWork, Role, Signal, ThreadState
from sagwright.domain.sheet import Sheet
from sagwright.errors import MissingValue, OutOfRange
from sagwright.formats.faults import FoundFault
from sagwright.formats.source.tree import FieldPath

MOST_ITEMS: Final = 200
"""Items that a sheet may have: about four times what a workshop takes off one unit."""

_GLASSES: Final = "safety glasses"
_STRAP: Final = "rated strap"


def number_of_items(sheet: Sheet) -> FoundFault:
    """A sheet stays readable, and its order provable."""
    if len(sheet.items) > MOST_ITEMS:
        remedy = "Leave out what does not come off as a step of its own."
        yield ("items",), OutOfRange(f"must be at most {MOST_ITEMS}", value=str(len(sheet.items)), remedy=remedy)


def compound(sheet: Sheet) -> FoundFault:
    """Threadlocker goes on fresh in the work that tightens it."""
    for item, act, work in works(sheet):
        if work.torque and work.torque.state is ThreadState.COMPOUND and work.fluid is None:
            remedy = "Name it, like fluid: {name: threadlocker}."
            yield (*_at(item, act), "fluid"), MissingValue("must be given beside threadlocker", remedy=remedy)


def rings(sheet: Sheet) -> FoundFault:
    """What holds the spring in without a thread is a ring, and rings jump."""
    for item in sheet.having(Role.RETAINING_RING):
        on = item.work(Act.ON)
        if on is None or on.torque is not None:
            continue
        for act in (Act.OFF, Act.ON):
            work = item.work(act)
            if work is not None and not _has_tool(work, _GLASSES):
                rule = f'must have "{_GLASSES}", because it is a ring; a threaded seal head has a torque instead'
                yield (*_at(item, act), "tools"), MissingValue(rule, remedy="Add them to the tools.")


def _pressing(sheet: Sheet) -> FoundFault:
    """Pressing is a reading on the charged unit, strapped, warned of, and a hold point."""
    for item, act, work in works(sheet):
        if work.press is None:
            continue
        warned = any(one.signal in {Signal.DANGER, Signal.WARNING} for one in work.cautions)
        if item.role is not Role.CHARGED_READING or act is not Act.MEASURE:
            rule = 'must stand under "measure" of an item with the role "charged reading"'
            yield (*_at(item, act), "press"), OutOfRange(rule, remedy="Move it there.")
        elif not (warned and _has_tool(work, _STRAP) and work.hold_point):
            rule = f'must have "{_STRAP}" among its tools, a warning, and hold_point: yes'
            yield (*_at(item, act), "press"), MissingValue(rule, remedy="A charged unit that slips strikes people.")


def readings(sheet: Sheet) -> FoundFault:
    """A reading only measures, and writes down what it read."""
    for item in sheet.items:
        measure = item.work(Act.MEASURE)
        if item.role not in MEASURED_SHUT:
            continue
        if measure is None or not measure.records:
            rule = 'must say "measure" with something to record, because it is a reading'
            yield ("items", item.key), MissingValue(rule, remedy="Write how it is read.")
        if any(act is not Act.MEASURE for act, _ in item.works):
            remedy = "Make an item of its own of what comes off."
            yield ("items", item.key), OutOfRange('must say nothing but "measure"', remedy=remedy)


def gas(sheet: Sheet) -> FoundFault:
    """Gas with a release of its own is not let out at a bench."""
    for item in sheet.having(Role.GAS_CHAMBER):
        if item.works:
            remedy = "Remove its work; whoever has its release opens it."
            yield ("items", item.key), OutOfRange("must not be worked on", remedy=remedy)


def knobs(sheet: Sheet) -> FoundFault:
    """A rebound knob sits under a foot, so the safety rules must know it."""
    for item in sheet.items:
        named = f"{item.key} {item.name}".replace("_", " ").lower()
        if item.role is not Role.KNOB and "rebound" in named and "knob" in named:
            remedy = "Write role: knob, so that it is off before a foot is struck."
            yield ("items", item.key, "role"), MissingValue('must be "knob"', remedy=remedy)


def works(sheet: Sheet) -> Iterator[tuple[Item, Act, ItemWork]]:
    """Everything done to any item."""
    return ((item, act, work) for item in sheet.items for act, work in item.works)


def _at(item: Item, act: Act) -> FieldPath:
    return ("items", item.key, act.value)


def _has_tool(work: ItemWork, name: str) -> bool:
    return any(tool.name == name for tool in work.tools)


SAFETY_CHECKS: Final[tuple[Callable[[Sheet], FoundFault], ...]] = (
    number_of_items,
    compound,
    rings,
    _pressing,
    readings,
    gas,
    knobs,
)
"""Every check of how items are worked on, in the order in which faults are reported."""
