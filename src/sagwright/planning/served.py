"""What comes off for a task's own sake: to be looked at, renewed, filled anew or read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from sagwright.domain.item import Item, Role
from sagwright.domain.sheet import Sheet
from sagwright.domain.task import Task, TaskKind
from sagwright.errors import OutOfRange
from sagwright.planning.asked import READINGS

SERVED_ROLES: Final = {
    TaskKind.LOWER_LEGS: (Role.LOWERS, Role.BATH_OIL),
    TaskKind.AIR_SPRING: (Role.AIR_CAP, Role.AIR_SHAFT),
    TaskKind.MEASURE: READINGS,
    TaskKind.COIL_SPRING: (Role.SPRING_CAP, Role.COIL),
}
SERVED_KEYS: Final = {TaskKind.DAMPER: ("damper",), TaskKind.WIPERS: ("wipers", "foam_rings")}
"""What comes off for its own sake, by role or by the key that a sheet gives it."""


def served_keys(sheet: Sheet, tasks: Iterable[Task]) -> tuple[str, ...]:
    """Keys of the items that come off for the tasks' own sake, each once.

    Raises
    ------
    OutOfRange
        As `served_by`.
    """
    return tuple(dict.fromkeys(item.key for task in tasks for item in served_by(sheet, task)))


def opens(sheet: Sheet, tasks: Iterable[Task], role: Role) -> bool:
    """Whether anything of a role comes off for the tasks: served itself, or over what is."""
    pending, seen = [*served_keys(sheet, tasks)], set()
    while pending:
        key = pending.pop()
        if key not in seen:
            seen.add(key)
            pending.extend(sheet.item(key).covered_by)
    return any(item.key in seen for item in sheet.having(role))


def served_by(sheet: Sheet, task: Task) -> Iterator[Item]:
    """The items that come off for a task's own sake.

    Raises
    ------
    OutOfRange
        If the sheet has nothing for a task that needs something.
    """
    roles, keys = SERVED_ROLES.get(task.kind, ()), SERVED_KEYS.get(task.kind, ())
    if task.kind is TaskKind.INSPECT:
        keys = (task.item,)
    items = [item for role in roles for item in sheet.having(role)]
    items += [item for item in sheet.items if item.key in keys and (task.kind is not TaskKind.INSPECT or item.inspect)]
    if not items and (roles or keys):
        offered = ", ".join(item.key for item in sheet.items if item.inspect)
        remedy = f"The sheet has criteria for: {offered}." if task.kind is TaskKind.INSPECT else ""
        raise OutOfRange(
            "must have something to do on this unit", value=task.item or None, field=str(task.kind), remedy=remedy
        )
    yield from items
    if task.kind in {TaskKind.AIR_SPRING, TaskKind.COIL_SPRING}:
        inside = {item.key for item in items}
        yield from (item for item in sheet.items if item.renew and inside.intersection(item.covered_by))
