"""Tools, parts and fluids in words; how good an order of steps is, and why a step is in it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from sagwright.domain.item import Part, Tool
from sagwright.domain.settings import QUANTITIES
from sagwright.domain.step import Sequence, Supply, SupplyKind
from sagwright.domain.task import Task
from sagwright.domain.value import Quantity
from sagwright.phrases import quantities
from sagwright.units import UnitChoice

SUPPLY_KINDS: Final = {
    SupplyKind.TOOL: "tools",
    SupplyKind.PART: "parts",
    SupplyKind.SINGLE_USE: "single-use parts",
    SupplyKind.FLUID: "fluids",
}


def tools_and_parts_by_kind(tools_and_parts: Iterable[Supply]) -> Iterator[tuple[str, tuple[Supply, ...]]]:
    """The lines of each kind that there is, with what the kind is called."""
    for kind, name in SUPPLY_KINDS.items():
        if lines := tuple(line for line in tools_and_parts if line.kind is kind):
            yield name, lines


def tool_text(tool: Tool) -> str:
    """A tool with its size."""
    return _sized(tool.name, tool.size) + (" (special tool)" if tool.special else "")


def part_text(part: Part) -> str:
    """A part with its size."""
    return _sized(part.name, part.size)


def supply_text(line: Supply, choice: UnitChoice) -> str:
    """One line of the tools and parts: how much of what."""
    named = _sized(line.name, line.size) + (" (special tool)" if line.special else "")
    if line.amount is None:
        return f"{named}, a little" if line.kind is SupplyKind.FLUID else named
    if line.amount.quantity is Quantity.COUNT:
        many = line.amount.value
        up_to = "up to " if line.at_most else ""
        return named if line.kind is SupplyKind.TOOL and many == 1 else f"{up_to}{many:.0f} × {named}"
    return f"{named}, {quantities.figure(line.amount, choice)}"


def _sized(name: str, size: str) -> str:
    return f"{name} {size.replace('..', ' to ')}" if size else name


def order_text(sequence: Sequence, choice: UnitChoice) -> str:
    """How often tools and positions change along an order, how long it waits, and whether that is optimal."""
    tools = quantities.count_text(sequence.tool_changes, "tool change")
    turns = quantities.count_text(sequence.position_changes, "position change")
    idle = f", {_time(sequence.idle, choice)} waiting" if sequence.idle else ""
    return f"{tools}, {turns}{idle}. {_optimality(sequence, choice)}"


def task_text(task: Task, choice: UnitChoice) -> str:
    """A task with its value or the item it is about: "change-travel 130 mm"."""
    if task.value is None:
        return f"{task.kind} {task.item}".strip()
    return f"{task.kind} {quantities.number_text(task.value, QUANTITIES[task.kind], choice)}"


def _optimality(sequence: Sequence, choice: UnitChoice) -> str:
    if sequence.optimal:
        return "No order of these steps takes less work."
    over = _time(sequence.cost - sequence.bound, choice)
    if sequence.cost > sequence.bound:
        return f"The search was stopped early; no order saves more than {over}."
    waits = _time(sequence.idle - sequence.idle_bound, choice)
    return f"No order costs less; the search was stopped before it could save up to {waits} of waiting."


def _time(seconds: float, choice: UnitChoice) -> str:
    return quantities.number_text(seconds, Quantity.TIME, choice)
