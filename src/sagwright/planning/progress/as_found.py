"""As found, corrected by what was really in the unit once it was open; extra work found at the stand and agreed on."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from sagwright.domain.settings import SETTINGS, TASK_SETTINGS
from sagwright.domain.setup import Charge, Setup
from sagwright.domain.task import Progress, Task, TaskKind
from sagwright.domain.value import Origin, Quantity, Unknown, Value
from sagwright.errors import InputError, OutOfRange

_PRESSURE: Final = "pressure"
"""The field of a charge that was read, gauge [Pa]."""


def setup_as_found_inside(setup: Setup, progress: Progress) -> Setup:
    """As found, with what was really there.

    Raises
    ------
    OutOfRange
        If something was found that this unit does not have.
    """
    for field, value in progress.found:
        seen = _as_seen(setup, field, value)
        if seen is None:
            raise OutOfRange("must be a setting of this unit", value=field, field="found")
        setup = seen
    return setup


def _read(charge: Charge | Unknown, pressure_gauge: float) -> Charge:
    value = Value(pressure_gauge, None, Origin.MEASURED)
    return Charge(value) if isinstance(charge, Unknown) else replace(charge, pressure_gauge=value)


def _as_seen(setup: Setup, field: str, value: float | str) -> Setup | None:
    """The setup with one setting as it was seen; None where it has none of that name."""
    if field == _PRESSURE and setup.fitting is None and not isinstance(value, str):
        return replace(setup, charge=_read(setup.charge, value))
    row = next((row for row in SETTINGS if row.key == field and row.inside and row.has(setup)), None)
    if row is None or isinstance(value, str) is not (row.quantity is None):
        return None
    whole = row.quantity is Quantity.COUNT and not isinstance(value, str)
    return row.put(setup, round(float(value)) if whole else value)


def extras_in(progress: Progress, tasks: Iterable[Task]) -> tuple[Task, ...]:
    """The extras that are not tasks already, each once."""
    known = set(tasks)
    return tuple(task for task in dict.fromkeys(progress.tasks) if task not in known)


def _made_by(task: Task) -> tuple[str, ...]:
    """Beginnings of steps after which a task's setting is made; none where it sets nothing."""
    return TASK_SETTINGS[task.kind].made_by if task.kind in TASK_SETTINGS else ()


def require_settable(extras: Iterable[Task], progress: Progress) -> None:
    """Nothing, if every extra can still join the work.

    Raises
    ------
    InputError
        If one sets what was set already, or a travel.
    """
    for task in extras:
        made = [key for key in (*progress.done, "") for one in _made_by(task) if key.startswith(one)]
        if task.kind is TaskKind.CHANGE_TRAVEL or [key for key in made if key]:
            where = f"it was set at {made[0]}" if made and made[0] else "the travel is the wish itself"
            remedy = "Finish this work and take it up as another, or decide anew under Choose."
            raise InputError(f"can be no extra: {where}", field=str(task.kind), remedy=remedy)
