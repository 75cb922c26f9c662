"""The work that is left, of a plan or of a sequence, from what was done and what was found when the unit was open.

A step that waits for a finding is a hold point: a change whose value nobody knew, an inspection, a sighting. Once it
is answered the rest is planned anew: from the settings that were really inside, the target of a plan chosen again by
its wish and aim as far as it is still open to choice, the parts that failed renewed, and in an order near to the one
that was begun. A finding that ends the work leaves only its verdict.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from sagwright.domain.behaviour import Option
from sagwright.domain.intake import Wish
from sagwright.domain.plan import Plan
from sagwright.domain.setup import Charge, CoilFitting, Setup
from sagwright.domain.task import Progress, Sequenced, TaskKind
from sagwright.domain.value import Origin, Unknown, Value
from sagwright.errors import OutOfRange
from sagwright.planning.matching.aim import Settings
from sagwright.planning.plan import make_plan, wanted_of
from sagwright.planning.progress.as_found import extras_in, require_settable, setup_as_found_inside
from sagwright.planning.progress.reassembly import IMPOSSIBLE, reassembly_setup, reassembly_steps
from sagwright.planning.progress.remaining import Begun, opened_items, remaining_work
from sagwright.planning.progress.reopening import base_of
from sagwright.planning.spring.changes import changes_between
from sagwright.planning.spring.setups import most_volume_spacers
from sagwright.planning.work.scope import CHARGED
from sagwright.planning.work.steps import steps_of
from sagwright.planning.work.tasks import needed_by_tasks, setting_as_recorded, steps_for, target_of
from sagwright.planning.work.tools_and_parts import tools_and_parts_of
from sagwright.planning.work.wish_tasks import PINS

SHUT: Final = ("change:volume_spacers", "on:air_cap", "charge:")
"""Beginnings of steps after which the volume spacers stay as they were decided."""

SPRUNG: Final = ("change:coil", "change:preload_spacers", "on:spring_cap")
"""The same of a coil with its preload spacers."""


def resume_plan(plan: Plan, progress: Progress) -> Plan:
    """The rest of a plan, its target chosen again for what was really found.

    The choice is the same: the same wish and aim, the same limits. What is closed in already stays as it was decided:
    volume spacers once the cap is on again, the pressure once it is in.

    Parameters
    ----------
    plan : Plan
        As it was decided.
    progress : Progress

    Returns
    -------
    Plan
        With the steps that are left. Where what was found makes the wish impossible it is refused, and its steps close
        the unit again, at `reassembly_setup`; none where nothing was opened yet.

    Raises
    ------
    InputError
        As for a sequence; and if the plan has no work.
    """
    decided = plan.target
    if decided is None:
        raise OutOfRange("must not be refused to be gone on with", value=plan.intake.name, field="plan")
    intake = plan.intake
    extras = extras_in(progress, intake.tasks)
    require_settable(extras, progress)
    found = setup_as_found_inside(intake.as_found.setup, progress)
    as_found = replace(intake.as_found, setup=found)
    corrected = replace(
        intake, as_found=as_found, wish=_decided(intake.wish, decided, progress), tasks=(*intake.tasks, *extras)
    )
    settings = Settings(plan.spring.stroke_exponent, plan.spring.noticeable)
    fresh = plan if corrected == intake else make_plan(corrected, program=plan.program, settings=settings)
    planned = (*plan.done, *plan.steps)
    if fresh.target is None:
        return _back(plan, replace(fresh, intake=replace(corrected, wish=intake.wish)), decided, progress)
    wanted = wanted_of(corrected, fresh.target, opened_items(planned, progress))
    steps = steps_of(wanted)
    needed = dict(fresh.needed_by)
    rest = remaining_work(Begun(intake.sheet, planned, steps, progress, plan.sequence))
    return replace(
        fresh,
        intake=replace(corrected, wish=intake.wish),
        tools_and_parts=tools_and_parts_of(intake.sheet, rest.steps),
        steps=rest.steps,
        sequence=rest.sequence,
        done=rest.done,
        stops=rest.stops,
        needed_by=tuple((step.key, needed.get(base_of(step.key, needed), ())) for step in rest.steps),
    )


def _back(plan: Plan, refused: Plan, decided: Option, progress: Progress) -> Plan:
    """A refused plan with the way back together, where anything was opened."""
    planned = (*plan.done, *plan.steps)
    off = opened_items(planned, progress)
    if not off:
        return refused
    intake = refused.intake
    target = reassembly_setup(intake, decided, progress)
    steps = reassembly_steps(intake, target, off)
    rest = remaining_work(Begun(intake.sheet, planned, steps, progress, plan.sequence))
    told = () if rest.stops else rest.steps[:1]
    return replace(
        refused,
        reassembly=target,
        changes=changes_between(intake.as_found.setup, target),
        tools_and_parts=tools_and_parts_of(intake.sheet, rest.steps),
        steps=(*(replace(one, cautions=(IMPOSSIBLE, *one.cautions)) for one in told), *rest.steps[len(told) :]),
        sequence=rest.sequence,
        done=rest.done,
        stops=rest.stops,
    )


def _decided(wish: Wish, target: Option, progress: Progress) -> Wish:
    """The wish, with what can no longer be chosen otherwise, but for what an extra sets."""
    pinned = _pinned(wish, target, progress)
    set_anew = {PINS[task.kind]: getattr(wish, PINS[task.kind]) for task in progress.tasks if task.kind in PINS}
    return replace(pinned, **set_anew)


def _pinned(wish: Wish, target: Option, progress: Progress) -> Wish:
    spacers = target.setup.volume_spacers
    if any(key.startswith(SHUT) for key in progress.done) and isinstance(spacers, int):
        wish = replace(wish, volume_spacers=spacers)
    if any(key.startswith(CHARGED) for key in progress.done) and target.pressure_gauge is not None:
        wish = replace(wish, pressure_gauge=Value(target.pressure_gauge, None, Origin.COMPUTED))
    fitting = target.setup.fitting
    if fitting is not None and any(key.startswith(SPRUNG) for key in progress.done):
        coil, spacers = fitting.coil, fitting.preload_spacers
        wish = replace(
            wish,
            coil=coil if isinstance(coil, str) else wish.coil,
            preload_spacers=spacers if isinstance(spacers, int) else wish.preload_spacers,
        )
    return wish


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
    found = setup_as_found_inside(work.as_found, progress)
    target = _kept(work, found)
    planned = (*work.done, *work.steps)
    steps = steps_for(work.sheet, found, target, tasks=work.tasks, opened=opened_items(planned, progress))
    steps = setting_as_recorded(work.sheet, steps, planned)
    rest = remaining_work(Begun(work.sheet, planned, steps, progress, work.sequence))
    chassis = work.sheet.chassis_named(work.as_found.chassis)
    needed = dict(needed_by_tasks(work.sheet, chassis, work.tasks, steps) if progress.tasks else work.needed_by)
    keys = {step.key for step in steps}
    return replace(
        work,
        as_found=found,
        target=target,
        changes=changes_between(found, target),
        tools_and_parts=tools_and_parts_of(work.sheet, rest.steps),
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


def _permitted(work: Sequenced, charge: Charge | Unknown) -> Charge | Unknown:
    """A charge that may be put back; one outside the sheet's range is decided anew at the bench."""
    if isinstance(charge, Unknown):
        return charge
    span = work.sheet.air.pressure_gauge
    return charge if span.low <= charge.pressure_gauge.si <= span.high else Unknown.NOT_MEASURED


def _kept(work: Sequenced, found: Setup) -> Setup:
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
