"""What a plan needs on the bench before it starts: tools, parts, single-use parts, fluids."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from sagwright.domain.setup import Change
from sagwright.domain.sheet import Sheet, SpacerStack, TopOutSpacers
from sagwright.domain.step import Step, Supply, SupplyKind
from sagwright.domain.value import Figure, Quantity

ORDER = (SupplyKind.TOOL, SupplyKind.PART, SupplyKind.SINGLE_USE, SupplyKind.FLUID)
SPACERS = ("travel_spacers", "volume_spacers", "top_out_spacers", "preload_spacers")


def tools_and_parts_of(sheet: Sheet, steps: tuple[Step, ...]) -> tuple[Supply, ...]:
    """One line for each thing, with how much of it and the steps that use it."""
    lines: dict[tuple[SupplyKind, str, str], Supply] = {}
    for step in steps:
        for line in _used(sheet, step):
            key = (line.kind, line.name, line.size)
            lines[key] = _together(lines[key], line) if key in lines else line
    return tuple(line for kind in ORDER for line in lines.values() if line.kind is kind)


def _used(sheet: Sheet, step: Step) -> Iterator[Supply]:
    here = (step.key,)
    for tool in step.tools:
        yield Supply(SupplyKind.TOOL, tool.name, tool.size, special=tool.special, steps=here)
    for change in step.changes:
        yield from (replace(line, steps=here) for line in _parts(sheet, change))
    for part in step.renew:
        yield Supply(SupplyKind.SINGLE_USE, part.name, part.size, _pieces(1), steps=here)
    if step.fluid is not None:
        amount = step.fluid.amount
        figure = None if amount is None else Figure(amount.si, Quantity.VOLUME, amount.u)
        yield Supply(SupplyKind.FLUID, step.fluid.name, amount=figure, steps=here)


def _parts(sheet: Sheet, change: Change) -> Iterator[Supply]:
    """Parts a change adds; while nobody knows what is inside, as many as it may take."""
    if change.field == "shaft_travel" and isinstance(change.after, float):
        yield Supply(SupplyKind.PART, "air shaft", f"{change.after * 1e3:g} mm", _pieces(1))
    if change.field == "coil" and isinstance(change.after, str):
        yield Supply(SupplyKind.PART, "coil", change.after, _pieces(1))
    if change.field in SPACERS and isinstance(change.after, int):
        unseen = not isinstance(change.before, int)
        before = change.before if isinstance(change.before, int) else 0
        if change.after > before:
            yield Supply(SupplyKind.PART, *_spacer(sheet, change.field), _pieces(change.after - before), at_most=unseen)


def _spacer(sheet: Sheet, field: str) -> tuple[str, str]:
    if field == "travel_spacers" and isinstance(sheet.mechanism, SpacerStack):
        return "travel spacer", f"{sheet.mechanism.height.si * 1e3:g} mm"
    if field == "top_out_spacers" and isinstance(sheet.mechanism, TopOutSpacers):
        return "top-out spacer", f"{sheet.mechanism.height.si * 1e3:g} mm"
    if field == "preload_spacers":
        return "preload spacer", f"{sheet.coil.stack.height.si * 1e3:g} mm"
    return "volume spacer", f"{sheet.air.volume_spacer.si * 1e6:g} ml"


def _together(a: Supply, b: Supply) -> Supply:
    amount = a.amount or b.amount
    if a.amount is not None and b.amount is not None and a.kind is not SupplyKind.TOOL:
        amount = Figure(a.amount.value + b.amount.value, a.amount.quantity)
    steps = (*a.steps, *(step for step in b.steps if step not in a.steps))
    return replace(a, amount=amount, special=a.special or b.special, steps=steps)


def _pieces(number: int) -> Figure:
    return Figure(float(number), Quantity.COUNT)
