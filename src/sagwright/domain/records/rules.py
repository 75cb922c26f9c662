"""What may be recorded when. The fold reads everything; these are asked before something new is added."""

from __future__ import annotations

from typing import Final

from sagwright.domain.records.entry import Entry, Submission
from sagwright.domain.records.job import JobState
from sagwright.domain.records.payloads import (
    CheckedIn,
    Decided,
    Payload,
    StepDone,
    Withdrawn,
)
from sagwright.errors import Conflict, NotNow, NotThere

_NO_WORK: Final = Decided(work="", work_shape="", program="", sheet="")


def require_nothing_waits(state: JobState) -> None:
    """Nothing, if the job waits for nothing.

    Raises
    ------
    NotNow
    """
    if state.on_hold is not None:
        what = f"{state.on_hold.reason}: {state.on_hold.what}".rstrip(": ")
        raise NotNow(f"The job waits for {what}.", remedy="Resume it first.")


def require_open_step(state: JobState, payload: StepDone) -> None:
    """Nothing, if a step was not recorded already.

    Raises
    ------
    NotNow
        If it was; it says by whom and when.
    """
    if payload.step in state.steps_left or payload.step not in {*state.done, *(state.decision or _NO_WORK).steps}:
        return
    raise NotNow(_said_already(state, payload.step), remedy="Correct that entry if it is wrong.")


def _said_already(state: JobState, step: str) -> str:
    for line in reversed(state.lines):
        if isinstance(line.payload, StepDone) and line.payload.step == step:
            return f"The step {step} was recorded already, by {line.entry.by} at {_moment(line.entry)}."
    return f"The step {step} was recorded already."


def require_not_gone_on(state: JobState, entries: tuple[Entry, ...], said: Submission) -> None:
    """Nothing, if the job has not gone on since it was looked at.

    Raises
    ------
    Conflict
        If it has; it says who recorded what and when.
    """
    if said.expected is None or said.expected == len(entries):
        return
    if said.expected > len(entries):
        raise Conflict(f"The job has {len(entries)} entries, not {said.expected}.", remedy="Open it again.")
    since = entries[said.expected :]
    told = "; ".join(f"{one.by}: {one.payload.kind}, at {_moment(one)}" for one in since[:3])
    more = f"; and {len(since) - 3} more" if len(since) > 3 else ""
    raise Conflict(
        f"The job has gone on since you looked at it ({told}{more}). Nothing of yours was recorded.",
        remedy="Open it again, and decide anew.",
    )


def require_correction(state: JobState, payload: Payload, corrects: str) -> None:
    """Nothing, if an entry may stand in for another one.

    Raises
    ------
    NotThere
        If the job has no such entry.
    NotNow
        If it is of another kind, withdrawn already, or the one that took the job in and is to be withdrawn.
    """
    line = next(
        (one for one in state.lines if corrects in {one.entry.id, *(each.id for each in one.corrections)}), None
    )
    if line is None:
        raise NotThere("The entry to correct is not one of this job.", remedy="Open the job again and choose one.")
    if line.payload is None:
        raise NotNow("The entry was withdrawn already.", remedy="Record anew what holds.")
    first = isinstance(line.entry.payload, CheckedIn)
    if isinstance(payload, Withdrawn):
        if first:
            raise NotNow("The entry that took the job in cannot be withdrawn.", remedy="Refuse the job instead.")
        return
    if type(payload) is not type(line.entry.payload):
        rule = f'An entry "{line.entry.payload.kind}" cannot be corrected by one "{payload.kind}".'
        raise NotNow(rule, remedy="Withdraw it, and record anew what holds.")
    if isinstance(payload, CheckedIn) and (payload.visit, payload.unit) != (state.visit, state.unit):
        raise NotNow("A correction cannot move a job to another visit or unit.", remedy="Refuse it and check in anew.")


def _moment(entry: Entry) -> str:
    return entry.at.isoformat(sep=" ", timespec="seconds")
