"""A piece of work composed: from as found, target and tasks to its changes, steps, order, tools and parts.

Everybody composes work here: a plan, tasks alone, work that goes on, and the way back. They differ in how its target
came about, and in what puts its steps in order.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Final

from sagwright.domain.settings import TASK_SETTINGS
from sagwright.domain.setup import Change, Setup
from sagwright.domain.step import Sequence, Step, WorkStop
from sagwright.domain.task import LEAST_WORK, Ordering, Task, TaskKind
from sagwright.domain.work import Work
from sagwright.planning.spring.changes import changes_between
from sagwright.planning.spring.setups import charge_of
from sagwright.planning.spring.valves import stated_gauge
from sagwright.planning.work.scope import Wanted, base_of, preload_change, served_keys
from sagwright.planning.work.sequence import sequenced
from sagwright.planning.work.steps import steps_of
from sagwright.planning.work.tools_and_parts import tools_and_parts_of

CHANGED: Final = {
    kind: "charge" if row.holder == "charge" else row.key for kind, row in TASK_SETTINGS.items() if row.role
}
"""The change inside that a task asks for; a change of travel asks for all that no other task does."""


@dataclass(frozen=True, slots=True)
class Ordered:
    """Steps in their order and how good it is, after what was done; what ends the work, where anything does."""

    steps: tuple[Step, ...]
    sequence: Sequence | None
    done: tuple[Step, ...] = ()
    stops: tuple[WorkStop, ...] = ()


Order = Callable[[tuple[Step, ...]], Ordered]
"""What puts the steps of a piece of work in their order."""


def least_work(steps: tuple[Step, ...], ordering: Ordering = LEAST_WORK) -> Ordered:
    """Every step, in the order of least work.

    Raises
    ------
    NoSolution
        If the sheet's order goes in a circle.
    """
    return Ordered(*sequenced(steps, ordering))


def composed(work: Work, order: Order = least_work, *, opened_items: tuple[str, ...] = ()) -> Work:
    """The work with everything that follows from its builds and tasks.

    Parameters
    ----------
    work : Work
    order : callable
        What puts its steps in their order.
    opened_items : tuple of str
        Keys of the items that are off anyhow.

    Raises
    ------
    OutOfRange
        If the sheet has nothing for a task.
    """
    if work.target is None:
        return work
    wanted = _wanted(work, work.target, opened_items)
    steps = steps_of(wanted)
    ordered = order(steps)
    needed = _needed(wanted, work.tasks, steps)
    return replace(
        work,
        changes=wanted.changes,
        tools_and_parts=tools_and_parts_of(work.sheet, ordered.steps),
        steps=ordered.steps,
        needed_by=tuple((step.key, needed.get(base_of(step.key, needed), ())) for step in ordered.steps),
        sequence=ordered.sequence,
        done=ordered.done,
        stops=ordered.stops,
    )


def _wanted(work: Work, target: Setup, opened_items: tuple[str, ...]) -> Wanted:
    charge, found = charge_of(target), charge_of(work.as_found)
    return Wanted(
        sheet=work.sheet,
        changes=changes_between(work.as_found, target),
        pressure_gauge=None if charge is None else charge.pressure_gauge.si,
        travel_change=work.travel_change,
        served=tuple(dict.fromkeys((*opened_items, *served_keys(work.sheet, work.tasks)))),
        found_gauge=None if found is None else found.pressure_gauge.si,
        own=tuple(stated_gauge(work.sheet, target.charge).items()),
        preload=preload_change(work.as_found, target),
    )


def _needed(wanted: Wanted, tasks: tuple[Task, ...], steps: Iterable[Step]) -> Mapping[str, tuple[Task, ...]]:
    """For each step's key the tasks that need it: those whose own work has it."""
    owned = {CHANGED[task.kind] for task in tasks if task.kind in CHANGED}
    alone: dict[Task, frozenset[str]] = {}
    for task in tasks:
        if task.kind is TaskKind.CHANGE_TRAVEL:
            changes = tuple(change for change in wanted.changes if change.field not in owned)
        else:
            changes = tuple(change for change in wanted.changes if change.field == CHANGED.get(task.kind))
        alone[task] = _keys(wanted, changes, served_keys(wanted.sheet, [task]))
    return {step.key: tuple(task for task, keys in alone.items() if step.key in keys) for step in steps}


def _keys(wanted: Wanted, changes: tuple[Change, ...], served: tuple[str, ...]) -> frozenset[str]:
    return frozenset(step.key for step in steps_of(replace(wanted, changes=changes, served=served)))
