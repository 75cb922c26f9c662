"""The work at the stand as it stands: what is left of what was decided, after all that was done and found since."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from functools import lru_cache
from threading import Lock
from typing import Final, Generic, TypeVar

from sagwright.domain.finding import Finding, Severity
from sagwright.domain.item import Act
from sagwright.domain.plan import Plan
from sagwright.domain.records.entities import SheetRevision
from sagwright.domain.records.entry import Entry
from sagwright.domain.records.job import JobState, JobView
from sagwright.domain.records.payloads import Decided, ProblemFound, Started, StepDone
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Step, WorkStop
from sagwright.domain.task import Progress, Task
from sagwright.errors import NotThere, OutOfRange
from sagwright.formats.fields.tasks import read_task
from sagwright.formats.intake.assembly import read_intake
from sagwright.formats.records.decision import read_plan
from sagwright.formats.sheet.load import sheet_of
from sagwright.service.bench.progress import RecordedProgress, extras_of, recorded_progress
from sagwright.service.log import view_of
from sagwright.service.plan import plan, replan, sequence
from sagwright.store.documents import load_document, revision_by_id
from sagwright.store.engine import Transaction
from sagwright.store.workshop import Store

_INSIDE: Final = "found."
"""What the codes of findings begin with that are about the unit as found."""

BREAK_STEP: Final = timedelta(hours=1)
"""After how long without an entry nobody knows any more what is charged and tight: assumed, no source."""

REMEDY: Final = "Withdraw the entry that is wrong; if it was really done so, stop and make the unit safe first."

K = TypeVar("K")
V = TypeVar("V")


class Remembered(Generic[K, V]):
    """The values that were used last, by keys that always mean the same value; safe to use from several threads."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._values: dict[K, V] = {}
        self._lock = Lock()

    def get(self, key: K) -> V | None:
        """The value, if it is remembered; it is then the last one to be forgotten."""
        with self._lock:
            value = self._values.pop(key, None)
            if value is not None:
                self._values[key] = value
            return value

    def put(self, key: K, value: V) -> V:
        """The value, remembered from now on; the one not used for longest is forgotten where there are too many."""
        with self._lock:
            self._values[key] = value
            while len(self._values) > self._most:
                del self._values[next(iter(self._values))]
            return value


_State = tuple[tuple[Entry, ...], tuple[str, ...]]
"""The entries of a job, and the extras that are tried over them."""

_TEXTS: Final[Remembered[tuple[str, ...], tuple[SheetRevision, tuple[str, ...]]]] = Remembered(64)
_WORK: Final[Remembered[_State, tuple[SheetRevision, Plan, Progress]]] = Remembered(256)


@dataclass(frozen=True, slots=True)
class Rested:
    """Work that rested: whose hands it was in, since when, and whether another person goes on."""

    by: str
    since: datetime
    other: bool


@dataclass(frozen=True, slots=True)
class BenchState:
    """A job's work as it stands.

    Attributes
    ----------
    view : JobView
    revision : SheetRevision
    plan : Plan
        Gone on with: `done`, `steps` and `stops` of its work say how far it is.
    progress : Progress
        What was recorded, as planning reads it.
    """

    view: JobView
    revision: SheetRevision = field(repr=False)
    plan: Plan = field(repr=False)
    progress: Progress

    @property
    def sheet(self) -> Sheet:
        """Of the unit."""
        return self.plan.work.sheet

    @property
    def steps(self) -> tuple[Step, ...]:
        """What is left, the next one first; where the wish is impossible, the way back together."""
        return self.plan.work.steps

    @property
    def done(self) -> tuple[Step, ...]:
        """What was done."""
        return self.plan.work.done

    @property
    def stops(self) -> tuple[WorkStop, ...]:
        """What ends the work."""
        return self.plan.work.stops

    @property
    def impossible(self) -> bool:
        """Whether what was found makes the wish impossible."""
        return self.plan.impossible

    @property
    def contradicted(self) -> tuple[Finding, ...]:
        """What was found inside and asks for a second look, since it cannot stand beside what else is known; nobody
        has said yet that it is so."""
        answered = {one.about for one in self.view.state.answers}
        asks = (one for one in self.plan.findings if one.severity is Severity.QUESTION and one.code not in answered)
        return tuple(one for one in asks if self.done and one.code.startswith(_INSIDE))

    @property
    def next(self) -> Step | None:
        """The step to do now; None where none is left."""
        return self.steps[0] if self.steps else None


def bench_state(store: Store, job: str) -> BenchState:
    """A job's work, by the job's id.

    Raises
    ------
    NotThere
        If there is no such job, or nothing is decided on it.
    InputError
        If what was recorded does not fit what was decided: a step before one that it needs.
    """
    with store.reading() as transaction:
        return standing(transaction, view_of(transaction, job))


def standing(transaction: Transaction, view: JobView, *, tried: tuple[str, ...] = ()) -> BenchState:
    """The state of the bench for a job that was read, with extras tried as if the customer had said yes.

    The work follows from the entries alone, and from documents that they name by digest: each state is computed once.
    """
    key = (view.entries, tried)
    known = _WORK.get(key) or _WORK.put(key, _computed(transaction, view, tried))
    return BenchState(view, *known)


