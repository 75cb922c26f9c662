"""What is recorded about a job, and nothing is recorded past it: one function and one transaction an act.

Every one takes the store, the job's id and its submission, and gives the job as it is then. What may be recorded at
which stage, and after which check, stands in `action_rules`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial

from sagwright.domain.records.entry import Entry, Submission
from sagwright.domain.records.evidence import YES
from sagwright.domain.records.job import JobView
from sagwright.domain.records.payloads import (
    Answered,
    IntakeUpdated,
    Payload,
    ProblemFound,
    Reading,
    Started,
    StepDone,
)
from sagwright.errors import InputError, NotNow
from sagwright.planning.progress.recheck import break_step
from sagwright.service.bench.state import BenchState, breaks, rested, standing
from sagwright.service.bench.steps import replanned
from sagwright.service.jobs.action_rules import ACTIONS, Case, check_correction, once_started, require_permitted
from sagwright.service.jobs.decision import Proposal, decided_payload
from sagwright.service.jobs.intake import Arrival, NewBicycle, came_back, check_in_unit, new_bicycle
from sagwright.service.log import added, view_locked, view_of
from sagwright.store.engine import Transaction
from sagwright.store.jobs import entry_by_id, lock
from sagwright.store.people import put_bicycle
from sagwright.store.workshop import Store


def require_now(store: Store, job: str, kind: type[Payload]) -> None:
    """Refuse a kind of entry that a job, by its id, does not permit; errors as `require_permitted`, and NotThere."""
    with store.reading() as transaction:
        require_permitted(view_of(transaction, job).state, kind)


@dataclass(frozen=True, slots=True)
class EntryPart:
    """One entry of an act that comes to several.

    Attributes
    ----------
    what : Payload
    suffix : str
        What its id has behind that of the submission; one part has none.
    corrects : str or None
        The id of the entry that it stands in for.
    unless_ended : bool
        Whether it is left out where the parts before ended the work.
    """

    what: Payload
    suffix: str = ""
    corrects: str | None = None
    unless_ended: bool = False


def update_intake(
    store: Store, job: str, said: Submission, *, what: IntakeUpdated, bicycle: NewBicycle | None = None
) -> JobView:
    """What was unknown is known, or what is wished has changed; `bicycle` is the bike from now on.

    Raises
    ------
    InputError, InputErrors
        If the bike has no name, or its text is not bike/1; the others as `record`.
    """
    if bicycle is None:
        return record(store, job, said, what=what)
    with store.writing() as transaction:
        lock(transaction, job)
        if entry_by_id(transaction, said.id) is None:
            customer = view_of(transaction, job).state.customer
            put_bicycle(transaction, new_bicycle(bicycle, customer, said.id))
        return _added(transaction, view_locked(transaction, job), EntryPart(replace(what, bicycle=said.id)), said)


def decide(store: Store, proposal: Proposal, said: Submission) -> JobView:
    """A job with what was proposed decided on, and all it was computed from kept as it was.

    Raises
    ------
    NotNow
        If what was wished is refused, a finding still asks for an answer, or the job's stage does not permit it.
    Conflict
        If the job has gone on since the proposal was made.
    """
    known = proposal.known
    seen = said if said.expected is not None else replace(said, expected=known.job.state.entries)
    with store.writing() as transaction:
        view = view_locked(transaction, known.job.card.id)
        return _added(transaction, view, EntryPart(decided_payload(transaction, proposal)), seen)


def inspect(store: Store, job: str, said: Submission, *, step: StepDone, wrong: ProblemFound | None) -> JobView:
    """A step with what failed when it was inspected, in one act; where that ends the work, the step stays undone."""
    if wrong is None:
        return record(store, job, said, what=step)
    return record_together(store, job, said, (EntryPart(wrong, "-found"), EntryPart(step, unless_ended=True)))


def resume_after_break(store: Store, job: str, said: Submission) -> JobView:
    """Whoever says so takes the work up again after it rested; what is charged and tight is checked first.

    Raises
    ------
    NotNow
        If it did not rest.
    """
    with store.writing() as transaction:
        before = view_locked(transaction, job)
        if entry_by_id(transaction, said.id) is not None:
            return before
        if rested(before, said.at, said.by) is None:
            raise NotNow("The work did not rest.", remedy="Open the bench again and continue.")
        step = break_step(standing(transaction, before).sheet, breaks(before.state) + 1)
        tag = tuple(Reading(one.key, one.what, YES, within_limits=True) for one in step.records)
        hung = added(transaction, before, StepDone(step.key, tag), said, check=_permitted)
        view = added(transaction, hung, Started(), _after(said, "start"), check=_permitted)
        return _replanned(transaction, before, view, said)


def confirm_contradictions(store: Store, job: str, said: Submission, *, answer: str) -> JobView:
    """What was found inside and does not agree was counted and measured a second time, and is so: one answer each."""
    with store.reading() as transaction:
        work = standing(transaction, view_of(transaction, job))
    today = said.at.date().isoformat()
    parts = tuple(EntryPart(Answered(one.code, said.by, today, answer), f"-{one.code}") for one in work.contradicted)
    return record_together(store, job, said, parts) if parts else work.view


def with_extras(store: Store, job: str, tasks: tuple[str, ...]) -> BenchState:
    """A job's work as it would stand if the customer said yes to extras; nothing is recorded.

    Raises
    ------
    InputError
        If one cannot be asked of the unit as it stands: each with its kind as `field` and a remedy.
    NotThere
        If nothing is decided yet.
    """
    with store.reading() as transaction:
        return standing(transaction, view_of(transaction, job), tried=tasks)


def record(store: Store, job: str, said: Submission, *, what: Payload, corrects: str | None = None) -> JobView:
    """A job with one entry more, and the rest of its work planned anew where that changes it.

    Parameters
    ----------
    store : Store
    job : str
        Id of the job.
    said : Submission
    what : Payload
        What the entry says.
    corrects : str, optional
        Id of an entry of the same job and kind that this one stands in for.

    Raises
    ------
    InputError, InputErrors
        If something is missing, cannot be kept, or is outside its limits, each with its `field`.
    NotThere
        If there is no such job, entry or photo, or nothing is decided yet.
    NotNow
        If the job's stage, what it waits for, what comes before, or a rest speaks against it.
    Conflict
        If the job has gone on since it was looked at, or the id has been used for something else.
    StoreFailed
        If it could not be written.
    """
    return record_together(store, job, said, (EntryPart(what, corrects=corrects),))


def record_together(store: Store, job: str, said: Submission, parts: tuple[EntryPart, ...]) -> JobView:
    """One act that comes to several entries: all of them are recorded, or none. Errors as `record`."""
    with store.writing() as transaction:
        view = view_locked(transaction, job)
        known = [one for one in parts if entry_by_id(transaction, said.id + one.suffix) is not None]
        expected = said.expected
        for part in known or parts:
            if part.unless_ended and standing(transaction, view).stops:
                continue
            view = _added(transaction, view, part, replace(said, id=said.id + part.suffix, expected=expected))
            expected = None
        return view


def _added(transaction: Transaction, before: JobView, part: EntryPart, said: Submission) -> JobView:
    repeated = entry_by_id(transaction, said.id) is not None
    check = partial(_check, transaction)
    view = added(transaction, before, part.what, said, check=check, corrects=part.corrects)
    replans = once_started if part.corrects is not None else ACTIONS[type(part.what)].replans
    if repeated or not (replans(view.state) and replans(before.state)):
        return view
    return _replanned(transaction, before, view, said)


def _replanned(transaction: Transaction, before: JobView, view: JobView, said: Submission) -> JobView:
    """The job with the rest of its work decided anew, where what was recorded since `before` changed it."""
    payload = replanned(transaction, _stood(transaction, before), standing(transaction, view))
    if payload is None:
        return view
    return added(transaction, view, payload, _after(said, "plan"), check=_permitted)


def _stood(transaction: Transaction, before: JobView) -> BenchState | None:
    """The work before an entry was added; None where what was recorded did not fit what was decided."""
    try:
        return standing(transaction, before)
    except InputError:
        return None


def _permitted(view: JobView, entry: Entry) -> None:
    """What the program itself adds is held against the job's stage alone."""
    require_permitted(view.state, type(entry.payload))


