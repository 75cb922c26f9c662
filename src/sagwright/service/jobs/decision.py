"""From what is known of a job to a plan, and a plan decided on; readings as typed, held against the work."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from sagwright.domain.finding import Severity
from sagwright.domain.plan import Plan
from sagwright.domain.records.entities import SheetRevision, StoredDocument
from sagwright.domain.records.fold import with_facts
from sagwright.domain.records.job import Difference, JobState, JobView
from sagwright.domain.records.payloads import Decided, Facts, Started
from sagwright.domain.step import Supply
from sagwright.errors import Defect, InputError, InputErrors, NotNow, NotThere, RecordError, StoreFailed
from sagwright.formats.fields.tasks import read_task
from sagwright.formats.intake.assembly import intake_text, read_intake
from sagwright.formats.output.plan import plan_to_json
from sagwright.formats.records.decision import differing_parts, read_plan
from sagwright.formats.sheet.load import sheet_of
from sagwright.service.bench.state import decided_anew
from sagwright.service.log import view_of
from sagwright.service.plan import plan, sequence
from sagwright.store.documents import add_document, keep_plan, load_document, revision_by_id
from sagwright.store.engine import Transaction
from sagwright.store.people import bicycle_of
from sagwright.store.workshop import Store
from sagwright.version import PROGRAM

_BIKE: str = "bike/1"
_INTAKE: str = "intake/1"


@dataclass(frozen=True, slots=True)
class KnownIntake:
    """A job with everything its plan is computed from, as texts.

    `facts` are those of the job with what is being tried over them; `intake` is the text they make.
    """

    job: JobView
    facts: Facts
    revision: SheetRevision = field(repr=False)
    intake: str = field(repr=False)
    bike: str = field(repr=False)


@dataclass(frozen=True, slots=True)
class Proposal:
    """What would be done; nothing of it is recorded yet."""

    known: KnownIntake
    tried: Facts
    plan: Plan


def known_intake(store: Store, job: str, facts: Facts = ()) -> KnownIntake:
    """A job with what its plan is computed from; `facts` are tried over what is recorded.

    Raises
    ------
    NotThere
    """
    with store.reading() as transaction:
        view = view_of(transaction, job)
        revision = revision_by_id(transaction, view.state.sheet)
        bike = bicycle_of(transaction, view.state.bicycle).document if view.state.bicycle else ""
    state = replace(view.state, facts=with_facts(view.state.facts, facts))
    text = intake_text(state, number=view.card.number, sheet=revision.key, bike=bool(bike))
    return KnownIntake(view, state.facts, revision, text, bike)


def propose(store: Store, job: str, facts: Facts = ()) -> Proposal:
    """What would be done with a job, with some facts tried: a plan of the wish for travel and the tasks,
    or the tasks alone where no travel is wished.

    Raises
    ------
    InputError, InputErrors
        Everything that is missing or wrong, each with its path as `field`.
    NotThere
        If there is no such job.
    """
    known = known_intake(store, job, facts)
    return Proposal(known, facts, _plan(known))


def _plan(known: KnownIntake) -> Plan:
    state = known.job.state
    if state.tasks and "wish.travel" not in dict(known.facts):
        tasks = [read_task(text) for text in state.tasks]
        return sequence(sheet_of(known.revision), tasks, chassis=state.fact("unit.chassis") or "")
    return plan(read_intake(known.intake, known.revision, known.bike))


def decided_payload(transaction: Transaction, proposal: Proposal) -> Decided:
    """What an entry says of a proposal that is decided on; all it was computed from is kept as it was."""
    known, plan = proposal.known, proposal.plan
    shape, work = keep_plan(transaction, plan)
    return Decided(
        work=work,
        work_shape=shape,
        program=plan.program,
        sheet=known.revision.id,
        intake=add_document(transaction, _INTAKE, known.intake),
        bike=add_document(transaction, _BIKE, known.bike) if known.bike else None,
        steps=tuple(step.key for step in plan.work.steps),
        facts=proposal.tried,
    )


def require_decidable(transaction: Transaction, state: JobState, what: Decided) -> None:
    """Nothing, if what a decision says may be decided on.

    Raises
    ------
    NotNow
        If what was wished is refused, or a finding still asks for an answer.
    NotThere
        If its work is not kept.
    """
    work = read_plan(load_document(transaction, what.work).text)
    if work.wish is None:
        return
    if work.target is None:
        codes = ", ".join(one.code for one in work.findings if one.severity is Severity.NOT_ALLOWED)
        raise NotNow(f"What was wished is refused ({codes}).", remedy="Wish something else, or refuse the job.")
    answered = {one.about for one in state.answers}
    asked = [one.code for one in work.findings if one.severity is Severity.QUESTION and one.code not in answered]
    if asked:
        raise NotNow(f"Findings ask for an answer first: {', '.join(asked)}.", remedy="Answer them, then decide.")


def tools_and_parts_of(transaction: Transaction, state: JobState) -> tuple[Supply, ...]:
    """The kit of what was decided last; empty where nothing was."""
    if state.decision is None:
        return ()
    return read_plan(load_document(transaction, state.decision.work).text).tools_and_parts


def supply_keys(store: Store, job: str) -> tuple[str, ...]:
    """What the lines of a job's kit are called where they are ticked.

    Raises
    ------
    NotThere
    """
    with store.reading() as transaction:
        return tuple(line.key for line in tools_and_parts_of(transaction, view_of(transaction, job).state))


@dataclass(frozen=True, slots=True)
class Decision:
    """What was decided, word for word; the intake and bike are None where there were none."""

    decided: Decided
    work: StoredDocument = field(repr=False)
    intake: StoredDocument | None = field(repr=False)
    bike: StoredDocument | None = field(repr=False)


def decision_of(store: Store, job: str) -> Decision:
    """What was decided last on a job, as it was decided: nothing is computed again.

    Raises
    ------
    NotThere
        If nothing was.
    """
    with store.reading() as transaction:
        view = view_of(transaction, job)
        decided = view.state.decision
        if decided is None:
            raise NotThere(f"Nothing is decided yet on job {view.card.number}.", remedy="Choose first.")
        return Decision(
            decided,
            load_document(transaction, decided.work),
            load_document(transaction, decided.intake) if decided.intake else None,
            load_document(transaction, decided.bike) if decided.bike else None,
        )


def difference_of(store: Store, state: JobState) -> Difference | None:
    """How the plan that was chosen last differs from what this program makes of its intake; None if in nothing, or if
    nothing is decided. What was decided holds."""
    chosen = _chosen(state)
    if chosen is None:
        return None
    try:
        with store.reading() as transaction:
            text, anew = decided_anew(transaction, chosen)
        parts = differing_parts(text, plan_to_json(anew))
    except StoreFailed:
        raise
    except (InputError, InputErrors, RecordError, Defect):
        return Difference(chosen.program, PROGRAM, ())
    return Difference(chosen.program, PROGRAM, parts) if parts else None


def _chosen(state: JobState) -> Decided | None:
    """The last decision that was chosen: once work began, the bench decides what is left anew from the same intake."""
    chosen, begun = None, False
    for line in state.lines:
        begun = begun or isinstance(line.payload, Started)
        if isinstance(line.payload, Decided):
            same = chosen is not None and _source(chosen) == _source(line.payload)
            chosen = chosen if begun and same else line.payload
    return chosen


def _source(decided: Decided) -> tuple[str, str, str | None]:
    return decided.sheet, decided.intake, decided.bike


def decisions_of(store: Store, state: JobState) -> tuple[tuple[Decided, str], ...]:
    """Everything that was decided on a job, oldest first, each with the text of its work."""
    decided = [line.payload for line in state.lines if isinstance(line.payload, Decided)]
    if not decided:
        return ()
    with store.reading() as transaction:
        return tuple((one, load_document(transaction, one.work).text) for one in decided)
