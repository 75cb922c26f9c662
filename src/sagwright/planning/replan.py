"""What is left to do, from what was done and what was found when the unit was open.

A step that waits for a finding is a gate: a change whose value nobody knew, an inspection, a sighting. Once it is
answered, the rest is planned anew: from the settings that were really inside, with the parts that failed renewed, and
in an order near to the one that was begun. A finding that ends the work leaves no steps, but its reason.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from sagwright.domain.build import Build, CoilFitting, Setting, ShaftSetting, StackSetting, TopOutSetting
from sagwright.domain.item import Act, Caution, Part, Record, Signal, ThreadState, Verdict
from sagwright.domain.plan import Need, Step
from sagwright.domain.sheet import Sheet
from sagwright.domain.task import Ordering, Progress, Sequenced, Stop, TaskKind
from sagwright.domain.value import Quantity, Unknown, Value
from sagwright.errors import InputError, OutOfRange
from sagwright.planning.builds import most_volume_spacers
from sagwright.planning.change import changes_between
from sagwright.planning.kit import kit_of
from sagwright.planning.sequence import sequenced
from sagwright.planning.tasks import steps_for

AGAIN: Final = "again"
"""What marks a step that proves something a second time."""

LOOK_AGAIN: Final = Value(60.0)
"""Time to prove one torque or one charge again [s]; common practice, no source."""


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
        With the steps that are left; `done` holds the others, and `stops` whatever ends the work.

    Raises
    ------
    InputError
        If what was done or found does not belong to this work, or was done before something it needs.
    """
    stops = tuple(_stops(work, progress))
    found = _found(work.as_found, progress)
    target = _kept(work, found)
    steps = steps_for(work.sheet, found, target, tasks=work.tasks, opened=_opened(work, progress))
    by_key = {step.key: _with_failed(work.sheet, step, progress) for step in steps}
    done = _done(by_key, progress, {step.key for step in work.steps})
    left = tuple(step for key, step in by_key.items() if key not in progress.done)
    again = tuple(_again(done)) if progress.after_break and not stops else ()
    rest, sequence = sequenced(
        () if stops else (*again, *_after(again, left)),
        Ordering(
            work.sequence.tool_price if work.sequence else 30.0,
            work.sequence.position_price if work.sequence else 60.0,
            earlier=(*(step.key for step in again), *(step.key for step in work.steps)),
        ),
        last=None if progress.after_break or not done else done[-1],
    )
    needed = dict(work.needed_by)
    return replace(
        work,
        as_found=found,
        target=target,
        changes=changes_between(found, target),
        kit=kit_of(work.sheet, rest),
        steps=rest,
        needed_by=tuple((step.key, needed.get(step.key, work.tasks)) for step in rest),
        sequence=sequence,
        done=done,
        stops=stops,
    )


def _found(build: Build, progress: Progress) -> Build:
    """As found, with what was really inside."""
    for field, value in progress.found:
        seen = _as_seen(build, field, value)
        if seen is None:
            raise OutOfRange("must be a setting of this unit", value=field, field="found")
        build = seen
    return build


def _as_seen(build: Build, field: str, value: float | str) -> Build | None:
    """The build with one setting as it was seen; None where it has none of that name."""
    if build.fitting is not None and field in {"coil", "preload_spacers"}:
        return replace(build, fitting=_fitted(build.fitting, value))
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
    if isinstance(target.volume_spacers, Unknown):
        target = replace(target, volume_spacers=found.volume_spacers)
    if not any(task.kind is TaskKind.CHANGE_TRAVEL for task in work.tasks):
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


def _opened(work: Sequenced, progress: Progress) -> tuple[str, ...]:
    """Keys of the items that are off already, or were: they stay part of the work, whatever was found."""
    return tuple(step.item for step in work.steps if step.key in progress.done and step.act is Act.OFF)


