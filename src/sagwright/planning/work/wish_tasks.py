"""Tasks beside a wish for travel: what they pin of it, where they contradict it, and which open nothing more.

The wish and its tasks are one piece of work: what is to be set is pinned in the wish, what is to be served comes off
with the rest, and the whole is opened, closed and charged once.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any, Final

from sagwright.domain.finding import Finding
from sagwright.domain.intake import Intake
from sagwright.domain.settings import QUANTITIES, TASK_SETTINGS
from sagwright.domain.sheet import Sheet
from sagwright.domain.task import Task, TaskKind
from sagwright.domain.value import Figure, Quantity, Value
from sagwright.domain.work import Work
from sagwright.errors import OutOfRange
from sagwright.planning.checks.findings import finding
from sagwright.planning.spring.parts import SAME_TRAVEL
from sagwright.planning.spring.valves import SAME, own_valves_of
from sagwright.planning.work.air_tasks import OWN_KINDS
from sagwright.planning.work.coil_tasks import check_kinds, coils_of_task, counted_spacers, turned_to
from sagwright.planning.work.tasks import stated_target

EQUIVALENT_SETTINGS: Final = {Quantity.PRESSURE: SAME, Quantity.LENGTH: SAME_TRAVEL}
"""How near two numbers are one, where they are not counts."""


def with_tasks(intake: Intake) -> Intake:
    """The intake with what its tasks set pinned in its wish, where that leaves it open.

    Raises
    ------
    InputError
        If its tasks contradict each other, or ask for what the sheet does not have.
    """
    if not intake.tasks:
        return intake
    wish = intake.wish
    pins = {field: value for field, value in _pins(intake.sheet, intake.tasks) if getattr(wish, field) is None}
    return replace(intake, wish=replace(wish, **pins))


def _pins(sheet: Sheet, tasks: tuple[Task, ...]) -> Iterator[tuple[str, Any]]:
    check_kinds(sheet, tasks)
    for kind, value in stated_target(tasks).items():
        if kind in OWN_KINDS.values() and TASK_SETTINGS[kind].wish not in {own.field for own in own_valves_of(sheet)}:
            raise OutOfRange("must have something to do on this unit", field=str(kind), remedy="It has no such valve.")
        yield TASK_SETTINGS[kind].wish, _pin(sheet, kind, value)
    for coil in coils_of_task(sheet, tasks):
        yield TASK_SETTINGS[TaskKind.CHANGE_COIL].wish, coil


def _pin(sheet: Sheet, kind: TaskKind, value: float) -> Value | int | float:
    if kind is TaskKind.SET_PRELOAD:
        return turned_to(sheet.coil, value)
    if kind is TaskKind.PRELOAD_SPACERS:
        return counted_spacers(sheet.coil, value)
    return round(value) if QUANTITIES[kind] is Quantity.COUNT else Value(value)


def task_contradictions(intake: Intake) -> Iterator[Finding]:
    """Tasks that set what the wish pins at something else."""
    for task in intake.tasks:
        wished = getattr(intake.wish, TASK_SETTINGS[task.kind].wish) if task.kind in TASK_SETTINGS else None
        if wished is None:
            continue
        words = (("task", str(task.kind)), ("field", _path(task.kind)))
        if isinstance(wished, str):
            if wished != task.item:
                both = (("asked", task.item), ("wished", wished))
                yield finding("task.contradicts", "tasks", (*words, *both))
        elif task.value is not None and not _alike(QUANTITIES[task.kind], task.value, _number(wished)):
            asked, pinned = (Figure(one, QUANTITIES[task.kind]) for one in (task.value, _number(wished)))
            yield finding("task.contradicts", "tasks", words, asked=asked, wished=pinned)


def _path(kind: TaskKind) -> str:
    """Where the wish says the same."""
    return f"wish.{TASK_SETTINGS[kind].wish}".replace("_gauge", "_pressure").replace("pressure_pressure", "pressure")


def _number(wished: Value | float) -> float:
    return wished.si if isinstance(wished, Value) else float(wished)


def _alike(quantity: Quantity, one: float, other: float) -> bool:
    return abs(one - other) <= EQUIVALENT_SETTINGS.get(quantity, 1e-9)


def included_tasks(work: Work) -> Iterator[Finding]:
    """Tasks that open and do nothing more than the wish, the first of all, does."""
    wish, *others = work.tasks
    for task in others:
        if all(wish in tasks for _, tasks in work.needed_by if task in tasks):
            yield finding("task.included", "tasks", (("task", f"{task.kind} {task.item}".strip()),))
