"""Several tasks on one unit, merged into one sequence in which what they share is done once.

Where nobody names the chassis, it is deduced from the travel that is asked for, and looked at once the unit is open.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Final

from sagwright.domain.item import Act, Record, Role
from sagwright.domain.setup import Charge, Setting, Setup, ShaftSetting, StackSetting, TopOutSetting, coil_setup
from sagwright.domain.sheet import Chassis, Mechanism, Sheet, SpacerStack, TopOutSpacers
from sagwright.domain.step import Step
from sagwright.domain.task import LEAST_WORK, Ordering, Sequenced, Task, TaskKind
from sagwright.domain.value import Unknown
from sagwright.errors import InputError, MissingValue, OutOfRange
from sagwright.planning.spring.changes import changes_between
from sagwright.planning.spring.setups import most_volume_spacers, permitted, setting_for
from sagwright.planning.spring.valves import stated_gauge
from sagwright.planning.work.air_tasks import PRESSURES, charge_of_tasks, not_permitted
from sagwright.planning.work.coil_tasks import COIL_UNKNOWN_UNTIL_OPEN, check_fits, check_kinds, with_coil
from sagwright.planning.work.scope import Wanted, preload_change, served_keys
from sagwright.planning.work.sequence import sequenced
from sagwright.planning.work.steps import steps_of
from sagwright.planning.work.tools_and_parts import tools_and_parts_of


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
        remedy = " ".join(f"Chassis {one.name}: {_offered(one)}." for one in sheet.chassis)
        shown = f"{travel * 1e3:g} mm"
        raise OutOfRange("must be what a chassis permits", value=shown, field="change-travel", remedy=remedy)
    if travel is not None and len(fitting) > 1:
        remedy = f"Look at its marking, and add --chassis with one of: {', '.join(one.name for one in fitting)}."
        raise MissingValue("must be given, because several permit this travel", field="chassis", remedy=remedy)
    return fitting[0] if fitting else sheet.chassis[0]


def _offered(chassis: Chassis) -> str:
    return f"{', '.join(f'{each * 1e3:g}' for each in chassis.travels)} mm"


OPEN_READING: Final = "chassis_seen"


def setting_as_found(sheet: Sheet, steps: Iterable[Step], chassis: Chassis) -> tuple[Step, ...]:
    """The steps; the first readings also see that the unit is of the chassis that its travel points at."""
    return _also(
        sheet, steps, Record(OPEN_READING, f"Its marking says chassis {chassis.name}; with another one stop and ask.")
    )


def setting_as_recorded(sheet: Sheet, steps: Iterable[Step], before: Iterable[Step]) -> tuple[Step, ...]:
    """The same, where it was asked for before."""
    asked = next((record for step in before for record in step.records if record.key == OPEN_READING), None)
    return tuple(steps) if asked is None else _also(sheet, steps, asked)


def _also(sheet: Sheet, steps: Iterable[Step], record: Record) -> tuple[Step, ...]:
    first = {f"{Act.OFF}:{item.key}" for item in sheet.having(Role.READINGS)}
    return tuple(replace(step, records=(*step.records, record)) if step.key in first else step for step in steps)


def sequence_of(
    sheet: Sheet,
    tasks: Sequence[Task],
    *,
    program: str,
    chassis: str = "",
    ordering: Ordering = LEAST_WORK,
) -> Sequenced:
    """One sequence that serves all tasks.

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
    check_kinds(sheet, tuple(tasks))
    found = _unseen(sheet, own)
    target = _target(sheet, own, found, tasks)
    wanted = steps_for(sheet, found, target, tasks=tasks)
    deduced = not chassis and len(sheet.chassis) > 1
    asked = deduced and any(task.kind is TaskKind.CHANGE_TRAVEL for task in tasks)
    steps, sequence = sequenced(setting_as_found(sheet, wanted, own) if asked else wanted, ordering)
    return Sequenced(
        program=program,
        sheet=sheet,
        chassis="" if deduced and not asked else own.name,
        tasks=tuple(tasks),
        as_found=found,
        target=target,
        changes=changes_between(found, target),
        tools_and_parts=tools_and_parts_of(sheet, steps),
        steps=steps,
        needed_by=needed_by_tasks(sheet, own, tasks, steps),
        sequence=sequence,
    )


