"""A job's state from its entries. Total: what was recorded always has a state, so that nothing becomes unreadable."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import Any, Final

from sagwright.domain.records import payloads
from sagwright.domain.records.entry import Entry
from sagwright.domain.records.job import EntryLine, JobState
from sagwright.domain.records.stages import OnHold, Stage
from sagwright.errors import RecordError


def job_state(entries: Sequence[Entry]) -> JobState:
    """The state of a job.

    Parameters
    ----------
    entries : sequence of Entry
        All of one job, in their order.

    Raises
    ------
    RecordError
        If there are none, or the first is not a checking in.
    """
    lines = _lines_of(entries)
    first = lines[0].payload if lines else None
    if not isinstance(first, payloads.CheckedIn):
        raise RecordError("A job begins with an entry that takes it in, and this one does not.")
    state = _begun(lines[0].entry, first)
    for line in lines[1:]:
        if line.payload is not None:
            state = _EFFECTS[type(line.payload)](state, line.entry, line.payload)
    return replace(state, lines=lines, entries=len(entries), updated=max(entry.at for entry in entries))


def with_entry(state: JobState, known: Sequence[Entry], entry: Entry) -> JobState:
    """The state of a job with one entry more, as `job_state` of them all; `state` is that of the known ones."""
    if entry.corrects is not None:
        return job_state((*known, entry))
    line = EntryLine(entry, entry.payload)
    after = _EFFECTS[type(entry.payload)](state, entry, entry.payload)
    return replace(after, lines=(*state.lines, line), entries=state.entries + 1, updated=max(state.updated, entry.at))


def _lines_of(entries: Iterable[Entry]) -> tuple[EntryLine, ...]:
    """The entries that correct nothing, each with its corrections and what it says after the last of them."""
    lines: dict[str, EntryLine] = {}
    root: dict[str, str] = {}
    for entry in entries:
        if entry.corrects is None:
            root[entry.id] = entry.id
            lines[entry.id] = EntryLine(entry, None if isinstance(entry.payload, payloads.Withdrawn) else entry.payload)
            continue
        key = root[entry.id] = root[entry.corrects]
        payload = None if isinstance(entry.payload, payloads.Withdrawn) else entry.payload
        lines[key] = EntryLine(lines[key].entry, payload, (*lines[key].corrections, entry))
    return tuple(lines.values())


def with_facts(known: payloads.Facts, new: payloads.Facts) -> payloads.Facts:
    """Facts with newer ones over them, sorted by path; one replaces what stands under it and over it."""
    facts = dict(known)
    for path, text in new:
        for other in [one for one in facts if _same_branch(one, path)]:
            del facts[other]
        if text.strip():
            facts[path] = text
    return tuple(sorted(facts.items()))


def _same_branch(one: str, other: str) -> bool:
    return one == other or one.startswith(f"{other}.") or other.startswith(f"{one}.")


def _begun(entry: Entry, said: payloads.CheckedIn) -> JobState:
    return JobState(
        id=entry.job,
        customer=said.customer,
        unit=said.unit,
        visit=said.visit,
        sheet=said.sheet,
        stage=Stage.PLAN if said.complete else Stage.CHECK_IN,
        checked_in=entry.at,
        updated=entry.at,
        entries=1,
        facts=with_facts((), said.facts),
        bicycle=said.bicycle,
        symptoms=said.symptoms,
        condition=said.condition,
        tasks=said.tasks,
        photos=said.photos,
        due=said.due,
        comeback_of=said.comeback_of,
    )


# what each kind of entry does to a state


def _settled(state: JobState, _: Entry, said: payloads.IntakeUpdated) -> JobState:
    return replace(
        state,
        facts=with_facts(state.facts, said.facts),
        tasks=state.tasks if said.tasks is None else said.tasks,
        symptoms=state.symptoms if said.symptoms is None else said.symptoms,
        condition=(*state.condition, *said.condition),
        sheet=said.sheet or state.sheet,
        bicycle=said.bicycle or state.bicycle,
        photos=(*state.photos, *said.photos),
        stage=Stage.PLAN if state.stage is Stage.CHECK_IN and said.complete else state.stage,
    )


def _answered(state: JobState, _: Entry, said: payloads.Answered) -> JobState:
    others = tuple(one for one in state.answers if one.about != said.about)
    return replace(state, answers=(*others, said))


def _decided(state: JobState, entry: Entry, said: payloads.Decided) -> JobState:
    """A plan is new work; once begun the job stays at the stand, and with nothing to do there it is to be proven."""
    after = Stage.BENCH if said.steps else Stage.FINAL_CHECK
    return replace(
        state,
        decision=said,
        decided_at=entry.ordinal,
        steps_left=said.steps,
        sheet=said.sheet,
        facts=with_facts(state.facts, said.facts),
        stage=after if state.started else Stage.PREPARE,
    )


def _prepared(state: JobState, _: Entry, said: payloads.Prepared) -> JobState:
    return replace(state, ticked=said.ticked, ready=said.ready)


def _started(state: JobState, entry: Entry, _: payloads.Started) -> JobState:
    first = state.stage is Stage.PREPARE
    after = (Stage.BENCH if state.steps_left else Stage.FINAL_CHECK) if first else state.stage
    return replace(state, started=True, holder=entry.by, stage=after)


def _passed_on(state: JobState, _: Entry, said: payloads.PassedOn) -> JobState:
    return replace(state, holder=said.to)


def _recorded(state: JobState, _: Entry, said: payloads.StepDone) -> JobState:
    left = tuple(key for key in state.steps_left if key != said.step)
    finished = state.stage is Stage.BENCH and not left
    return replace(
        state,
        steps_left=left,
        done=(*state.done, said.step),
        readings=(*state.readings, *said.readings),
        photos=(*state.photos, *said.photos),
        stage=Stage.FINAL_CHECK if finished else state.stage,
    )


def _found_wrong(state: JobState, _: Entry, said: payloads.ProblemFound) -> JobState:
    return replace(state, findings=(*state.findings, said), photos=(*state.photos, *said.photos))


def _waits(state: JobState, entry: Entry, said: payloads.PutOnHold) -> JobState:
    return replace(state, on_hold=OnHold(said.reason, said.what, entry.at, said.amount, said.tasks))


def _resumed(state: JobState, _: Entry, said: payloads.Resumed) -> JobState:
    """A yes makes the extras that were asked about tasks of the job."""
    extras = state.on_hold.tasks if state.on_hold is not None and said.yes else ()
    return replace(state, on_hold=None, tasks=tuple(dict.fromkeys((*state.tasks, *extras))))


def _proved(state: JobState, _: Entry, said: payloads.FinalChecked) -> JobState:
    after = Stage.HAND_OVER if said.passed else Stage.FINAL_CHECK
    return replace(state, final_checks=(*state.final_checks, said), stage=after)


def _handed_over(state: JobState, _: Entry, said: payloads.HandedOver) -> JobState:
    return replace(state, ended=said, stage=Stage.HANDED_OVER, on_hold=None, holder="")


def _turned_away(state: JobState, _: Entry, said: payloads.WorkRefused) -> JobState:
    after = Stage.SCRAPPED if said.scrapped else Stage.REFUSED
    photos = (*state.photos, *said.photos)
    return replace(state, ended=said, stage=after, on_hold=None, holder="", photos=photos)


def _due(state: JobState, _: Entry, said: payloads.DueDateSet) -> JobState:
    return replace(state, due=said.due)


def _noted(state: JobState, _: Entry, said: payloads.Noted) -> JobState:
    return state if not said.photos else replace(state, photos=(*state.photos, *said.photos))


def _nothing(state: JobState, _: Entry, __: payloads.Payload) -> JobState:
    return state


_EFFECTS: Final[dict[type, Callable[[JobState, Entry, Any], JobState]]] = {
    payloads.CheckedIn: _nothing,
    payloads.IntakeUpdated: _settled,
    payloads.Answered: _answered,
    payloads.Decided: _decided,
    payloads.Prepared: _prepared,
    payloads.Started: _started,
    payloads.PassedOn: _passed_on,
    payloads.StepDone: _recorded,
    payloads.ProblemFound: _found_wrong,
    payloads.PutOnHold: _waits,
    payloads.Resumed: _resumed,
    payloads.FinalChecked: _proved,
    payloads.HandedOver: _handed_over,
    payloads.WorkRefused: _turned_away,
    payloads.DueDateSet: _due,
    payloads.Noted: _noted,
    payloads.Withdrawn: _nothing,
}
