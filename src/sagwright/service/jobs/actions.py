"""What happens to a job after it was taken in: one function a use case, each adding one entry.

Every one takes the store, the job's id, what is said and its submission, and gives the job back as it is then; errors
as `recording.submit`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from typing import Any, Final

from sagwright.domain.evidence import YES
from sagwright.domain.records.entry import Entry, Submission
from sagwright.domain.records.job import JobState, JobView
from sagwright.domain.records.payloads import (
    Answered,
    Decided,
    FoundWrong,
    HandedOver,
    Noted,
    PassedOn,
    Payload,
    Prepared,
    Promised,
    Proved,
    Reading,
    Recorded,
    Resumed,
    Settled,
    Started,
    TurnedAway,
    Waits,
    Withdrawn,
    kind_name,
)
from sagwright.domain.records.rules import require_correction, require_nothing_waits, require_open_step
from sagwright.domain.records.stages import OPEN, Stage, WaitFor
from sagwright.domain.records.text import require_day, require_words
from sagwright.domain.step import Step
from sagwright.errors import InputError, MissingValue, NotNow, OutOfRange
from sagwright.formats.fields.tasks import read_task
from sagwright.formats.intake.facts import read_fact
from sagwright.planning.progress.recheck import break_step
from sagwright.service.bench.final_check import require_final_check
from sagwright.service.bench.state import AtTheStand, breaks, rested, standing
from sagwright.service.bench.steps import replanned, require_evidence, require_next
from sagwright.service.jobs.decision import Proposal, decided_payload, kit_of, require_decidable
from sagwright.service.jobs.intake import Arrival, NewBicycle, came_back, new_bicycle, take_in_unit
from sagwright.service.jobs.log import added, view_of
from sagwright.store.engine import Transaction
from sagwright.store.jobs import entry_by_id, lock
from sagwright.store.people import put_bicycle
from sagwright.store.workshop import Store


@dataclass(frozen=True, slots=True)
class Case:
    """An entry that somebody wants to add, and the job as it stands before it."""

    transaction: Transaction
    view: JobView
    entry: Entry

    @property
    def state(self) -> JobState:
        """Of the job."""
        return self.view.state

    @property
    def work(self) -> AtTheStand:
        """The job's work as it stands; raises NotThere where nothing is decided."""
        return standing(self.transaction, self.view)


@dataclass(frozen=True, slots=True)
class Action:
    """What adding one kind of entry asks for.

    Attributes
    ----------
    stages : frozenset of Stage
        Where it may be added.
    check : callable
        Raises an error if the entry may not be added to the job as it stands.
    replans : callable
        Whether the rest of the work is planned anew after it, by the state of the job before.
    while_waiting : bool
        Whether it may be added while the job waits for something.
    """

    stages: frozenset[Stage]
    check: Callable[[Case, Any], None]
    replans: Callable[[JobState], bool]
    while_waiting: bool = True


# What is checked, by kind of entry. Each raises if the entry may not be added.


def _nothing(_: Case, __: object) -> None:
    pass


def _settled(_: Case, what: Settled) -> None:
    for path, text in what.facts:
        if text.strip():
            read_fact(path, text)
    for task in what.tasks or ():
        read_task(task)


def _answered(_: Case, what: Answered) -> None:
    require_words(what.about, "about")
    require_words(what.who, "who")
    require_words(what.answer, "answer")
    require_day(what.when, "when")


def _decided(case: Case, what: Decided) -> None:
    require_decidable(case.transaction, case.state, what)


def _prepared(case: Case, what: Prepared) -> None:
    kit = kit_of(case.transaction, case.state)
    names = [line.key for line in kit]
    for one in what.ticked:
        if one not in names:
            remedy = f"There are: {', '.join(names)}."
            raise OutOfRange("must be a line of the kit", field="ticked", value=one, remedy=remedy)
    missing = [name for name in names if name not in what.ticked]
    if what.ready and missing:
        remedy = "Tick what lies ready; get the rest first."
        raise OutOfRange(f"not everything lies ready: {missing[0]}", field="ready", remedy=remedy)


