"""Steps done and things found at the stand: each checked against the work as it stands, and the rest planned anew."""

from __future__ import annotations

from dataclasses import replace

from sagwright.domain.records.entry import Entry
from sagwright.domain.records.evidence import evidence_fault
from sagwright.domain.records.payloads import Decided, StepDone
from sagwright.domain.step import Step
from sagwright.errors import InputErrors, MissingValue, NotNow
from sagwright.service.bench.progress import INSIDE
from sagwright.service.bench.state import BenchState, rested, same_steps
from sagwright.store.documents import keep_plan
from sagwright.store.engine import Transaction


def require_next(work: BenchState, what: StepDone, entry: Entry) -> None:
    """Nothing, if a step may be recorded as done now.

    Raises
    ------
    InputErrors
        If a hold point lacks a reading, or one is outside its limits: everything, each with the record's key as
        `field`.
    NotNow
        If it is not a step that is left, something it needs is not done, what was found does not agree, or the work
        rested and nothing is rechecked yet.
    """
    if rested(work.view, entry.at, entry.by) is not None:
        raise NotNow(
            "There was a break or a change of person: check pressures and torques first.",
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


def require_evidence(step: Step, what: StepDone) -> None:
    """Nothing, if what a hold point asks is written down and within its limits.

    Raises
    ------
    InputErrors
    """
    given = {one.key: one for one in what.readings}
    faults = [
        fault
        for record in step.records
        if (fault := evidence_fault(record, given.get(record.key), needed=step.hold_point)) is not None
    ]
    faults += [
        MissingValue("must be looked at", field=one.key, remedy="Say whether it is good.")
        for one in step.inspect
        if one.key not in given
    ]
    if faults:
        raise InputErrors(tuple(faults))


def replanned(transaction: Transaction, before: BenchState | None, work: BenchState) -> Decided | None:
    """The rest of the work decided anew; None where what was recorded since `before` changed neither its steps nor
    what is changed inside."""
    unchanged = same_steps(work) and before is not None and before.plan.work.changes == work.plan.work.changes
    if unchanged or (work.impossible and not work.done):
        return None
    decision = work.view.state.decision
    if decision is None:
        raise NotNow("No plan is decided yet.", remedy="Choose first.")
    shape, kept = keep_plan(transaction, work.plan)
    return replace(
        decision,
        work=kept,
        work_shape=shape,
        program=work.plan.program,
        steps=tuple(step.key for step in work.steps),
        facts=_facts(work),
    )


def _facts(work: BenchState) -> tuple[tuple[str, str], ...]:
    """What was found inside, as it is said of a unit as found."""
    if work.plan.selection is None:
        return ()
    return tuple(
        (f"as_found.{name}", _said_inside(name, value)) for name, value in work.progress.found if name in INSIDE
    )


def _said_inside(name: str, value: float | str) -> str:
    """One setting as it is typed in an intake."""
    if isinstance(value, str):
        return value
    return f"{value * 1e3:g} mm" if name == "shaft_travel" else f"{value:g}"
