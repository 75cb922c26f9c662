"""The work that is left of a plan, from what was done and what was found when the unit was open.

A step that waits for a finding is a hold point: a change whose value nobody knew, an inspection, a sighting. Once it
is answered the rest is planned anew: from the settings that were really inside, the target of a plan chosen again by
its wish and aim as far as it is still open to choice, the parts that failed renewed, and in an order near to the one
that was begun. A finding that ends the work leaves only its verdict.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import Any

from sagwright.domain.behaviour import Option
from sagwright.domain.intake import Intake, Wish
from sagwright.domain.plan import Plan, Selection
from sagwright.domain.settings import CHARGED, SETTINGS, TASK_SETTINGS
from sagwright.domain.setup import Charge, CoilFitting, Setup
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Step
from sagwright.domain.task import Progress, Task, TaskKind
from sagwright.domain.value import Origin, Unknown, Value
from sagwright.domain.work import Work
from sagwright.errors import OutOfRange
from sagwright.planning.matching.aim import Settings
from sagwright.planning.plan import make_plan
from sagwright.planning.progress.as_found import extras_in, require_settable, setup_as_found_inside
from sagwright.planning.progress.reassembly import IMPOSSIBLE, reassembly_setup, tagged, travel_change
from sagwright.planning.progress.remaining import Begun, opened_items, remaining_work
from sagwright.planning.spring.parts import most_volume_spacers
from sagwright.planning.work.composition import Ordered, composed
from sagwright.planning.work.tasks import setting_as_recorded, target_of


def resumed(plan: Plan, progress: Progress) -> Plan:
    """The rest of a plan from what was done and found.

    What a target was selected by stays: the same wish and aim, the same limits. What is closed in already stays as it
    was decided: volume spacers once the cap is on again, the pressure once it is in.

    Parameters
    ----------
    plan : Plan
        As it was decided.
    progress : Progress
        What was done, in its order, and what was found.

    Returns
    -------
    Plan
        Its work has the steps that are left, and `done` the others; where `stops` says what ends it, only the verdict
        is left. Where what was found makes the wish impossible the plan is refused, and its steps close the unit again,
        at `way_back`; none where nothing was opened yet.

    Raises
    ------
    InputError
        If the plan has no work, or what was done or found does not belong to it, or was done before something it needs.
    """
    before, selection, decided = plan.work, plan.selection, plan.work.target
    if decided is None or plan.impossible:
        rule = "must not be refused to be gone on with"
        raise OutOfRange(rule, value=None if selection is None else selection.intake.name, field="plan")
    extras = extras_in(progress, before.tasks if selection is None else selection.intake.tasks)
    require_settable(extras, progress)
    if selection is None:
        fresh = replace(plan, work=_retargeted(before, progress, extras))
    else:
        fresh = _selected_again(plan, selection, progress, extras)
    off = opened_items(before, progress)
    if fresh.selection is None or not fresh.impossible:
        return replace(fresh, work=composed(fresh.work, partial(_rest, before, progress), opened_items=off))
    if not off:
        return fresh
    intake = fresh.selection.intake
    target = reassembly_setup(intake, decided, progress)
    closing = partial(_closing, before, progress, intake, target)
    work = replace(fresh.work, tasks=(), target=target, travel_change=travel_change(intake, target))
    return replace(fresh, work=composed(work, closing, opened_items=off))


def _rest(before: Work, progress: Progress, steps: tuple[Step, ...]) -> Ordered:
    """What of all steps is left, in an order near to the one that was begun."""
    return remaining_work(Begun(before, setting_as_recorded(before, steps), progress))


def _closing(before: Work, progress: Progress, intake: Intake, target: Setup, steps: tuple[Step, ...]) -> Ordered:
    """What closes the unit again, the first of it under the caution that says so."""
    rest = remaining_work(Begun(before, tuple(tagged(steps, intake, target)), progress))
    first = () if rest.stops else rest.steps[:1]
    warned = (replace(one, cautions=(IMPOSSIBLE, *one.cautions)) for one in first)
    return replace(rest, steps=(*warned, *rest.steps[len(first) :]))


def _selected_again(plan: Plan, selection: Selection, progress: Progress, extras: tuple[Task, ...]) -> Plan:
    """The plan with its target selected for what was found, as far as it can still be chosen, and with the extras."""
    intake = selection.intake
    as_found = replace(intake.as_found, setup=setup_as_found_inside(intake.as_found.setup, progress))
    tasks = (*intake.tasks, *extras)
    corrected = replace(intake, as_found=as_found, wish=_decided(selection, progress), tasks=tasks)
    if corrected == intake:
        return plan
    settings = Settings(selection.spring.stroke_exponent, selection.spring.noticeable)
    fresh = make_plan(corrected, program=plan.program, settings=settings)
    told = replace(corrected, wish=intake.wish)
    return replace(fresh, selection=fresh.selection and replace(fresh.selection, intake=told))


def _decided(selection: Selection, progress: Progress) -> Wish:
    """The wish, with what can no longer be chosen otherwise, but for what an extra sets."""
    wish = selection.intake.wish
    pinned = wish if selection.target is None else _pinned(wish, selection.target, progress)
    pins = [TASK_SETTINGS[task.kind].wish for task in progress.tasks if task.kind in TASK_SETTINGS]
    set_anew = {pin: getattr(wish, pin) for pin in pins}
    return replace(pinned, **set_anew)


def _pinned(wish: Wish, target: Option, progress: Progress) -> Wish:
    """The wish, with what is closed in already as it was decided."""
    setup = target.setup
    closed = [row for row in SETTINGS if row.has(setup) and any(key.startswith(row.closed_by) for key in progress.done)]
    pins: dict[str, Any] = {row.wish: row.of(setup) for row in closed if not isinstance(row.of(setup), Unknown)}
    if any(key.startswith(CHARGED) for key in progress.done) and target.pressure_gauge is not None:
        pins["pressure_gauge"] = Value(target.pressure_gauge.value, None, Origin.COMPUTED)
    return replace(wish, **pins)


def _retargeted(work: Work, progress: Progress, extras: tuple[Task, ...]) -> Work:
    """The work with the extras among its tasks, from what was found to what all tasks make of it."""
    tasks, target = (*work.tasks, *extras), work.target
    if extras:
        target = target_of(work.sheet, work.sheet.chassis_named(work.as_found.chassis), tasks)
    found = setup_as_found_inside(work.as_found, progress)
    return replace(work, tasks=tasks, as_found=found, target=target and _kept(work.sheet, tasks, found, target))


def _permitted(sheet: Sheet, charge: Charge | Unknown) -> Charge | Unknown:
    """A charge that may be put back; one outside the sheet's range is decided anew at the bench."""
    if isinstance(charge, Unknown):
        return charge
    span = sheet.air.pressure_gauge
    return charge if span.low <= charge.pressure_gauge.si <= span.high else Unknown.NOT_MEASURED


