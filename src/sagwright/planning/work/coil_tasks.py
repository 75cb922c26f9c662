"""What tasks make of a coil fork: its coil, its preload spacers, and where its adjuster is to stand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from sagwright.domain.coil_spring import CoilSpring
from sagwright.domain.settings import TASK_SETTINGS
from sagwright.domain.setup import Setup
from sagwright.domain.sheet import Sheet
from sagwright.domain.task import Task, TaskKind
from sagwright.domain.value import Quantity, Unknown
from sagwright.errors import MissingValue, OutOfRange
from sagwright.planning.spring.coil import window

ONLY: Final = {
    TaskKind.AIR_SPRING: "air",
    TaskKind.COIL_SPRING: "coil",
    **{kind: row.spring for kind, row in TASK_SETTINGS.items() if row.spring},
}
"""The kind of spring that alone has a task."""


def check_kinds(sheet: Sheet, tasks: tuple[Task, ...]) -> None:
    """Refuse tasks that the unit's spring does not have.

    Raises
    ------
    OutOfRange
    """
    for task in tasks:
        if ONLY.get(task.kind, sheet.spring.kind) != sheet.spring.kind:
            rule = f"does not exist in this family, whose spring is {sheet.spring.called}"
            raise OutOfRange(rule, field=str(task.kind), remedy="Drop it.")


def with_coil(sheet: Sheet, target: Setup, asked: Mapping[TaskKind, float], tasks: tuple[Task, ...]) -> Setup:
    """The target with what the tasks ask of its coil, where it has one.

    Raises
    ------
    MissingValue
        If the travel is to change and nobody says how many preload spacers go with it.
    OutOfRange
        If there is no such coil, too many spacers, or the adjuster does not go so far.
    """
    fitting = target.fitting
    if fitting is None:
        return target
    spring = sheet.coil
    if TaskKind.CHANGE_TRAVEL in asked and TaskKind.PRELOAD_SPACERS not in asked and spring.stack.most:
        raise MissingValue(
            "must be among the tasks, because what the top-out spacers take leaves the preload stack",
            field=str(TaskKind.PRELOAD_SPACERS),
            remedy="Add how many there are to be, like --task preload-spacers=2; `sagwright plan` computes it.",
        )
    for name in coils_of_task(sheet, tasks):
        fitting = replace(fitting, coil=name)
    if TaskKind.PRELOAD_SPACERS in asked:
        fitting = replace(fitting, preload_spacers=counted_spacers(spring, asked[TaskKind.PRELOAD_SPACERS]))
    if TaskKind.SET_PRELOAD in asked:
        fitting = replace(fitting, adjuster=turned_to(spring, asked[TaskKind.SET_PRELOAD]))
    return replace(target, fitting=fitting)


def coils_of_task(sheet: Sheet, tasks: tuple[Task, ...]) -> tuple[str, ...]:
    """The name of the coil that tasks ask for; none where they ask for none.

    Raises
    ------
    OutOfRange
        If they ask for several, or for one that the sheet does not have.
    """
    names = sorted({task.item for task in tasks if task.kind is TaskKind.CHANGE_COIL})
    if len(names) > 1:
        raise OutOfRange("must be asked for once", field=str(TaskKind.CHANGE_COIL), value=", ".join(names))
    return tuple(_known(sheet.coil, name) for name in names)


def check_fits(sheet: Sheet, target: Setup, travel: float | None) -> None:
    """Refuse a coil that is known to be loose or solid at a travel.

    Raises
    ------
    OutOfRange
    """
    fitting = target.fitting
    if fitting is None or travel is None:
        return
    name, spacers = fitting.coil, fitting.preload_spacers
    if isinstance(name, Unknown) or isinstance(spacers, Unknown):
        return
    low, high = window(sheet, sheet.coil.named(name), spacers, travel)
    if low > high:
        raise OutOfRange(
            f"must leave coil {name} neither loose nor solid at {{travel}} of travel",
            value=str(spacers),
            field=str(TaskKind.PRELOAD_SPACERS),
            remedy="Ask for more or fewer, or for another coil; `sagwright plan` shows what fits.",
            figures={"travel": (travel, Quantity.LENGTH)},
        )


def _known(spring: CoilSpring, name: str) -> str:
    names = [each.name for each in spring.coils]
    if name not in names:
        remedy = f"There are: {', '.join(names)}."
        raise OutOfRange("must be a coil of the sheet", value=name, field=str(TaskKind.CHANGE_COIL), remedy=remedy)
    return name


def counted_spacers(spring: CoilSpring, asked: float) -> int:
    """A count of preload spacers that the sheet permits.

    Raises
    ------
    OutOfRange
    """
    if not 0 <= asked <= spring.stack.most or asked != round(asked):
        remedy = f"The sheet permits 0 to {spring.stack.most}."
        rule = "must be what sheet and chassis permit"
        raise OutOfRange(rule, value=f"{asked:g}", field=str(TaskKind.PRELOAD_SPACERS), remedy=remedy)
    return round(asked)


def turned_to(spring: CoilSpring, turns: float) -> float:
    """How far so many turns of the adjuster press [m].

    Raises
    ------
    OutOfRange
    """
    goes = spring.stack.range.si / spring.stack.per_turn.si
    if not 0 <= turns <= goes + 1e-9:
        raise OutOfRange(
            "must be within what the adjuster turns",
            value=f"{turns:g}",
            field=str(TaskKind.SET_PRELOAD),
            remedy=f"It goes from 0 to {goes:g} turns.",
        )
    return turns * spring.stack.per_turn.si
