"""What is left of a piece of work: the steps that were done, in order, and those that follow."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

from sagwright.domain.item import Act, Criterion, Part, Verdict
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Need, Step, WorkStop
from sagwright.domain.task import Ordering, Progress
from sagwright.domain.work import Work
from sagwright.errors import InputError, OutOfRange
from sagwright.planning.progress.recheck import RECHECK_RULE, break_step, rechecks, verdict_step
from sagwright.planning.progress.reopening import Reopened
from sagwright.planning.work.composition import Ordered
from sagwright.planning.work.scope import base_of
from sagwright.planning.work.sequence import sequenced, timed

BREAK: Final = str(Act.BREAK)

KEYS: Final = "Look the keys up in the plan or sequence as JSON."


@dataclass(frozen=True, slots=True)
class Begun:
    """Work that was begun, and how far it has come.

    Attributes
    ----------
    work : Work
        As it was planned, whatever of it is done.
    steps : tuple of Step
        As it stands by what was found, in no order.
    progress : Progress
    """

    work: Work
    steps: tuple[Step, ...]
    progress: Progress


def opened_items(work: Work, progress: Progress) -> tuple[str, ...]:
    """Keys of the items that are off already, or were: they stay part of the work, whatever was found."""
    return tuple(step.item for step in work.planned if step.key in progress.done and step.act is Act.OFF)


def remaining_work(begun: Begun) -> Ordered:
    """What was done and what is left of a piece of work, in its order; only the verdict where something ends it.

    Raises
    ------
    InputError
        If what was done or found does not belong to this work, or was done before something it needs.
    """
    progress = begun.progress
    by_key = {step.key: _with_failed(begun.work.sheet, step, progress) for step in begun.steps}
    stops = tuple(_stops(begun, by_key))
    done, again = _done(begun, by_key)
    if stops:
        ended = _with_findings(by_key, done, stops)
        steps, sequence = sequenced((verdict_step(begun.work.sheet, stops),))
        return Ordered(steps, sequence, ended, stops)
    left = Reopened(begun.work.sheet, by_key, progress.done).left()
    rests = bool(done) and done[-1].act is Act.BREAK
    steps, sequence = sequenced(
        (*again, *_after(again, left)),
        _near(begun, again),
        done=done,
        last=None if rests or not done else done[-1],
    )
    return Ordered(steps, sequence, done)


def _near(begun: Begun, again: tuple[Step, ...]) -> Ordering:
    """As the work was ordered, and near to that order."""
    earlier = (*(step.key for step in again), *(step.key for step in begun.work.planned))
    if begun.work.sequence is None:
        return Ordering(earlier=earlier)
    return Ordering(begun.work.sequence.tool_price, begun.work.sequence.position_price, earlier=earlier)


def _after(again: tuple[Step, ...], left: tuple[Step, ...]) -> Iterator[Step]:
    needs = tuple(Need(step.key, RECHECK_RULE) for step in again)
    return (replace(step, needs=(*needs, *step.needs)) for step in left)


# what was done


def _done(begun: Begun, by_key: Mapping[str, Step]) -> tuple[tuple[Step, ...], tuple[Step, ...]]:
    """The steps that were done, each after all it needs, and what must be checked again before any other.

    Steps that turned out not to be needed are left out.
    """
    planned = {step.key for step in begun.work.planned}
    done: list[Step] = []
    to_recheck: dict[str, Step] = {}
    breaks = 0
    for key in _with_break(begun.progress):
        if key.split(":")[0] == BREAK:
            breaks += 1
            to_recheck = {step.key: step for step in rechecks(begun.work.sheet, done, breaks)}
            done.append(break_step(begun.work.sheet, breaks))
        elif key in to_recheck:
            done.append(to_recheck.pop(key))
        elif to_recheck:
            raise _too_early(key, Need(next(iter(to_recheck)), RECHECK_RULE))
        elif (base := base_of(key, by_key)) in by_key:
            done.append(_in_order(replace(by_key[base], key=key), done, planned))
        elif base_of(key, planned) not in planned:
            raise OutOfRange("must be a step of this work", value=key, field="done", remedy=KEYS)
    return timed(done), tuple(to_recheck.values())


def _with_break(progress: Progress) -> tuple[str, ...]:
    return (*progress.done, BREAK) if progress.after_break else progress.done


def _in_order(step: Step, done: list[Step], planned: set[str]) -> Step:
    """The step; what it needs of an extra that was found later is not asked of it."""
    seen = {one.key for one in done}
    missing = [need for need in step.needs if need.step in planned and need.step not in seen]
    if missing:
        raise _too_early(step.key, missing[0])
    return step


def _too_early(key: str, need: Need) -> OutOfRange:
    remedy = "If it was really done so, stop and make the unit safe before anything else."
    return OutOfRange(f"must come after {need.step}, by the rule {need.rule}", value=key, field="done", remedy=remedy)


# what was found wanting


def _stops(begun: Begun, by_key: Mapping[str, Step]) -> Iterator[WorkStop]:
    """Everything found that ends the work."""
    records = {one.key: one for step in (*begun.work.planned, *by_key.values()) for one in step.records}
    for key in begun.progress.failed:
        criterion = _criterion(begun.work.sheet, key)
        if criterion is not None and criterion.verdict is not Verdict.RENEW:
            yield WorkStop(key, criterion.what, criterion.verdict)
        elif criterion is None and key in records:
            yield WorkStop(key, records[key].what, None)
        elif criterion is None:
            raise OutOfRange("must be a criterion or a record of this work", value=key, field="failed", remedy=KEYS)


def _criterion(sheet: Sheet, key: str) -> Criterion | None:
    return next((one for item in sheet.items for one in item.inspect if one.key == key), None)


def _with_failed(sheet: Sheet, step: Step, progress: Progress) -> Step:
    """The step that inspects an item with what failed, and the one that fits it with a new part for that."""
    criteria = sheet.item(step.item).inspect
    failed = [one for one in criteria if one.key in progress.failed and one.verdict is Verdict.RENEW]
    if not failed or step.act not in (Act.INSPECT, Act.ON):
        return step
    if step.act is Act.INSPECT:
        return replace(step, failed=tuple(one.key for one in failed)) if step.key in progress.done else step
    if step.key in progress.done:
        rule = f"is fitted again already; take off {step.item} before it is renewed"
        raise InputError(rule, value=failed[0].key, field="failed")
    return replace(step, renew=(*step.renew, *(Part(one.key.replace("_", " ")) for one in failed)))


def _with_findings(by_key: Mapping[str, Step], done: tuple[Step, ...], stops: tuple[WorkStop, ...]) -> tuple[Step, ...]:
    """What was done, the step that found what ends the work last.

    Raises
    ------
    OutOfRange
        If nothing was done that could have found it.
    """
    keys = {stop.key for stop in stops}
    last = [step for step in by_key.values() if keys & _seen_in(step)]
    seen = {step.key for step in done}
    begun = next((s for s in last if s.key not in seen and seen.issuperset(n.step for n in s.needs)), None)
    executed = done if begun is None else timed((*done, begun))
    executed = tuple(step for step in executed if step.act is not Act.BREAK or step is not executed[-1])
    if not executed:
        rule = "must be found by a step that was done"
        raise OutOfRange(rule, value=stops[0].key, field="failed", remedy="Say first which steps were done.")
    return (*executed[:-1], replace(executed[-1], failed=tuple(stop.key for stop in stops)))


def _seen_in(step: Step) -> set[str]:
    """Keys of what a step looks at or writes down."""
    return {one.key for one in step.records} | {one.key for one in step.inspect}