def _step_done(case: Case, what: Recorded) -> None:
    require_open_step(case.state, what)
    require_next(case.work, what, case.entry)


def _found_wrong(case: Case, what: FoundWrong) -> None:
    if not what.what.strip():
        raise MissingValue("must be there", field="what", remedy="Choose from the list, or write what you see.")
    if what.step is not None and case.state.decision is not None and _step_of(case, what.step) is None:
        raise NotNow("The step it showed at is not among the work any more.", remedy="Say it again at the bench.")


def _step_of(case: Case, key: str) -> Step | None:
    """A step of the work, done or left; None too where what is recorded does not fit what was decided."""
    try:
        work = case.work
    except InputError:
        return None
    return next((one for one in (*work.steps, *work.done) if one.key == key), None)


def _waits(case: Case, what: Waits) -> None:
    require_words(what.what, "what")
    if what.tasks and standing(case.transaction, case.view, tried=what.tasks).impossible:
        remedy = "See what the plan says, and ask for something else."
        raise OutOfRange(
            "cannot be done together with what was wished", field="tasks", value=", ".join(what.tasks), remedy=remedy
        )


def _resumed(case: Case, what: Resumed) -> None:
    if case.state.waiting is None:
        raise NotNow("The job waits for nothing.", remedy="Open it again and go on.")
    require_day(what.when, "when", needed=False)
    if case.state.waiting.reason is WaitFor.OWNER:
        if not what.who.strip():
            raise MissingValue("must be there", field="who", remedy="Write who said so.")
        if what.yes is None:
            raise MissingValue("must be chosen", field="yes", remedy="Was it a yes or a no?")


def _proved(case: Case, what: Proved) -> None:
    require_final_check(case.work, what)


def _handed_over(_: Case, what: HandedOver) -> None:
    if not what.how.strip():
        raise MissingValue("must be there", field="how", remedy="Say who accepted, and how.")
    require_day(what.come_back or "", "come_back", needed=False)


def _turned_away(_: Case, what: TurnedAway) -> None:
    require_words(what.reason, "reason")


def _promised(_: Case, what: Promised) -> None:
    require_day(what.promised or "", "promised", needed=False)


def _noted(_: Case, what: Noted) -> None:
    if not what.text.strip() and not what.photos:
        raise InputError("must not be empty", field="text", remedy="Write it, or add a photo.")


# When the rest of the work is planned anew


def _never(_: JobState) -> bool:
    return False


def _once_decided(state: JobState) -> bool:
    return state.decision is not None and not state.closed


def _once_started(state: JobState) -> bool:
    return state.started and _once_decided(state)


ANY: Final = frozenset(Stage)
WHILE_OPEN: Final = frozenset(OPEN)
_AFTER_CHOICE: Final = WHILE_OPEN - {Stage.TAKE_IN}
_AFTER_DECISION: Final = _AFTER_CHOICE - {Stage.CHOOSE}
_AT_THE_BENCH: Final = _AFTER_DECISION - {Stage.PREPARE}
_AFTER_THE_WORK: Final = _AT_THE_BENCH - {Stage.BENCH}