def _done(steps: dict[str, Step], progress: Progress, planned: set[str]) -> tuple[Step, ...]:
    """The steps that were done, each after all it needs; without those that turned out not to be needed."""
    seen: set[str] = set()
    for key in progress.done:
        if key not in steps and key not in planned:
            raise OutOfRange("must be a step of this work", value=key, field="done")
        missing = [need for need in steps[key].needs if need.step not in seen] if key in steps else []
        if missing:
            rule = f"must come after {missing[0].step}, by the rule {missing[0].rule}"
            remedy = "If it was really done so, stop and make the unit safe before anything else."
            raise OutOfRange(rule, value=key, field="done", remedy=remedy)
        seen.add(key)
    return tuple(steps[key] for key in progress.done if key in steps)


# what was found wanting


def _stops(work: Sequenced, progress: Progress) -> Iterator[Stop]:
    """Everything found that ends the work."""
    for key in progress.failed:
        criterion = next((one for item in work.sheet.items for one in item.inspect if one.key == key), None)
        record = next((one for step in work.steps for one in step.records if one.key == key), None)
        if criterion is not None and criterion.verdict is not Verdict.RENEW:
            yield Stop(key, criterion.what, criterion.verdict)
        elif criterion is None and record is not None:
            yield Stop(key, record.what, None)
        elif criterion is None:
            raise OutOfRange("must be a criterion or a record of this work", value=key, field="failed")


def _with_failed(sheet: Sheet, step: Step, progress: Progress) -> Step:
    """The step that fits an item, with a new part for everything of it that failed."""
    if step.act is not Act.ON:
        return step
    failed = [
        one for one in sheet.item(step.item).inspect if one.key in progress.failed and one.verdict is Verdict.RENEW
    ]
    if failed and step.key in progress.done:
        rule = f"is fitted again already; take off {step.item} before it is renewed"
        raise InputError(rule, value=failed[0].key, field="failed")
    return replace(step, renew=(*step.renew, *(Part(one.key.replace("_", " ")) for one in failed)))


# after a break, a night or a change of person


def _again(done: tuple[Step, ...]) -> Iterator[Step]:
    """Whether it is charged, and every torque that was done, proven again before anything else."""
    air = [step for step in done if step.stage is not None or step.key.endswith("air_charge")]
    yield from (_air_again(step) for step in air[-1:])
    yield from (_torque_again(step) for step in done if step.act is Act.ON and step.torque is not None)


def _air_again(last: Step) -> Step:
    state = "charged" if last.stage is not None else "empty"
    return Step(
        key=f"{Act.MEASURE}:{AGAIN}:{last.item}",
        act=Act.MEASURE,
        item=last.item,
        name=last.name,
        do=(
            f"By what is written the unit is {state}. Do not believe it: read the pressure and write it down. If it is "
            "to be empty, hold the valve core open and see once more that it moves both ways over its whole travel and "
            "stays where it is put."
        ),
        position=last.position,
        minutes=LOOK_AGAIN,
        tools=last.tools,
        cautions=(
            Caution(Signal.WARNING, "Nobody can see whether a unit is charged. Stay out of line with its ends."),
        ),
        gate=True,
        records=(Record("pressure_again", "Gauge pressure before the work goes on.", Quantity.PRESSURE),),
    )


def _torque_again(done: Step) -> Step:
    cured = done.torque is not None and done.torque.state is ThreadState.COMPOUND
    do = (
        "Look at it only: seated, and no gap. A thread in compound is never tightened again; if in doubt take it out, "
        "clean both threads and begin anew."
        if cured
        else "Set the wrench to the torque shown and feel it come up to it; the fastener must not turn before it does."
    )
    return Step(
        key=f"{Act.MEASURE}:{AGAIN}:{done.item}",
        act=Act.MEASURE,
        item=done.item,
        name=done.name,
        do=do,
        position=done.position,
        minutes=LOOK_AGAIN,
        tools=() if cured else done.tools,
        torque=None if cured else done.torque,
        gate=True,
        records=(Record(f"holds_again_{done.item}", "It holds."),),
    )


def _after(again: tuple[Step, ...], left: tuple[Step, ...]) -> Iterator[Step]:
    needs = tuple(Need(step.key, "proven-again") for step in again)
    return (replace(step, needs=(*needs, *step.needs)) for step in left)
