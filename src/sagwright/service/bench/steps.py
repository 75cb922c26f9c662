"""Steps done and things found at the stand: each checked against the work as it stands, and the rest planned anew."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from sagwright.domain.item import Record
from sagwright.domain.plan import Plan
from sagwright.domain.records.entry import Submission
from sagwright.domain.records.job import JobView
from sagwright.domain.records.payloads import Decided, FoundWrong, Payload, Reading, Recorded, Resumed, Started, Waits
from sagwright.domain.records.text import require_words
from sagwright.domain.step import Step
from sagwright.errors import InputErrors, MissingValue, NotNow, OutOfRange
from sagwright.formats.output.plan import plan_to_json
from sagwright.formats.output.work import steps_to_json
from sagwright.planning.progress.recheck import break_step
from sagwright.service.bench.progress import FOUND, INSIDE, NO, YES
from sagwright.service.bench.state import AtTheStand, breaks, rested, same_steps, standing
from sagwright.service.jobs.log import recorded, require_sayable, view_of
from sagwright.store.documents import keep_document
from sagwright.store.engine import Transaction
from sagwright.store.jobs import entry_by_id, lock
from sagwright.store.workshop import Store

CLOSE: Final = 1e-9


def do_step(store: Store, job: str, said: Submission, *, what: Recorded) -> JobView:
    """A step was done, with what it asks to write down; the rest is planned anew where that changes it.

    Raises
    ------
    InputErrors
        If a gate lacks a reading, or one is outside its limits: everything, each with the record's key as `field`.
    NotNow
        If it is not the step to do, something it needs is not done, or the work rested and nothing is proven yet.
    """
    return _told(store, job, said, what)


def find_wrong(store: Store, job: str, said: Submission, *, what: FoundWrong) -> JobView:
    """Something is not as planned; the rest is planned anew, or ended.

    Raises
    ------
    InputError
        If it says nothing, or what was found cannot be put into this work.
    """
    if not what.what.strip():
        raise MissingValue("must be there", field="what", remedy="Choose from the list, or write what you see.")
    return _told(store, job, said, what)


def inspect(store: Store, job: str, said: Submission, *, step: Recorded, wrong: FoundWrong | None) -> JobView:
    """An inspection with what failed in it, in one act; where that ends the work, the step stays undone."""
    if wrong is None:
        return do_step(store, job, said, what=step)
    view = _told(store, job, replace(said, id=f"{said.id}-found"), wrong)
    with store.reading() as transaction:
        if standing(transaction, view).stops:
            return view
    return _told(store, job, replace(said, expected=None), step)


def _told(store: Store, job: str, said: Submission, what: Recorded | FoundWrong) -> JobView:
    require_sayable(what, said)
    with store.writing() as transaction:
        lock(transaction, job)
        if entry_by_id(transaction, said.id) is None:
            before = standing(transaction, view_of(transaction, job))
            if isinstance(what, Recorded):
                _require(before, what, said)
            return _replanned(transaction, recorded(transaction, job, what, said), said)
        return recorded(transaction, job, what, said)


def _require(work: AtTheStand, what: Recorded, said: Submission) -> None:
    if rested(work.view, said.at, said.by) is not None:
        raise NotNow(
            "The work rested, or was in other hands: whether it is charged and which torques are done is proven first.",
            remedy="Open the bench again and go on there.",
        )
    if work.contradicted:
        raise NotNow(
            "What was found inside cannot stand beside what else is known of the unit.",
            remedy="Count and measure again: correct the entry, or say at the bench that it is so.",
        )
    step = next((one for one in work.steps if one.key == what.step), None)
    if step is None:
        done = what.step in work.view.state.done
        said_already = "was recorded already" if done else "is not a step that is left"
        raise NotNow(f"The step {what.step} {said_already}.", remedy="Open the bench again and see what is next.")
    missing = [need.step for need in step.needs if need.step not in {one.key for one in work.done}]
    if missing:
        raise NotNow(
            f"The step {what.step} comes after {missing[0]}.", remedy="Open the bench again, and do that first."
        )
    require_evidence(step, what)


def require_evidence(step: Step, what: Recorded) -> None:
    """Nothing, if what a gate asks is written down and within its limits.

    Raises
    ------
    InputErrors
    """
    given = {one.key: one for one in what.readings}
    faults = [
        fault
        for record in step.records
        if (fault := evidence_fault(record, given.get(record.key), needed=step.gate)) is not None
    ]
    faults += [
        MissingValue("must be looked at", field=one.key, remedy="Say whether it is good.")
        for one in step.inspect
        if one.key not in given
    ]
    if faults:
        raise InputErrors(tuple(faults))


def evidence_fault(record: Record, reading: Reading | None, *, needed: bool) -> MissingValue | OutOfRange | None:
    """What is wrong with the evidence for one record; None if it passes."""
    if reading is None or not reading.said.strip():
        return MissingValue("must be read", field=record.key, remedy="Read it and write it down.") if needed else None
    if record.quantity is None:
        return None if not needed or seen(record, reading.said) else _unseen(record, reading.said)
    if reading.value is None:
        return MissingValue("must be a number", field=record.key, remedy="Read it and write it down.")
    if record.key.startswith(FOUND) or within(record, reading.value):
        return None
    remedy = "Read it again. If it stays, say so under: something is wrong."
    return OutOfRange("is outside its limits", field=record.key, value=reading.said, remedy=remedy)


def _unseen(record: Record, said: str) -> OutOfRange:
    if said.strip().lower() == NO:
        return OutOfRange("does not pass", field=record.key, value=NO, remedy="Say so under: something is wrong.")
    remedy = "Choose yes or no; words stand beside it. If it is not so, say so under: something is wrong."
    return OutOfRange("must be answered by a yes", field=record.key, value=said, remedy=remedy)


def seen(record: Record, said: str) -> bool:
    """Whether what was said of a sighting says that it is so; where words are asked, any words do."""
    text = said.strip().lower()
    told = record.in_words or record.key.startswith(FOUND)
    return bool(text) if told else text == YES or text.startswith(f"{YES}:")


def within(record: Record, value: float) -> bool:
    """Whether a reading keeps a record's limits."""
    slack = CLOSE * max(1.0, abs(value))
    return (record.low is None or value >= record.low - slack) and (record.high is None or value <= record.high + slack)