ACTIONS: Final[dict[type, Action]] = {
    Settled: Action(WHILE_OPEN, _settled, _never),
    Answered: Action(WHILE_OPEN, _answered, _never),
    Decided: Action(_AFTER_CHOICE, _decided, _never),
    Prepared: Action(frozenset({Stage.PREPARE, Stage.BENCH}), _prepared, _never),
    Started: Action(_AFTER_DECISION, _nothing, _never, while_waiting=False),
    PassedOn: Action(WHILE_OPEN, _nothing, _never),
    Recorded: Action(_AT_THE_BENCH, _step_done, _once_decided, while_waiting=False),
    FoundWrong: Action(WHILE_OPEN, _found_wrong, _once_decided),
    Waits: Action(WHILE_OPEN, _waits, _never),
    Resumed: Action(WHILE_OPEN, _resumed, _once_started),
    Proved: Action(_AFTER_THE_WORK, _proved, _never, while_waiting=False),
    HandedOver: Action(frozenset({Stage.HAND_OVER}), _handed_over, _never, while_waiting=False),
    TurnedAway: Action(WHILE_OPEN, _turned_away, _never),
    Promised: Action(WHILE_OPEN, _promised, _never),
    Noted: Action(ANY, _noted, _never),
}
"""What may be added to a job that is there; a job begins by `take_in`."""


def require_now(store: Store, job: str, kind: type[Payload]) -> None:
    """The same of a job by its id; errors as `require_permitted`, and NotThere."""
    with store.reading() as transaction:
        require_permitted(view_of(transaction, job).state, kind)


def stages_for(kind: type) -> frozenset[Stage]:
    """Where one kind of entry may be added."""
    return ACTIONS[kind].stages


@dataclass(frozen=True, slots=True)
class Part:
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


def settle(store: Store, job: str, said: Submission, *, what: Settled, bicycle: NewBicycle | None = None) -> JobView:
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
            owner = view_of(transaction, job).state.owner
            put_bicycle(transaction, new_bicycle(bicycle, owner, said.id))
        return _added(transaction, job, Part(replace(what, bicycle=said.id)), said)


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
        return _added(transaction, known.job.card.id, Part(decided_payload(transaction, proposal)), seen)


def inspect(store: Store, job: str, said: Submission, *, step: Recorded, wrong: FoundWrong | None) -> JobView:
    """A step with what failed when it was inspected, in one act; where that ends the work, the step stays undone."""
    if wrong is None:
        return record(store, job, said, what=step)
    return record_together(store, job, said, (Part(wrong, "-found"), Part(step, unless_ended=True)))


def go_on_after_rest(store: Store, job: str, said: Submission) -> JobView:
    """Whoever says so takes the work up again after it rested; what is charged and tight is proven first.

    Raises
    ------
    NotNow
        If it did not rest.
    """
    with store.writing() as transaction:
        lock(transaction, job)
        before = view_of(transaction, job)
        if entry_by_id(transaction, said.id) is not None:
            return before
        if rested(before, said.at, said.by) is None:
            raise NotNow("The work did not rest.", remedy="Open the bench again and go on.")
        step = break_step(standing(transaction, before).sheet, breaks(before.state) + 1)
        tag = tuple(Reading(one.key, one.what, YES, passes=True) for one in step.records)
        added(transaction, job, Recorded(step.key, tag), said, check=_permitted)
        view = added(transaction, job, Started(), _after(said, "start"), check=_permitted)
        return _replanned(transaction, before, view, said)


def confirm_contradictions(store: Store, job: str, said: Submission, *, answer: str) -> JobView:
    """What was found inside and does not agree was counted and measured a second time, and is so: one answer each."""
    with store.reading() as transaction:
        work = standing(transaction, view_of(transaction, job))
    today = said.at.date().isoformat()
    parts = tuple(Part(Answered(one.code, said.by, today, answer), f"-{one.code}") for one in work.contradicted)
    return record_together(store, job, said, parts) if parts else work.view


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
    return record_together(store, job, said, (Part(what, corrects=corrects),))


def record_together(store: Store, job: str, said: Submission, parts: tuple[Part, ...]) -> JobView:
    """One act that comes to several entries: all of them are recorded, or none. Errors as `record`."""
    with store.writing() as transaction:
        lock(transaction, job)
        known = [one for one in parts if entry_by_id(transaction, said.id + one.suffix) is not None]
        view = view_of(transaction, job)
        expected = said.expected
        for part in known or parts:
            if part.unless_ended and standing(transaction, view).stops:
                continue
            view = _added(transaction, job, part, replace(said, id=said.id + part.suffix, expected=expected))
            expected = None
        return view


