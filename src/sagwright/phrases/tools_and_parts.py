"""Tools, parts and fluids in words; how good an order of steps is, and why a step is in it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from sagwright.domain.item import Part, Tool
from sagwright.domain.settings import QUANTITIES
from sagwright.domain.step import KitKind, KitLine, Sequence
from sagwright.domain.task import Task
from sagwright.domain.value import Quantity
from sagwright.phrases import quantities
from sagwright.units import Choice

KINDS: Final = {
    KitKind.TOOL: "tools",
    KitKind.PART: "parts",
    KitKind.SINGLE_USE: "single-use parts",
    KitKind.FLUID: "fluids",
}


def kit_by_kind(kit: Iterable[KitLine]) -> Iterator[tuple[str, tuple[KitLine, ...]]]:
    """The lines of each kind that there is, with what the kind is called."""
    for kind, name in KINDS.items():
        if lines := tuple(line for line in kit if line.kind is kind):
            yield name, lines


def tool_text(tool: Tool) -> str:
    """A tool with its size."""
    return _sized(tool.name, tool.size) + (" (special tool)" if tool.special else "")


def part_text(part: Part) -> str:
    """A part with its size."""
    return _sized(part.name, part.size)


def kit_text(line: KitLine, choice: Choice) -> str:
    """One line of a kit: how much of what."""
    named = _sized(line.name, line.size) + (" (special tool)" if line.special else "")
    if line.amount is None:
        return f"{named}, a little" if line.kind is KitKind.FLUID else named
    if line.amount.quantity is Quantity.COUNT:
        many = line.amount.value
        up_to = "up to " if line.at_most else ""
        return named if line.kind is KitKind.TOOL and many == 1 else f"{up_to}{many:.0f} × {named}"
    return f"{named}, {quantities.figure(line.amount, choice)}"


def _sized(name: str, size: str) -> str:
    return f"{name} {size.replace('..', ' to ')}" if size else name


def order_text(sequence: Sequence, choice: Choice) -> str:
    """What changes along an order, what it waits, and whether that is proven."""
    tools = quantities.count(sequence.tool_changes, "time")
    turns = quantities.count(sequence.position_changes, "time")
    idle = f", {_time(sequence.idle, choice)} with nothing to do but wait" if sequence.idle else ""
    return f"Tools are taken up {tools}, the unit is turned {turns}{idle}. {_proof(sequence, choice)}"


def task_text(task: Task, choice: Choice) -> str:
    """A task with its value or the item it is about: "change-travel 130 mm"."""
    if task.value is None:
        return f"{task.kind} {task.item}".strip()
    return f"{task.kind} {quantities.number(task.value, QUANTITIES[task.kind], choice)}"


def _proof(sequence: Sequence, choice: Choice) -> str:
    if sequence.proven:
        return "Proven: no order of these steps is less work."
    over = _time(sequence.cost - sequence.bound, choice)
    if sequence.cost > sequence.bound:
        return f"Not proven: the search was ended; no order is shorter by more than {over}."
    waits = _time(sequence.idle - sequence.idle_bound, choice)
    return f"Proven in cost; the search was ended before it could save up to {waits} of waiting."


def _time(seconds: float, choice: Choice) -> str:
    return quantities.number(seconds, Quantity.TIME, choice)
