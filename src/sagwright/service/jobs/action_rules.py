"""What may be recorded about a job: by kind of entry the stages, the check, and whether the work is planned anew.

Each check raises an error with the `field` that is at fault if the entry may not be added to the job as it stands.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final

from sagwright.domain.records import payloads
from sagwright.domain.records.entry import Entry
from sagwright.domain.records.job import JobState, JobView
from sagwright.domain.records.rules import require_correction, require_nothing_waits, require_open_step
from sagwright.domain.records.stages import OPEN, HoldReason, Stage
from sagwright.domain.records.text import require_day, require_words
from sagwright.domain.step import Step
from sagwright.errors import InputError, MissingValue, NotNow, OutOfRange
from sagwright.formats.fields.tasks import read_task
from sagwright.formats.intake.facts import read_fact
from sagwright.service.bench.final_check import require_final_check
from sagwright.service.bench.state import BenchState, standing
from sagwright.service.bench.steps import require_evidence, require_next
from sagwright.service.jobs.decision import require_decidable, tools_and_parts_of
from sagwright.store.engine import Transaction


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
    def work(self) -> BenchState:
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


def _settled(_: Case, what: payloads.IntakeUpdated) -> None:
    for path, text in what.facts:
        if text.strip():
            read_fact(path, text)
    for task in what.tasks or ():
        read_task(task)


def _answered(_: Case, what: payloads.Answered) -> None:
    require_words(what.about, "about")
    require_words(what.who, "who")
    require_words(what.answer, "answer")
    require_day(what.when, "when")


def _decided(case: Case, what: payloads.Decided) -> None:
    require_decidable(case.transaction, case.state, what)


def _prepared(case: Case, what: payloads.Prepared) -> None:
    tools_and_parts = tools_and_parts_of(case.transaction, case.state)
    names = [line.key for line in tools_and_parts]
    for one in what.ticked:
        if one not in names:
            remedy = f"There are: {', '.join(names)}."
            raise OutOfRange("must be a line of tools and parts", field="ticked", value=one, remedy=remedy)
    missing = [name for name in names if name not in what.ticked]
    if what.ready and missing:
        remedy = "Tick what lies ready; get the rest first."
        raise OutOfRange(f"not everything lies ready: {missing[0]}", field="ready", remedy=remedy)


def _step_done(case: Case, what: payloads.StepDone) -> None:
    require_open_step(case.state, what)
    require_next(case.work, what, case.entry)


def _found_wrong(case: Case, what: payloads.ProblemFound) -> None:
    if not what.what.strip():
        raise MissingValue("must be given", field="what", remedy="Choose from the list, or write what you see.")
    if what.step is not None and case.state.decision is not None and step_of(case, what.step) is None:
        raise NotNow("The step it showed at is not among the work any more.", remedy="Say it again at the bench.")


def step_of(case: Case, key: str) -> Step | None:
    """A step of the work, done or left; None too where what is recorded does not fit what was decided."""
    try:
        work = case.work
    except InputError:
        return None
    return next((one for one in (*work.steps, *work.done) if one.key == key), None)


def _waits(case: Case, what: payloads.PutOnHold) -> None:
    require_words(what.what, "what")
    if what.tasks and standing(case.transaction, case.view, tried=what.tasks).impossible:
        remedy = "See what the plan says, and ask for something else."
        raise OutOfRange(
            "cannot be done together with what was wished", field="tasks", value=", ".join(what.tasks), remedy=remedy
        )


def _resumed(case: Case, what: payloads.Resumed) -> None:
    if case.state.on_hold is None:
        raise NotNow("The job waits for nothing.", remedy="Open it again and go on.")
    require_day(what.when, "when", needed=False)
    if case.state.on_hold.reason is HoldReason.CUSTOMER:
        if not what.who.strip():
            raise MissingValue("must be given", field="who", remedy="Write who said so.")
        if what.yes is None:
            raise MissingValue("must be chosen", field="yes", remedy="Was it a yes or a no?")


def _proved(case: Case, what: payloads.FinalChecked) -> None:
    require_final_check(case.work, what)


def _handed_over(_: Case, what: payloads.HandedOver) -> None:
    if not what.how.strip():
        raise MissingValue("must be given", field="how", remedy="Say who accepted, and how.")
    require_day(what.come_back or "", "come_back", needed=False)


def _turned_away(_: Case, what: payloads.WorkRefused) -> None:
    require_words(what.reason, "reason")


def _due(_: Case, what: payloads.DueDateSet) -> None:
    require_day(what.due or "", "due", needed=False)


def _noted(_: Case, what: payloads.Noted) -> None:
    if not what.text.strip() and not what.photos:
        raise InputError("must not be empty", field="text", remedy="Write it, or add a photo.")


# When the rest of the work is planned anew


def _never(_: JobState) -> bool:
    return False


def _once_decided(state: JobState) -> bool:
    return state.decision is not None and not state.closed


def once_started(state: JobState) -> bool:
    return state.started and _once_decided(state)


ANY: Final = frozenset(Stage)
WHILE_OPEN: Final = frozenset(OPEN)
_AFTER_CHOICE: Final = WHILE_OPEN - {Stage.CHECK_IN}
_AFTER_DECISION: Final = _AFTER_CHOICE - {Stage.PLAN}
_AT_THE_BENCH: Final = _AFTER_DECISION - {Stage.PREPARE}
_AFTER_THE_WORK: Final = _AT_THE_BENCH - {Stage.BENCH}

ACTIONS: Final[dict[type, Action]] = {
    payloads.IntakeUpdated: Action(WHILE_OPEN, _settled, _never),
    payloads.Answered: Action(WHILE_OPEN, _answered, _never),
    payloads.Decided: Action(_AFTER_CHOICE, _decided, _never),
    payloads.Prepared: Action(frozenset({Stage.PREPARE, Stage.BENCH}), _prepared, _never),
    payloads.Started: Action(_AFTER_DECISION, _nothing, _never, while_waiting=False),
    payloads.PassedOn: Action(WHILE_OPEN, _nothing, _never),
    payloads.StepDone: Action(_AT_THE_BENCH, _step_done, _once_decided, while_waiting=False),
    payloads.ProblemFound: Action(WHILE_OPEN, _found_wrong, _once_decided),
    payloads.PutOnHold: Action(WHILE_OPEN, _waits, _never),
    payloads.Resumed: Action(WHILE_OPEN, _resumed, once_started),
    payloads.FinalChecked: Action(_AFTER_THE_WORK, _proved, _never, while_waiting=False),
    payloads.HandedOver: Action(frozenset({Stage.HAND_OVER}), _handed_over, _never, while_waiting=False),
    payloads.WorkRefused: Action(WHILE_OPEN, _turned_away, _never),
    payloads.DueDateSet: Action(WHILE_OPEN, _due, _never),
    payloads.Noted: Action(ANY, _noted, _never),
}
"""What may be added to a job that is there; a job begins by `take_in`."""


def stages_for(kind: type) -> frozenset[Stage]:
    """Where one kind of entry may be added."""
    return ACTIONS[kind].stages


def require_permitted(state: JobState, kind: type[payloads.Payload]) -> None:
    """Nothing, if the job's stage, and what it waits for, permit this kind of entry. A page asks this before it reads
    a form that only makes sense then.

    Raises
    ------
    NotNow
    """
    action = ACTIONS.get(kind)
    if action is None or state.stage not in action.stages:
        raise NotNow(
            f'An entry "{payloads.kind_name(kind)}" cannot be added: the job stands at "{state.stage}".',
            remedy="Open the job again and see where it stands.",
        )
    if not action.while_waiting:
        require_nothing_waits(state)


def check_correction(case: Case, corrects: str) -> None:
    """Nothing, if the entry may stand in for the one with the id `corrects`; errors as the checks."""
    what = case.entry.payload
    require_correction(case.state, what, corrects)
    if isinstance(what, payloads.Withdrawn):
        require_words(what.reason, "reason")
    elif isinstance(what, payloads.StepDone):
        if case.state.decision is not None and (step := step_of(case, what.step)) is not None:
            require_evidence(step, what)
    elif (check := CORRECTED.get(type(what))) is not None:
        check(case, what)


CORRECTED: Final[dict[type, Callable[[Case, Any], None]]] = {
    payloads.IntakeUpdated: _settled,
    payloads.Answered: _answered,
    payloads.ProblemFound: _found_wrong,
    payloads.HandedOver: _handed_over,
    payloads.WorkRefused: _turned_away,
    payloads.DueDateSet: _due,
    payloads.Noted: _noted,
}
"""What is checked of an entry that stands in for another one: what it says, not when it is said."""