def steps_for(
    sheet: Sheet, found: Setup, target: Setup, *, tasks: Iterable[Task], opened: tuple[str, ...] = ()
) -> tuple[Step, ...]:
    """The steps that bring a unit from one setup to another and serve the tasks, in no order yet.

    `opened` are the keys of items that are off anyhow.
    """
    served = tuple(dict.fromkeys((*opened, *served_keys(sheet, tasks))))
    pressure, before = (
        setup.charge.pressure_gauge.si if isinstance(setup.charge, Charge) else None for setup in (target, found)
    )
    preload = preload_change(found, target)
    own = tuple(stated_gauge(sheet, target.charge).items()) if sheet.coil is None else ()
    return steps_of(Wanted(sheet, changes_between(found, target), pressure, None, served, before, own, preload))


def target_of(sheet: Sheet, chassis: Chassis, tasks: Iterable[Task]) -> Setup:
    """What tasks make of a unit that nobody has opened or read.

    Raises
    ------
    InputError
        As `sequence_of`.
    """
    tasks = tuple(tasks)
    check_kinds(sheet, tasks)
    return _target(sheet, chassis, _unseen(sheet, chassis), tasks)


def needed_by_tasks(
    sheet: Sheet, chassis: Chassis, tasks: Sequence[Task], steps: tuple[Step, ...]
) -> tuple[tuple[str, tuple[Task, ...]], ...]:
    """Which tasks need each step: those whose own steps hold it, with the pressure of all of them."""
    pressure = [task for task in tasks if task.kind in {*PRESSURES, TaskKind.PRELOAD_SPACERS}]
    found = _unseen(sheet, chassis)
    alone = {
        task: {
            step.key
            for step in steps_for(sheet, found, _target(sheet, chassis, found, [*pressure, task]), tasks=[task])
        }
        for task in dict.fromkeys(tasks)
    }
    return tuple((step.key, tuple(task for task, keys in alone.items() if step.key in keys)) for step in steps)


def _unseen(sheet: Sheet, chassis: Chassis) -> Setup:
    """A unit that nobody has opened or read."""
    setting = _unseen_setting(sheet.mechanism)
    if sheet.coil is not None:
        return coil_setup(chassis.name, setting, COIL_UNKNOWN_UNTIL_OPEN)
    return Setup(chassis.name, setting, Unknown.UNTIL_OPEN, Unknown.NOT_MEASURED)


def _unseen_setting(mechanism: Mechanism) -> Setting:
    """Spacers that nobody has seen, the only shaft there is, or one that nobody has seen."""
    if isinstance(mechanism, SpacerStack):
        return StackSetting(Unknown.UNTIL_OPEN, Unknown.UNTIL_OPEN)
    if isinstance(mechanism, TopOutSpacers):
        return TopOutSetting(Unknown.UNTIL_OPEN)
    shafts = mechanism.shafts
    return ShaftSetting(shafts[0].travel.si if len(shafts) == 1 else Unknown.UNTIL_OPEN)


def _target(sheet: Sheet, chassis: Chassis, found: Setup, tasks: Iterable[Task]) -> Setup:
    """What the unit becomes; what no task asks for stays as it is."""
    tasks = tuple(tasks)
    asked = stated_target(tasks)
    target = found if sheet.coil is not None else replace(found, charge=charge_of_tasks(sheet, asked))
    travel, spacers = asked.get(TaskKind.CHANGE_TRAVEL), asked.get(TaskKind.VOLUME_SPACERS)
    if travel is not None:
        setting = setting_for(sheet, chassis, travel)
        if setting is None or not permitted(chassis, travel):
            offered = ", ".join(f"{each * 1e3:g}" for each in chassis.travels)
            raise not_permitted(
                TaskKind.CHANGE_TRAVEL, f"{travel * 1e3:g} mm", f"Chassis {chassis.name}: {offered} mm."
            )
        target = replace(target, setting=setting)
    if spacers is not None:
        most = most_volume_spacers(sheet, target.setting)
        if not 0 <= spacers <= most:
            raise not_permitted(TaskKind.VOLUME_SPACERS, f"{spacers:g}", f"The sheet permits 0 to {most}.")
        target = replace(target, volume_spacers=int(spacers))
    if sheet.coil is not None:
        target = with_coil(sheet, target, asked, tasks)
        check_fits(sheet, target, travel)
    return target


def stated_target(tasks: Iterable[Task]) -> dict[TaskKind, float]:
    """The value asked for by each kind of task that has one."""
    asked: dict[TaskKind, float] = {}
    for task in tasks:
        if task.value is not None and asked.setdefault(task.kind, task.value) != task.value:
            rule = "must be asked for with one value"
            raise InputError(rule, field=str(task.kind), remedy="Two tasks ask for different ones; drop one.")
    return asked