def _check(transaction: Transaction, view: JobView, entry: Entry) -> None:
    """Nothing, if an entry may be added to a job."""
    case = Case(transaction, view, entry)
    if entry.corrects is None:
        require_permitted(view.state, type(entry.payload))
        ACTIONS[type(entry.payload)].check(case, entry.payload)
    else:
        check_correction(case, entry.corrects)


def _after(said: Submission, what: str) -> Submission:
    return Submission(f"{said.id}-{what}", said.by, said.at)


# Acts that come to more than one entry


def check_in(store: Store, arrival: Arrival, said: Submission, *, answers: tuple[Answered, ...] = ()) -> JobView:
    """A new job, with a new customer, bike, unit and visit where they are not known yet, and with what was answered
    already to what its findings ask; errors as `check_in_unit`."""
    with store.writing() as transaction:
        return _begun(transaction, arrival, said, answers)


def check_in_comeback(
    store: Store, job: str, arrival: Arrival, said: Submission, *, answers: tuple[Answered, ...] = ()
) -> JobView:
    """A new job on the unit of an earlier one, linked to it; unit, customer, bike and sheet are those of the earlier
    one.

    Raises
    ------
    NotNow
        If the earlier job is still open; the others as `check_in`.
    """
    with store.writing() as transaction:
        return _begun(transaction, came_back(transaction, job, arrival), said, answers)


def _begun(transaction: Transaction, arrival: Arrival, said: Submission, answers: tuple[Answered, ...]) -> JobView:
    view = check_in_unit(transaction, arrival, said)
    for number, one in enumerate(answers, 1):
        view = _added(transaction, view, EntryPart(one), _after(said, f"answer-{number}"))
    return view
