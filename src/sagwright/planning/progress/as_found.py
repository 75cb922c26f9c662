"""As found, corrected by what was really in the unit once it was open; extra work found at the stand and agreed on."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from sagwright.domain.setup import Charge, CoilFitting, Setting, Setup, ShaftSetting, StackSetting, TopOutSetting
from sagwright.domain.task import Progress, Task, TaskKind
from sagwright.domain.value import Origin, Unknown, Value
from sagwright.errors import InputError, OutOfRange
from sagwright.planning.work.scope import CHARGED

_PRESSURE: Final = "pressure"
"""The field of a charge that was read, gauge [Pa]."""

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
    if setup.fitting is not None and field in {"coil", "preload_spacers"}:
        return replace(setup, fitting=_fitted(setup.fitting, value))
    if field == _PRESSURE and setup.fitting is None and not isinstance(value, str):
        return replace(setup, charge=_read(setup.charge, value))
    if field == "volume_spacers" and setup.fitting is None and not isinstance(value, str):
        return replace(setup, volume_spacers=round(value))
    setting = None if isinstance(value, str) else _set_as_seen(setup.setting, field, value)
    return None if setting is None else replace(setup, setting=setting)


def _set_as_seen(setting: Setting, field: str, value: float) -> Setting | None:
    """What sets the travel, as it was seen."""
    match field, setting:
        case "top_out_spacers", TopOutSetting():
            return TopOutSetting(round(value))
        case "shaft_travel", ShaftSetting():
            return ShaftSetting(value)
        case "travel_spacers" | "port_position", StackSetting():
            return replace(setting, **{field: round(value)})
        case _:
            return None


def _fitted(fitting: CoilFitting, value: float | str) -> CoilFitting:
    """A coil by its name, preload spacers by their count."""
    return replace(fitting, coil=value) if isinstance(value, str) else replace(fitting, preload_spacers=round(value))


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