def _computed(transaction: Transaction, view: JobView, tried: tuple[str, ...]) -> tuple[SheetRevision, Plan, Progress]:
    decided = view.state.decision
    if decided is None:
        raise NotThere(f"Nothing is decided yet on job {view.card.number}.", remedy="Choose first.")
    revision, texts = _kept(transaction, (decided.sheet, decided.work, decided.intake, decided.bike or ""))
    known = _Known(revision, texts, extras_of(view.state))
    told = recorded_progress(view.state, _decided(known))
    if tried:
        extras = tuple(dict.fromkeys((*told.all.tasks, *map(read_task, tried))))
        with_them = replace(told.all, tasks=extras)
        told = RecordedProgress(with_them, with_them, ())
    return revision, _stands(known, told), told.all


def _stands(known: _Known, told: RecordedProgress) -> Plan:
    """The work by all that was told; extras that became tasks by a later correction join it as it stands now."""
    try:
        return _advanced(_gone_on(known, told.planned), told.since)
    except OutOfRange:
        if not told.all.tasks:
            raise
        return _gone_on(known, told.all)


def _kept(transaction: Transaction, ids: tuple[str, ...]) -> tuple[SheetRevision, tuple[str, ...]]:
    """The revision of the sheet and the texts of the documents; an id is a digest of what it names, so that what was
    read once need not be read again."""
    if (known := _TEXTS.get(ids)) is not None:
        return known
    sheet, *documents = ids
    texts = tuple(load_document(transaction, key).text if key else "" for key in documents)
    return _TEXTS.put(ids, (revision_by_id(transaction, sheet), texts))


def _advanced(plan: Plan, done: tuple[str, ...]) -> Plan:
    """The plan with steps done that changed nothing of their order.

    Raises
    ------
    OutOfRange
        If one is none of those left, or was done before something it needs.
    """
    work = plan.work
    seen = [step.key for step in work.done]
    by_key = {step.key: step for step in work.steps}
    for key in done:
        if key not in by_key:
            raise OutOfRange("must be a step of this work", value=key, field="done", remedy=REMEDY)
        missing = [need for need in by_key[key].needs if need.step not in seen]
        if missing:
            rule = f"must come after {missing[0].step}, by the rule {missing[0].rule}"
            raise OutOfRange(rule, value=key, field="done", remedy=REMEDY)
        seen.append(key)
    left = tuple(step for step in work.steps if step.key not in done)
    return replace(plan, work=replace(work, done=(*work.done, *(by_key[key] for key in done)), steps=left))


def decided_anew(transaction: Transaction, decided: Decided) -> tuple[str, Plan]:
    """The text that was decided, and what this program computes from the sheet, intake and bike recorded with it."""
    revision, texts = _kept(transaction, (decided.sheet, decided.work, decided.intake, decided.bike or ""))
    return texts[0], _decided(_Known(revision, texts, ()))


@dataclass(frozen=True, slots=True)
class _Known:
    """What was decided and what it was computed from; the extras among it joined later, in the state it had then."""

    revision: SheetRevision
    texts: tuple[str, ...]
    extras: tuple[Task, ...]


@lru_cache(maxsize=64)
def _decided(known: _Known) -> Plan:
    """What was decided, without the extras, computed from what it was computed from."""
    work, intake, bike = known.texts
    decided = read_plan(work)
    if decided.wish is not None:
        read = read_intake(intake, known.revision, bike)
        return plan(replace(read, tasks=tuple(task for task in read.tasks if task not in known.extras)))
    own = [task for task in decided.tasks if task not in known.extras]
    return sequence(sheet_of(known.revision), own, chassis=decided.chassis)


@lru_cache(maxsize=256)
def _gone_on(known: _Known, progress: Progress) -> Plan:
    return _decided(known) if progress == Progress() else replan(_decided(known), progress)


def rested(view: JobView, now: datetime, by: str) -> Rested | None:
    """Whether the work rested since the last entry at the stand, so that charge and torques are checked again first.

    `by` is who asks; nobody known counts as whoever was there.
    """
    if not any(isinstance(line.payload, StepDone) for line in view.state.lines):
        return None
    hands = [line.entry for line in view.state.lines if isinstance(line.payload, StepDone | Started | ProblemFound)]
    last = max((line.entry.at for line in view.state.lines if _at_the_stand(line.payload)), default=hands[-1].at)
    other = bool(by) and by != hands[-1].by
    return Rested(hands[-1].by, last, other) if other or now - last > BREAK_STEP else None


def _at_the_stand(payload: object) -> bool:
    return isinstance(payload, StepDone | Started | ProblemFound)


def breaks(state: JobState) -> int:
    """How often the work rested."""
    return sum(key.split(":")[0] == Act.BREAK for key in state.done)


def same_steps(work: BenchState) -> bool:
    """Whether the job's own list of what is left is the plan's."""
    return set(work.view.state.steps_left) == {step.key for step in work.steps}