def _added(transaction: Transaction, job: str, part: Part, said: Submission) -> JobView:
    before = view_of(transaction, job)
    repeated = entry_by_id(transaction, said.id) is not None
    check = partial(_check, transaction)
    view = added(transaction, job, part.what, said, check=check, corrects=part.corrects)
    replans = _once_started if part.corrects is not None else ACTIONS[type(part.what)].replans
    if repeated or not (replans(view.state) and replans(before.state)):
        return view
    return _replanned(transaction, before, view, said)


def _replanned(transaction: Transaction, before: JobView, view: JobView, said: Submission) -> JobView:
    """The job with the rest of its work decided anew, where what was recorded since `before` changed it."""
    payload = replanned(transaction, _stood(transaction, before), standing(transaction, view))
    if payload is None:
        return view
    return added(transaction, view.card.id, payload, _after(said, "plan"), check=_permitted)


def _stood(transaction: Transaction, before: JobView) -> AtTheStand | None:
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
        _check_correction(case, entry.corrects)


def require_permitted(state: JobState, kind: type[Payload]) -> None:
    """Nothing, if the job's stage, and what it waits for, permit this kind of entry. A page asks this before it reads
    a form that only makes sense then.

    Raises
    ------
    NotNow
    """
    action = ACTIONS.get(kind)
    if action is None or state.stage not in action.stages:
        raise NotNow(
            f'An entry "{kind_name(kind)}" cannot be added: the job stands at "{state.stage}".',
            remedy="Open the job again and see where it stands.",
        )
    if not action.while_waiting:
        require_nothing_waits(state)


def _check_correction(case: Case, corrects: str) -> None:
    what = case.entry.payload
    require_correction(case.state, what, corrects)
    if isinstance(what, Withdrawn):
        require_words(what.reason, "reason")
    elif isinstance(what, Recorded):
        if case.state.decision is not None and (step := _step_of(case, what.step)) is not None:
            require_evidence(step, what)
    elif (check := CORRECTED.get(type(what))) is not None:
        check(case, what)


CORRECTED: Final[dict[type, Callable[[Case, Any], None]]] = {
    Settled: _settled,
    Answered: _answered,
    FoundWrong: _found_wrong,
    HandedOver: _handed_over,
    TurnedAway: _turned_away,
    Promised: _promised,
    Noted: _noted,
}
"""What is checked of an entry that stands in for another one: what it says, not when it is said."""


def _after(said: Submission, what: str) -> Submission:
    return Submission(f"{said.id}-{what}", said.by, said.at)


# Acts that come to more than one entry


def take_in(store: Store, arrival: Arrival, said: Submission, *, answers: tuple[Answered, ...] = ()) -> JobView:
    """A new job, with a new owner, bike, unit and visit where they are not known yet, and with what was answered
    already to what its findings ask; errors as `take_in_unit`."""
    with store.writing() as transaction:
        return _begun(transaction, arrival, said, answers)


def come_back(
    store: Store, job: str, arrival: Arrival, said: Submission, *, answers: tuple[Answered, ...] = ()
) -> JobView:
    """A new job on the unit of an earlier one, linked to it; unit, owner, bike and sheet are those of the earlier one.

    Raises
    ------
    NotNow
        If the earlier job is still open; the others as `take_in`.
    """
    with store.writing() as transaction:
        return _begun(transaction, came_back(transaction, job, arrival), said, answers)


def _begun(transaction: Transaction, arrival: Arrival, said: Submission, answers: tuple[Answered, ...]) -> JobView:
    view = take_in_unit(transaction, arrival, said)
    for number, one in enumerate(answers, 1):
        view = _added(transaction, view.card.id, Part(one), _after(said, f"answer-{number}"))
    return view
