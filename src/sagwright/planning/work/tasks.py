"""Several tasks on one unit, merged into one sequence in which what they share is done once.

Where nobody names the chassis, it is deduced from the travel that is asked for, and looked at once the unit is open.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Final

from sagwright.domain.item import Act, Record, Role
from sagwright.domain.plan import Plan
from sagwright.domain.setup import Setting, Setup, ShaftSetting, StackSetting, TopOutSetting
from sagwright.domain.sheet import Chassis, Mechanism, Sheet, SpacerStack, TopOutSpacers
from sagwright.domain.step import Step
from sagwright.domain.task import LEAST_WORK, Ordering, Task, TaskKind
from sagwright.domain.value import Quantity, Unknown
from sagwright.domain.work import Work
from sagwright.errors import InputError, MissingValue, OutOfRange
from sagwright.planning.checks.findings import ALWAYS
from sagwright.planning.spring.kind import spring_kind
from sagwright.planning.spring.parts import most_volume_spacers
from sagwright.planning.spring.setups import permitted, setting_for
from sagwright.planning.work.air_tasks import charge_of_tasks, not_permitted
from sagwright.planning.work.coil_tasks import check_fits, check_kinds, with_coil
from sagwright.planning.work.composition import Ordered, composed, least_work


def chassis_of(sheet: Sheet, name: str, travel: float | None) -> Chassis:
    """The chassis of that name; without one, the only one there is, or the only one that permits the travel.

    Where no travel is asked for, any will do: no other task depends on it.

    Raises
    ------
    MissingValue
        If several permit the travel.
    OutOfRange
        If there is none of that name, or none permits the travel.
    """
    names = [chassis.name for chassis in sheet.chassis]
    if name and name not in names:
        remedy = f"Choose one of: {', '.join(names)}."
        raise OutOfRange("must be a chassis of the sheet", value=name, field="chassis", remedy=remedy)
    if name:
        return sheet.chassis_named(name)
    fitting = [one for one in sheet.chassis if travel is None or permitted(one, travel)]
    if not fitting and len(names) > 1 and travel is not None:
        offered = {f"offered{place}": one for place, one in enumerate(sheet.chassis)}
        raise OutOfRange(
            "must be what a chassis permits",
            value="{travel}",
            field="change-travel",
            remedy=" ".join(f"Chassis {one.name}: {{{key}}}." for key, one in offered.items()),
            figures={key: (one.travels, Quantity.LENGTH) for key, one in offered.items()}
            | {"travel": (travel, Quantity.LENGTH)},
        )
    if travel is not None and len(fitting) > 1:
        remedy = f"Look at its marking, and add --chassis with one of: {', '.join(one.name for one in fitting)}."
        raise MissingValue("must be given, because several permit this travel", field="chassis", remedy=remedy)
    return fitting[0] if fitting else sheet.chassis[0]


OPEN_READING: Final = "chassis_seen"


def setting_as_found(sheet: Sheet, steps: Iterable[Step], chassis: Chassis) -> tuple[Step, ...]:
    """The steps; the first readings also see that the unit is of the chassis that its travel points at."""
    return _also(
        sheet, steps, Record(OPEN_READING, f"Its marking says chassis {chassis.name}; with another one stop and ask.")
    )


def setting_as_recorded(before: Work, steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """The steps with the look at the chassis, where the work before asked for it."""
    asked = next((record for step in before.planned for record in step.records if record.key == OPEN_READING), None)
    return steps if asked is None else _also(before.sheet, steps, asked)


def _also(sheet: Sheet, steps: Iterable[Step], record: Record) -> tuple[Step, ...]:
    first = {f"{Act.OFF}:{item.key}" for item in sheet.having(Role.READINGS)}
    return tuple(replace(step, records=(*step.records, record)) if step.key in first else step for step in steps)


def plan_tasks(
    sheet: Sheet, tasks: Sequence[Task], *, program: str, chassis: str = "", ordering: Ordering = LEAST_WORK
) -> Plan:
    """The plan of tasks alone: nothing is selected, the tasks say it all.

    Parameters
    ----------
    sheet : Sheet
    tasks : sequence of Task
    program : str
        Name and version of what computes.
    chassis : str
        Which chassis the unit has; may be left empty where the tasks leave no uncertainty.
    ordering : Ordering

    Raises
    ------
    InputError
        If tasks contradict each other, or ask for what sheet or chassis do not allow.
    """
    own = chassis_of(sheet, chassis, stated_target(tasks).get(TaskKind.CHANGE_TRAVEL))
    deduced = not chassis and len(sheet.chassis) > 1
    asked = deduced and _changes_travel(tasks)
    work = Work(
        sheet=sheet,
        chassis="" if deduced and not asked else own.name,
        tasks=tuple(tasks),
        as_found=_unseen(sheet, own),
        target=target_of(sheet, own, tasks),
        travel_change=None if _changes_travel(tasks) else 0.0,
    )

    def order(steps: tuple[Step, ...]) -> Ordered:
        return least_work(setting_as_found(sheet, steps, own) if asked else steps, ordering)

    return Plan(program, composed(work, order), (*ALWAYS, *sheet.notices))


def _changes_travel(tasks: Iterable[Task]) -> bool:
    return any(task.kind is TaskKind.CHANGE_TRAVEL for task in tasks)


def target_of(sheet: Sheet, chassis: Chassis, tasks: Iterable[Task]) -> Setup:
    """The target of tasks on a unit that has been neither opened nor read; other settings stay as they are.

    Raises
    ------
    InputError
        As `plan_tasks`.
    """
    tasks = tuple(tasks)
    check_kinds(sheet, tasks)
    found = _unseen(sheet, chassis)
    asked = stated_target(tasks)
    target = replace(found, charge=charge_of_tasks(sheet, asked))
    travel, spacers = asked.get(TaskKind.CHANGE_TRAVEL), asked.get(TaskKind.VOLUME_SPACERS)
    if travel is not None:
        setting = setting_for(sheet, chassis, travel)
        if setting is None or not permitted(chassis, travel):
            remedy = f"Chassis {chassis.name}: {{offered}}."
            raise not_permitted(TaskKind.CHANGE_TRAVEL, travel, remedy, offered=chassis.travels)
        target = replace(target, setting=setting)
    if spacers is not None:
        most = most_volume_spacers(sheet, target.setting)
        if not 0 <= spacers <= most:
            raise not_permitted(TaskKind.VOLUME_SPACERS, spacers, f"The sheet permits 0 to {most}.")
        target = replace(target, volume_spacers=int(spacers))
    target = with_coil(sheet, target, asked, tasks)
    check_fits(sheet, target, travel)
    return target


def _unseen(sheet: Sheet, chassis: Chassis) -> Setup:
    """The setup of a unit that has been neither opened nor read."""
    return spring_kind(sheet).unopened(chassis.name, _unseen_setting(sheet.mechanism))


def _unseen_setting(mechanism: Mechanism) -> Setting:
    """Spacers not seen yet, the only shaft there is, or a shaft not seen yet."""
    if isinstance(mechanism, SpacerStack):
        return StackSetting(Unknown.UNTIL_OPEN, Unknown.UNTIL_OPEN)
    if isinstance(mechanism, TopOutSpacers):
        return TopOutSetting(Unknown.UNTIL_OPEN)
    shafts = mechanism.shafts
    return ShaftSetting(shafts[0].travel.si if len(shafts) == 1 else Unknown.UNTIL_OPEN)


def stated_target(tasks: Iterable[Task]) -> dict[TaskKind, float]:
    """The value asked for by each kind of task that has one."""
    asked: dict[TaskKind, float] = {}
    for task in tasks:
        if task.value is not None and asked.setdefault(task.kind, task.value) != task.value:
            rule = "must be asked for with one value"
            raise InputError(rule, field=str(task.kind), remedy="Two tasks ask for different ones; drop one.")
    return asked
