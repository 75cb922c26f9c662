"""Several tasks on one unit, merged into one sequence in which what they share is done once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from sagwright.domain.build import (
    Build,
    Charge,
    Setting,
    ShaftSetting,
    StackSetting,
    TopOutSetting,
    coil_build,
)
from sagwright.domain.sheet import Chassis, Mechanism, Sheet, SpacerStack, TopOutSpacers
from sagwright.domain.step import Step
from sagwright.domain.task import LEAST_WORK, Ordering, Sequenced, Task, TaskKind
from sagwright.domain.value import Unknown, Value
from sagwright.errors import InputError, MissingValue, OutOfRange
from sagwright.planning.builds import most_volume_spacers, permitted, setting_for
from sagwright.planning.change import changes_between
from sagwright.planning.coil_tasks import UNSEEN, check_fits, check_kinds, with_coil
from sagwright.planning.kit import kit_of
from sagwright.planning.order import Wanted, preload_change, steps_of
from sagwright.planning.sequence import sequenced
from sagwright.planning.served import served_keys
from sagwright.planning.valves import NEGATIVE, SECOND, Own, own_valves, said_of, with_own
from sagwright.planning.which import chassis_of, seen_as

PSI: Final = 6894.757293168
"""Pascals in a psi, for remedies."""

OWN_KINDS: Final = {SECOND: TaskKind.SECOND_PRESSURE, NEGATIVE: TaskKind.NEGATIVE_PRESSURE}
PRESSURES: Final = (TaskKind.SET_PRESSURE, *OWN_KINDS.values())
"""Tasks that say what the unit is charged to at the end."""


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
        Which chassis the unit has; may be left empty where the tasks leave no doubt.
    ordering : Ordering

    Raises
    ------
    InputError
        If tasks contradict each other, or ask for what sheet or chassis do not allow.
    """
    own = chassis_of(sheet, chassis, asked_of(tasks).get(TaskKind.CHANGE_TRAVEL))
    check_kinds(sheet, tuple(tasks))
    found = _unseen(sheet, own)
    target = _target(sheet, own, found, tasks)
    wanted = steps_for(sheet, found, target, tasks=tasks)
    deduced = not chassis and len(sheet.chassis) > 1
    asked = deduced and any(task.kind is TaskKind.CHANGE_TRAVEL for task in tasks)
    steps, sequence = sequenced(seen_as(sheet, wanted, own) if asked else wanted, ordering)
    return Sequenced(
        program=program,
        sheet=sheet,
        chassis="" if deduced and not asked else own.name,
        tasks=tuple(tasks),
        as_found=found,
        target=target,
        changes=changes_between(found, target),
        kit=kit_of(sheet, steps),
        steps=steps,
        needed_by=needed_by(sheet, own, tasks, steps),
        sequence=sequence,
    )


def steps_for(
    sheet: Sheet, found: Build, target: Build, *, tasks: Iterable[Task], opened: tuple[str, ...] = ()
) -> tuple[Step, ...]:
    """The steps that bring a unit from one build to another and serve the tasks, in no order yet.

    `opened` are the keys of items that are off anyhow.
    """
    served = tuple(dict.fromkeys((*opened, *served_keys(sheet, tasks))))
    pressure, before = (
        build.charge.pressure_gauge.si if isinstance(build.charge, Charge) else None for build in (target, found)
    )
    preload = preload_change(found, target)
    own = tuple(said_of(sheet, target.charge).items()) if sheet.coil is None else ()
    return steps_of(Wanted(sheet, changes_between(found, target), pressure, None, served, before, own, preload))


def target_of(sheet: Sheet, chassis: Chassis, tasks: Iterable[Task]) -> Build:
    """What tasks make of a unit that nobody has opened or read.

    Raises
    ------
    InputError
        As `sequence_of`.
    """
    tasks = tuple(tasks)
    check_kinds(sheet, tasks)
    return _target(sheet, chassis, _unseen(sheet, chassis), tasks)


