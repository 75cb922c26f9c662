"""Extras found at the stand, that the owner said yes to: tasks that join the work in the state it is in."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from sagwright.domain.task import Progress, Task, TaskKind
from sagwright.errors import InputError
from sagwright.planning.asked import CHARGED

_SET_BY: Final = {
    TaskKind.SET_PRESSURE: CHARGED,
    TaskKind.SECOND_PRESSURE: CHARGED,
    TaskKind.NEGATIVE_PRESSURE: CHARGED,
    TaskKind.VOLUME_SPACERS: ("change:volume_spacers",),
    TaskKind.CHANGE_COIL: ("change:coil",),
    TaskKind.PRELOAD_SPACERS: ("change:preload_spacers",),
    TaskKind.SET_PRELOAD: ("on:preload_adjuster",),
    TaskKind.CHANGE_TRAVEL: ("",),
}
"""Beginnings of steps after which a setting is made, and is no extra any more; a travel is always a wish of its own."""


def extras_in(progress: Progress, tasks: Iterable[Task]) -> tuple[Task, ...]:
    """The extras that are not tasks already, each once."""
    known = set(tasks)
    return tuple(task for task in dict.fromkeys(progress.tasks) if task not in known)


def require_settable(extras: Iterable[Task], progress: Progress) -> None:
    """Nothing, if every extra can still join the work.

    Raises
    ------
    InputError
        If one sets what was set already, or a travel.
    """
    for task in extras:
        made = [key for key in (*progress.done, "") for one in _SET_BY.get(task.kind, ()) if key.startswith(one)]
        if task.kind is TaskKind.CHANGE_TRAVEL or [key for key in made if key]:
            where = f"it was set at {made[0]}" if made and made[0] else "the travel is the wish itself"
            remedy = "Finish this work and take it up as another, or decide anew under Choose."
            raise InputError(f"can be no extra: {where}", field=str(task.kind), remedy=remedy)
