"""Tasks beside a wish for travel: what they pin of it, where they contradict it, and which step is for which.

The wish and its tasks are one piece of work: what is to be set is pinned in the wish, what is to be served comes off
with the rest, and the whole is opened, closed and charged once.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any, Final

from sagwright.domain.finding import Finding
from sagwright.domain.intake import Intake, Wish
from sagwright.domain.setup import Change
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Step
from sagwright.domain.task import QUANTITIES, Task, TaskKind
from sagwright.domain.value import Figure, Quantity, Value
from sagwright.errors import OutOfRange
from sagwright.planning.checks.findings import finding
from sagwright.planning.spring.coil import spring_of
from sagwright.planning.spring.setups import SAME_TRAVEL
from sagwright.planning.spring.valves import SAME, own_valves_of
from sagwright.planning.work.air_tasks import OWN_KINDS
from sagwright.planning.work.coil_tasks import check_kinds, coils_of_task, counted_spacers, turned_to
from sagwright.planning.work.scope import Wanted, served_keys
from sagwright.planning.work.steps import steps_of
from sagwright.planning.work.tasks import stated_target

PINS: Final = {
    TaskKind.CHANGE_TRAVEL: "travel",
    TaskKind.SET_PRESSURE: "pressure_gauge",
    **{kind: field for field, kind in OWN_KINDS.items()},
    TaskKind.VOLUME_SPACERS: "volume_spacers",
    TaskKind.CHANGE_COIL: "coil",
    TaskKind.PRELOAD_SPACERS: "preload_spacers",
    TaskKind.SET_PRELOAD: "adjuster",
}
"""What a task that sets something pins of a wish."""

CHANGED: Final = {
    **dict.fromkeys((TaskKind.SET_PRESSURE, *OWN_KINDS.values()), "charge"),
    TaskKind.VOLUME_SPACERS: "volume_spacers",
    TaskKind.CHANGE_COIL: "coil",
    TaskKind.PRELOAD_SPACERS: "preload_spacers",
    TaskKind.SET_PRELOAD: "adjuster",
}
"""The change inside that such a task asks for; the others of a plan are its wish's."""

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
        if kind in OWN_KINDS.values() and PINS[kind] not in {own.field for own in own_valves_of(sheet)}:
            raise OutOfRange("must have something to do on this unit", field=str(kind), remedy="It has no such valve.")
        yield PINS[kind], _pin(sheet, kind, value)
    for coil in coils_of_task(sheet, tasks):
        yield PINS[TaskKind.CHANGE_COIL], coil


def _pin(sheet: Sheet, kind: TaskKind, value: float) -> Value | int | float:
    if kind is TaskKind.SET_PRELOAD:
        return turned_to(spring_of(sheet), value)
    if kind is TaskKind.PRELOAD_SPACERS:
        return counted_spacers(spring_of(sheet), value)
    return round(value) if QUANTITIES[kind] is Quantity.COUNT else Value(value)


def task_contradictions(intake: Intake) -> Iterator[Finding]:
    """Tasks that set what the wish pins at something else."""
    for task in intake.tasks:
        wished = getattr(intake.wish, PINS[task.kind]) if task.kind in PINS else None
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
    return f"wish.{PINS[kind]}".replace("_gauge", "_pressure").replace("pressure_pressure", "pressure")


def _number(wished: Value | float) -> float:
    return wished.si if isinstance(wished, Value) else float(wished)


def _alike(quantity: Quantity, one: float, other: float) -> bool:
    return abs(one - other) <= EQUIVALENT_SETTINGS.get(quantity, 1e-9)


def work_in(
    wanted: Wanted, wish: Wish, tasks: Iterable[Task], *, whole: frozenset[str]
) -> Iterator[tuple[Task, frozenset[str]]]:
    """The wish, as a task, and each task beside it, with the keys of the steps that it alone would have; `whole` are
    those of all together."""
    tasks = tuple(task for task in dict.fromkeys(tasks) if task.kind is not TaskKind.CHANGE_TRAVEL)
    beside = {CHANGED[task.kind] for task in tasks if task.kind in CHANGED}
    own = tuple(change for change in wanted.changes if change.field not in beside)
    yield Task(TaskKind.CHANGE_TRAVEL, wish.travel.si), _keys(wanted, own, ()) if tasks else whole
    for task in tasks:
        changes = tuple(change for change in wanted.changes if change.field == CHANGED.get(task.kind))
        yield task, _keys(wanted, changes, served_keys(wanted.sheet, [task]))


def _keys(wanted: Wanted, changes: tuple[Change, ...], served: tuple[str, ...]) -> frozenset[str]:
    return frozenset(step.key for step in steps_of(replace(wanted, changes=changes, served=served)))


def needed_by_wish(
    work: Mapping[Task, frozenset[str]], steps: Iterable[Step]
) -> tuple[tuple[str, tuple[Task, ...]], ...]:
    """For each step's key the tasks that need it; what none has alone is needed by all together."""
    return tuple(
        (step.key, tuple(task for task, keys in work.items() if step.key in keys) or tuple(work)) for step in steps
    )


def included_tasks(work: Mapping[Task, frozenset[str]]) -> Iterator[Finding]:
    """Tasks that open and do nothing more than the wish, the first of all, does."""
    (_, wish), *others = work.items()
    for task, keys in others:
        if keys <= wish:
            yield finding("task.included", "tasks", (("task", f"{task.kind} {task.item}".strip()),))