def _replanned(transaction: Transaction, view: JobView, said: Submission) -> JobView:
    """The job with the rest of its work decided anew, where what was recorded changed it."""
    work = standing(transaction, view)
    if same_steps(work) or (work.impossible and not work.done):
        return view
    plan = work.work
    shape, text = ("plan/1", plan_to_json(plan)) if isinstance(plan, Plan) else ("steps/1", steps_to_json(plan))
    return recorded(transaction, view.card.id, _decided(transaction, work, shape, text), _after(said, "plan"))


def _decided(transaction: Transaction, work: AtTheStand, shape: str, text: str) -> Decided:
    before = work.view.state.decision
    if before is None:
        raise NotNow("Nothing is decided yet.", remedy="Choose first.")
    return replace(
        before,
        work=keep_document(transaction, shape, text),
        work_shape=shape,
        program=work.work.program,
        steps=tuple(step.key for step in work.steps),
        facts=_facts(work),
    )


def _facts(work: AtTheStand) -> tuple[tuple[str, str], ...]:
    """What was found inside, as it is said of a unit as found."""
    if not isinstance(work.work, Plan):
        return ()
    return tuple(
        (f"as_found.{name}", _said_inside(name, value)) for name, value in work.progress.found if name in INSIDE
    )


def _said_inside(name: str, value: float | str) -> str:
    """One setting as it is typed in an intake."""
    if isinstance(value, str):
        return value
    return f"{value * 1e3:g} mm" if name == "shaft_travel" else f"{value:g}"


def _after(said: Submission, what: str) -> Submission:
    return Submission(f"{said.id}-{what}", said.by, said.at)