def needed_by(
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


def _unseen(sheet: Sheet, chassis: Chassis) -> Build:
    """A unit that nobody has opened or read."""
    setting = _unseen_setting(sheet.mechanism)
    if sheet.coil is not None:
        return coil_build(chassis.name, setting, UNSEEN)
    return Build(chassis.name, setting, Unknown.UNTIL_OPEN, Unknown.NOT_MEASURED)


def _unseen_setting(mechanism: Mechanism) -> Setting:
    """Spacers that nobody has seen, the only shaft there is, or one that nobody has seen."""
    if isinstance(mechanism, SpacerStack):
        return StackSetting(Unknown.UNTIL_OPEN, Unknown.UNTIL_OPEN)
    if isinstance(mechanism, TopOutSpacers):
        return TopOutSetting(Unknown.UNTIL_OPEN)
    shafts = mechanism.shafts
    return ShaftSetting(shafts[0].travel.si if len(shafts) == 1 else Unknown.UNTIL_OPEN)


def _target(sheet: Sheet, chassis: Chassis, found: Build, tasks: Iterable[Task]) -> Build:
    """What the unit becomes; what no task asks for stays as it is."""
    tasks = tuple(tasks)
    asked = asked_of(tasks)
    target = found if sheet.coil is not None else replace(found, charge=_charge(sheet, asked))
    travel, spacers = asked.get(TaskKind.CHANGE_TRAVEL), asked.get(TaskKind.VOLUME_SPACERS)
    if travel is not None:
        setting = setting_for(sheet, chassis, travel)
        if setting is None or not permitted(chassis, travel):
            offered = ", ".join(f"{each * 1e3:g}" for each in chassis.travels)
            raise _outside(TaskKind.CHANGE_TRAVEL, f"{travel * 1e3:g} mm", f"Chassis {chassis.name}: {offered} mm.")
        target = replace(target, setting=setting)
    if spacers is not None:
        most = most_volume_spacers(sheet, target.setting)
        if not 0 <= spacers <= most:
            raise _outside(TaskKind.VOLUME_SPACERS, f"{spacers:g}", f"The sheet permits 0 to {most}.")
        target = replace(target, volume_spacers=int(spacers))
    if sheet.coil is not None:
        target = with_coil(sheet, target, asked, tasks)
        check_fits(sheet, target, travel)
    return target


def asked_of(tasks: Iterable[Task]) -> dict[TaskKind, float]:
    """The value asked for by each kind of task that has one."""
    asked: dict[TaskKind, float] = {}
    for task in tasks:
        if task.value is not None and asked.setdefault(task.kind, task.value) != task.value:
            rule = "must be asked for with one value"
            raise InputError(rule, field=str(task.kind), remedy="Two tasks ask for different ones; drop one.")
    return asked


def _charge(sheet: Sheet, asked: Mapping[TaskKind, float]) -> Charge | Unknown:
    """The charges that are asked for; where none is, they stay as found, and are decided at the bench if they come
    out."""
    pressure_gauge = asked.get(TaskKind.SET_PRESSURE)
    if pressure_gauge is None:
        _require_main(asked)
        return Unknown.NOT_MEASURED
    span = sheet.air.pressure_gauge
    if not span.low <= pressure_gauge <= span.high:
        raise _outside(
            TaskKind.SET_PRESSURE, f"{pressure_gauge / 1e5:.3g} bar", f"The sheet permits {span.as_written}."
        )
    owns = {own.field: own for own in own_valves(sheet)}
    for field, kind in OWN_KINDS.items():
        if kind in asked and field not in owns:
            raise OutOfRange("must have something to do on this unit", field=str(kind), remedy="It has no such valve.")
    held = {
        field: Value(_own(own, asked.get(OWN_KINDS[field]), pressure_gauge))
        for field, own in owns.items()
        if OWN_KINDS[field] in asked or not own.valve.choices
    }
    return with_own(Charge(Value(pressure_gauge)), held)


def _require_main(asked: Mapping[TaskKind, float]) -> None:
    """A charge behind a valve of its own is planned beside the main one, never alone."""
    for kind in OWN_KINDS.values():
        if kind in asked:
            remedy = f"Add it, like --task set-pressure=80psi, or drop {kind}: then both are decided at the bench."
            raise MissingValue(
                f"must be among the tasks beside {kind}", field=str(TaskKind.SET_PRESSURE), remedy=remedy
            )


def _own(own: Own, asked: float | None, pressure_gauge: float) -> float:
    """The charge of one chamber with a valve of its own: as asked, or the only one the sheet allows."""
    kind = OWN_KINDS[own.field]
    gauge = float(np.asarray(own.beside(pressure_gauge))) if asked is None else asked
    if not own.permits(gauge):
        permitted = "" if own.span is None else f"{own.span.low / PSI:.0f}..{own.span.high / PSI:.0f} psi"
        raise _outside(kind, f"{gauge / PSI:.1f} psi", f"The sheet permits {permitted}.")
    return gauge


def _outside(kind: TaskKind, value: str, remedy: str) -> OutOfRange:
    return OutOfRange("must be what sheet and chassis permit", value=value, field=str(kind), remedy=remedy)
