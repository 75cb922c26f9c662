"""How good an order is, and why a step is in it."""

from __future__ import annotations

from sagwright.domain.step import Sequence
from sagwright.domain.task import QUANTITIES, Task
from sagwright.domain.value import Quantity
from sagwright.phrases import figures
from sagwright.units import Choice


def order_text(sequence: Sequence, choice: Choice) -> str:
    """What changes along an order, what it waits, and whether that is proven."""
    tools = figures.count(sequence.tool_changes, "time")
    turns = figures.count(sequence.position_changes, "time")
    idle = f", {_time(sequence.idle, choice)} with nothing to do but wait" if sequence.idle else ""
    return f"Tools are taken up {tools}, the unit is turned {turns}{idle}. {_proof(sequence, choice)}"


def task_text(task: Task, choice: Choice) -> str:
    """A task with its value or the item it is about: "change-travel 130 mm"."""
    if task.value is None:
        return f"{task.kind} {task.item}".strip()
    return f"{task.kind} {figures.number(task.value, QUANTITIES[task.kind], choice)}"


def _proof(sequence: Sequence, choice: Choice) -> str:
    if sequence.proven:
        return "Proven: no order of these steps is less work."
    over = _time(sequence.cost - sequence.bound, choice)
    if sequence.cost > sequence.bound:
        return f"Not proven: the search was ended; no order is shorter by more than {over}."
    waits = _time(sequence.idle - sequence.idle_bound, choice)
    return f"Proven in cost; the search was ended before it could save up to {waits} of waiting."


def _time(seconds: float, choice: Choice) -> str:
    return figures.number(seconds, Quantity.TIME, choice)