def go_on_after_rest(store: Store, job: str, said: Submission) -> JobView:
    """Whoever says so takes the work up again after it rested; what is charged and tight is proven first.

    Raises
    ------
    NotNow
        If it did not rest.
    """
    with store.writing() as transaction:
        lock(transaction, job)
        view = view_of(transaction, job)
        if entry_by_id(transaction, said.id) is not None:
            return view
        if rested(view, said.at, said.by) is None:
            raise NotNow("The work did not rest.", remedy="Open the bench again and go on.")
        number = breaks(view.state) + 1
        step = break_step(standing(transaction, view).sheet, number)
        tag = tuple(Reading(one.key, one.what, YES, passes=True) for one in step.records)
        recorded(transaction, job, Recorded(step.key, tag), said)
        view = recorded(transaction, job, Started(), _after(said, "start"))
        return _replanned(transaction, view, said)


def with_extras(store: Store, job: str, tasks: tuple[str, ...]) -> AtTheStand:
    """A job's work as it would stand if the owner said yes to extras; nothing is recorded.

    Raises
    ------
    InputError
        If one cannot be asked of the unit as it stands: each with its kind as `field` and a remedy.
    NotThere
        If nothing is decided yet.
    """
    with store.reading() as transaction:
        return standing(transaction, view_of(transaction, job), tried=tasks)


def ask_owner(store: Store, job: str, said: Submission, *, what: Waits) -> JobView:
    """The work waits; the extras it asks about can be done, or are refused before anyone is asked.

    Raises
    ------
    InputError
        As `with_extras`.
    """
    require_words(what.what, "what")
    require_sayable(what, said)
    with store.writing() as transaction:
        lock(transaction, job)
        view = view_of(transaction, job)
        if what.tasks and entry_by_id(transaction, said.id) is None:
            _require_possible(standing(transaction, view, tried=what.tasks), what)
        return recorded(transaction, job, what, said)


def _require_possible(work: AtTheStand, what: Waits) -> None:
    if work.impossible:
        remedy = "See what the plan says, and ask for something else."
        raise OutOfRange(
            "cannot be done together with what was wished", field="tasks", value=", ".join(what.tasks), remedy=remedy
        )


def answered(store: Store, job: str, said: Submission, *, what: Resumed) -> JobView:
    """What was waited for is here; a yes to extras makes them tasks, and a no leaves the work without them. The rest is
    planned anew where that changes it."""
    require_sayable(what, said)
    with store.writing() as transaction:
        lock(transaction, job)
        known = entry_by_id(transaction, said.id) is not None
        view = recorded(transaction, job, what, said)
        at_work = view.state.started and not view.state.closed and view.state.decision is not None
        return _replanned(transaction, view, said) if at_work and not known else view


def correct_step(store: Store, job: str, said: Submission, *, entry: str, what: Payload) -> JobView:
    """An entry that stands in for an earlier one, or withdraws it; the rest is planned anew where that changes it.

    Raises
    ------
    InputError
        If what is left then does not fit: a step done before one that it needs.
    """
    require_sayable(what, said)
    with store.writing() as transaction:
        lock(transaction, job)
        known = entry_by_id(transaction, said.id) is not None
        view = recorded(transaction, job, what, said, corrects=entry)
        at_work = view.state.started and not view.state.closed and view.state.decision is not None
        return _replanned(transaction, view, said) if at_work and not known else view


def reading_of(record: Record, said: str, value: float | None) -> Reading:
    """A reading of what a step asks for, held against its limits."""
    passes = None
    if record.quantity is None:
        passes = seen(record, said) if said.strip() else None
    elif value is not None and (record.low is not None or record.high is not None):
        passes = within(record, value)
    return Reading(record.key, record.what, said, record.quantity, value, passes=passes)


def as_planned(record: Record) -> float | None:
    """What a reading would be if all is as planned: the middle of its limits; None where the plan does not say."""
    if record.quantity is None or record.low is None or record.high is None:
        return None
    return 0.5 * (record.low + record.high)
