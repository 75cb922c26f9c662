"""What is left of a plan, from what was done and what was found when the unit was open.

A plan with values unknown until open holds at the gates that settle them. What is found there corrects as found, and
the target is chosen again by the same wish and aim, as far as it is still open to choice.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from sagwright.domain.behaviour import Candidate
from sagwright.domain.intake import Wish
from sagwright.domain.plan import Plan
from sagwright.domain.task import Progress
from sagwright.domain.value import Origin, Value
from sagwright.errors import OutOfRange
from sagwright.planning.asked import CHARGED
from sagwright.planning.beside import PINS
from sagwright.planning.change import changes_between
from sagwright.planning.choose import Settings
from sagwright.planning.extras import extras_in, require_settable
from sagwright.planning.kit import kit_of
from sagwright.planning.order import steps_of
from sagwright.planning.plan import make_plan, wanted_of
from sagwright.planning.reopen import base_of
from sagwright.planning.replan import found_in
from sagwright.planning.rest import Begun, opened, rest_of
from sagwright.planning.way_back import IMPOSSIBLE, steps_back, way_back

SHUT: Final = ("change:volume_spacers", "on:air_cap", "charge:")
"""Beginnings of steps after which the volume spacers stay as they were decided."""

SPRUNG: Final = ("change:coil", "change:preload_spacers", "on:spring_cap")
"""The same of a coil with its preload spacers."""


def plan_gone_on(plan: Plan, progress: Progress) -> Plan:
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
        the unit again, at `way_back`; none where nothing was opened yet.

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
    found = found_in(intake.as_found.build, progress)
    as_found = replace(intake.as_found, build=found)
    corrected = replace(
        intake, as_found=as_found, wish=_decided(intake.wish, decided, progress), tasks=(*intake.tasks, *extras)
    )
    settings = Settings(plan.spring.stroke_exponent, plan.spring.noticeable)
    fresh = plan if corrected == intake else make_plan(corrected, program=plan.program, settings=settings)
    planned = (*plan.done, *plan.steps)
    if fresh.target is None:
        return _back(plan, replace(fresh, intake=replace(corrected, wish=intake.wish)), decided, progress)
    wanted = wanted_of(corrected, fresh.target, opened(planned, progress))
    steps = steps_of(wanted)
    needed = dict(fresh.needed_by)
    rest = rest_of(Begun(intake.sheet, planned, steps, progress, plan.sequence))
    return replace(
        fresh,
        intake=replace(corrected, wish=intake.wish),
        kit=kit_of(intake.sheet, rest.steps),
        steps=rest.steps,
        sequence=rest.sequence,
        done=rest.done,
        stops=rest.stops,
        needed_by=tuple((step.key, needed.get(base_of(step.key, needed), ())) for step in rest.steps),
    )


def _back(plan: Plan, refused: Plan, decided: Candidate, progress: Progress) -> Plan:
    """A refused plan with the way back together, where anything was opened."""
    planned = (*plan.done, *plan.steps)
    off = opened(planned, progress)
    if not off:
        return refused
    intake = refused.intake
    target = way_back(intake, decided, progress)
    steps = steps_back(intake, target, off)
    rest = rest_of(Begun(intake.sheet, planned, steps, progress, plan.sequence))
    told = () if rest.stops else rest.steps[:1]
    return replace(
        refused,
        way_back=target,
        changes=changes_between(intake.as_found.build, target),
        kit=kit_of(intake.sheet, rest.steps),
        steps=(*(replace(one, cautions=(IMPOSSIBLE, *one.cautions)) for one in told), *rest.steps[len(told) :]),
        sequence=rest.sequence,
        done=rest.done,
        stops=rest.stops,
    )


def _decided(wish: Wish, target: Candidate, progress: Progress) -> Wish:
    """The wish, with what can no longer be chosen otherwise, but for what an extra sets."""
    pinned = _pinned(wish, target, progress)
    set_anew = {PINS[task.kind]: getattr(wish, PINS[task.kind]) for task in progress.tasks if task.kind in PINS}
    return replace(pinned, **set_anew)


def _pinned(wish: Wish, target: Candidate, progress: Progress) -> Wish:
    spacers = target.build.volume_spacers
    if any(key.startswith(SHUT) for key in progress.done) and isinstance(spacers, int):
        wish = replace(wish, volume_spacers=spacers)
    if any(key.startswith(CHARGED) for key in progress.done) and target.pressure_gauge is not None:
        wish = replace(wish, pressure_gauge=Value(target.pressure_gauge, None, Origin.COMPUTED))
    fitting = target.build.fitting
    if fitting is not None and any(key.startswith(SPRUNG) for key in progress.done):
        coil, spacers = fitting.coil, fitting.preload_spacers
        wish = replace(
            wish,
            coil=coil if isinstance(coil, str) else wish.coil,
            preload_spacers=spacers if isinstance(spacers, int) else wish.preload_spacers,
        )
    return wish