def _kept(sheet: Sheet, tasks: tuple[Task, ...], found: Setup, target: Setup) -> Setup:
    """The target, in which what no task asks for stays as it was found."""
    asked = {task.kind for task in tasks}
    if TaskKind.SET_PRESSURE not in asked:
        target = replace(target, charge=_permitted(sheet, found.charge))
    if isinstance(target.volume_spacers, Unknown):
        target = replace(target, volume_spacers=found.volume_spacers)
    if TaskKind.CHANGE_TRAVEL not in asked:
        target = replace(target, setting=found.setting)
    if target.fitting is not None and found.fitting is not None:
        target = replace(target, fitting=_kept_coil(target.fitting, found.fitting))
    most = most_volume_spacers(sheet, target.setting)
    if not isinstance(target.volume_spacers, Unknown) and target.volume_spacers > most:
        remedy = f"Add --task volume-spacers={most} or fewer to the tasks."
        rule = f"must be at most {most} with the travel that is to be"
        raise OutOfRange(rule, value=str(target.volume_spacers), field="volume_spacers", remedy=remedy)
    return target


def _kept_coil(target: CoilFitting, found: CoilFitting) -> CoilFitting:
    """The coil and preload spacers of a target, those found where the target leaves them open."""
    coil = found.coil if isinstance(target.coil, Unknown) else target.coil
    spacers = found.preload_spacers if isinstance(target.preload_spacers, Unknown) else target.preload_spacers
    return replace(target, coil=coil, preload_spacers=spacers)
