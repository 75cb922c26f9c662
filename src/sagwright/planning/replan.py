"""What is left to do, from what was done and what was found when the unit was open.

A step that waits for a finding is a gate: a change whose value nobody knew, an inspection, a sighting. Once it is
answered, the rest is planned anew: from the settings that were really inside, with the parts that failed renewed, and
in an order near to the one that was begun. A finding that ends the work leaves only its verdict.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from sagwright.domain.build import (
    Build,
    Charge,
    CoilFitting,
    Setting,
    ShaftSetting,
    StackSetting,
    TopOutSetting,
)
from sagwright.domain.task import Progress, Sequenced, TaskKind
from sagwright.domain.value import Origin, Unknown, Value
from sagwright.errors import OutOfRange
from sagwright.planning.builds import most_volume_spacers
from sagwright.planning.change import changes_between
from sagwright.planning.extras import extras_in, require_settable
from sagwright.planning.kit import kit_of
from sagwright.planning.reopen import base_of
from sagwright.planning.rest import Begun, opened, rest_of
from sagwright.planning.tasks import needed_by, steps_for, target_of
from sagwright.planning.which import seen_as_before

PRESSURE: Final = "pressure"
"""The field of a charge that was read, gauge [Pa]."""


def replanned(work: Sequenced, progress: Progress) -> Sequenced:
    """The rest of a sequence.

    Parameters
    ----------
    work : Sequenced
        As it was planned.
    progress : Progress
        What was done, in its order, and what was found.

    Returns
    -------
    Sequenced
        With the steps that are left; `done` holds the others. Where `stops` says what ends the work, the verdict.

    Raises
    ------
    InputError
        If what was done or found does not belong to this work, or was done before something it needs.
    """
    work = _with_extras(work, progress)
    found = found_in(work.as_found, progress)
    target = _kept(work, found)
    planned = (*work.done, *work.steps)
    steps = steps_for(work.sheet, found, target, tasks=work.tasks, opened=opened(planned, progress))
    steps = seen_as_before(work.sheet, steps, planned)
    rest = rest_of(Begun(work.sheet, planned, steps, progress, work.sequence))
    chassis = work.sheet.chassis_named(work.as_found.chassis)
    needed = dict(needed_by(work.sheet, chassis, work.tasks, steps) if progress.tasks else work.needed_by)
    keys = {step.key for step in steps}
    return replace(
        work,
        as_found=found,
        target=target,
        changes=changes_between(found, target),
        kit=kit_of(work.sheet, rest.steps),
        steps=rest.steps,
        needed_by=tuple((step.key, needed.get(base_of(step.key, keys), work.tasks)) for step in rest.steps),
        sequence=rest.sequence,
        done=rest.done,
        stops=rest.stops,
    )


def _with_extras(work: Sequenced, progress: Progress) -> Sequenced:
    """The work with the extras among its tasks, and what they set in its target."""
    extras = extras_in(progress, work.tasks)
    if not extras:
        return work
    require_settable(extras, progress)
    tasks, chassis = (*work.tasks, *extras), work.sheet.chassis_named(work.as_found.chassis)
    target = target_of(work.sheet, chassis, tasks)
    return replace(work, tasks=tasks, target=target)


def found_in(build: Build, progress: Progress) -> Build:
    """As found, with what was really there.

    Raises
    ------
    OutOfRange
        If something was found that this unit does not have.
    """
    for field, value in progress.found:
        seen = _as_seen(build, field, value)
        if seen is None:
            raise OutOfRange("must be a setting of this unit", value=field, field="found")
        build = seen
    return build


def _read(charge: Charge | Unknown, pressure_gauge: float) -> Charge:
    value = Value(pressure_gauge, None, Origin.MEASURED)
    return Charge(value) if isinstance(charge, Unknown) else replace(charge, pressure_gauge=value)


def _permitted(work: Sequenced, charge: Charge | Unknown) -> Charge | Unknown:
    """A charge that may be put back; one outside the sheet's range is decided anew at the bench."""
    if isinstance(charge, Unknown):
        return charge
    span = work.sheet.air.pressure_gauge
    return charge if span.low <= charge.pressure_gauge.si <= span.high else Unknown.NOT_MEASURED


def _as_seen(build: Build, field: str, value: float | str) -> Build | None:
    """The build with one setting as it was seen; None where it has none of that name."""
    if build.fitting is not None and field in {"coil", "preload_spacers"}:
        return replace(build, fitting=_fitted(build.fitting, value))
    if field == PRESSURE and build.fitting is None and not isinstance(value, str):
        return replace(build, charge=_read(build.charge, value))
    if field == "volume_spacers" and build.fitting is None and not isinstance(value, str):
        return replace(build, volume_spacers=round(value))
    setting = None if isinstance(value, str) else _set_as_seen(build.setting, field, value)
    return None if setting is None else replace(build, setting=setting)


def _set_as_seen(setting: Setting, field: str, value: float) -> Setting | None:
    """What sets the travel, as it was seen."""
    match field, setting:
        case "top_out_spacers", TopOutSetting():
            return TopOutSetting(round(value))
        case "shaft_travel", ShaftSetting():
            return ShaftSetting(value)
        case "travel_spacers" | "equaliser_hole", StackSetting():
            return replace(setting, **{field: round(value)})
        case _:
            return None


def _fitted(fitting: CoilFitting, value: float | str) -> CoilFitting:
    """A coil by its name, preload spacers by their count."""
    return replace(fitting, coil=value) if isinstance(value, str) else replace(fitting, preload_spacers=round(value))


def _kept(work: Sequenced, found: Build) -> Build:
    """The target, in which what no task asks for stays as it was found."""
    target = work.target
    asked = {task.kind for task in work.tasks}
    if TaskKind.SET_PRESSURE not in asked:
        target = replace(target, charge=_permitted(work, found.charge))
    if isinstance(target.volume_spacers, Unknown):
        target = replace(target, volume_spacers=found.volume_spacers)
    if TaskKind.CHANGE_TRAVEL not in asked:
        target = replace(target, setting=found.setting)
    if target.fitting is not None and found.fitting is not None:
        target = replace(target, fitting=_kept_coil(target.fitting, found.fitting))
    most = most_volume_spacers(work.sheet, target.setting)
    if not isinstance(target.volume_spacers, Unknown) and target.volume_spacers > most:
        remedy = f"Add --task volume-spacers={most} or fewer to the tasks."
        rule = f"must be at most {most} with the travel that is to be"
        raise OutOfRange(rule, value=str(target.volume_spacers), field="volume_spacers", remedy=remedy)
    return target


def _kept_coil(target: CoilFitting, found: CoilFitting) -> CoilFitting:
    """The same for coil and preload spacers."""
    coil = found.coil if isinstance(target.coil, Unknown) else target.coil
    spacers = found.preload_spacers if isinstance(target.preload_spacers, Unknown) else target.preload_spacers
    return replace(target, coil=coil, preload_spacers=spacers)
