"""A job's state from its entries. Total: what was recorded always has a state, so that nothing becomes unreadable."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import Any, Final

from sagwright.domain.records import payloads
from sagwright.domain.records.entry import Entry
from sagwright.domain.records.job import JobState, Line
from sagwright.domain.records.stages import Stage, Waiting
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
        If there are none, or the first is not a taking in.
    """
    lines = lines_of(entries)
    first = lines[0].payload if lines else None
    if not isinstance(first, payloads.TakenIn):
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
    line = Line(entry, entry.payload)
    after = _EFFECTS[type(entry.payload)](state, entry, entry.payload)
    return replace(after, lines=(*state.lines, line), entries=state.entries + 1, updated=max(state.updated, entry.at))


def lines_of(entries: Iterable[Entry]) -> tuple[Line, ...]:
    """The entries that correct nothing, each with its corrections and what it says after the last of them."""
    lines: dict[str, Line] = {}
    root: dict[str, str] = {}
    for entry in entries:
        if entry.corrects is None:
            root[entry.id] = entry.id
            lines[entry.id] = Line(entry, None if isinstance(entry.payload, payloads.Withdrawn) else entry.payload)
            continue
        key = root[entry.id] = root[entry.corrects]
        payload = None if isinstance(entry.payload, payloads.Withdrawn) else entry.payload
        lines[key] = Line(lines[key].entry, payload, (*lines[key].corrections, entry))
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


def _begun(entry: Entry, said: payloads.TakenIn) -> JobState:
    return JobState(
        id=entry.job,
        owner=said.owner,
        unit=said.unit,
        visit=said.visit,
        sheet=said.sheet,
        stage=Stage.CHOOSE if said.complete else Stage.TAKE_IN,
        taken_in=entry.at,
        updated=entry.at,
        entries=1,
        facts=with_facts((), said.facts),
        bicycle=said.bicycle,
        symptoms=said.symptoms,
        condition=said.condition,
        tasks=said.tasks,
        photos=said.photos,
        promised=said.promised,
        comeback_of=said.comeback_of,
    )


# what each kind of entry does to a state


def _settled(state: JobState, _: Entry, said: payloads.Settled) -> JobState:
    return replace(
        state,
        facts=with_facts(state.facts, said.facts),
        tasks=state.tasks if said.tasks is None else said.tasks,
        symptoms=state.symptoms if said.symptoms is None else said.symptoms,
        condition=(*state.condition, *said.condition),
        sheet=said.sheet or state.sheet,
        bicycle=said.bicycle or state.bicycle,
        photos=(*state.photos, *said.photos),
        stage=Stage.CHOOSE if state.stage is Stage.TAKE_IN and said.complete else state.stage,
    )


def _answered(state: JobState, _: Entry, said: payloads.Answered) -> JobState:
    others = tuple(one for one in state.answers if one.about != said.about)
    return replace(state, answers=(*others, said))


def _decided(state: JobState, entry: Entry, said: payloads.Decided) -> JobState:
    """A plan is new work; once begun the job stays at the stand, and with nothing to do there it is to be proven."""
    after = Stage.BENCH if said.steps else Stage.PROVE
    return replace(
        state,
        decision=said,
        decided_at=entry.ordinal,
        left=said.steps,
        sheet=said.sheet,
        facts=with_facts(state.facts, said.facts),
        stage=after if state.started else Stage.PREPARE,
    )


def _prepared(state: JobState, _: Entry, said: payloads.Prepared) -> JobState:
    return replace(state, ticked=said.ticked, ready=said.ready)


def _started(state: JobState, entry: Entry, _: payloads.Started) -> JobState:
    first = state.stage is Stage.PREPARE
    after = (Stage.BENCH if state.left else Stage.PROVE) if first else state.stage
    return replace(state, started=True, holder=entry.by, stage=after)


def _passed_on(state: JobState, _: Entry, said: payloads.PassedOn) -> JobState:
    return replace(state, holder=said.to)


def _recorded(state: JobState, _: Entry, said: payloads.Recorded) -> JobState:
    left = tuple(key for key in state.left if key != said.step)
    finished = state.stage is Stage.BENCH and not left
    return replace(
        state,
        left=left,
        done=(*state.done, said.step),
        readings=(*state.readings, *said.readings),
        photos=(*state.photos, *said.photos),
        stage=Stage.PROVE if finished else state.stage,
    )


def _found_wrong(state: JobState, _: Entry, said: payloads.FoundWrong) -> JobState:
    return replace(state, findings=(*state.findings, said), photos=(*state.photos, *said.photos))


def _waits(state: JobState, entry: Entry, said: payloads.Waits) -> JobState:
    return replace(state, waiting=Waiting(said.reason, said.what, entry.at, said.amount, said.tasks))


def _resumed(state: JobState, _: Entry, said: payloads.Resumed) -> JobState:
    """A yes makes the extras that were asked about tasks of the job."""
    extras = state.waiting.tasks if state.waiting is not None and said.yes else ()
    return replace(state, waiting=None, tasks=tuple(dict.fromkeys((*state.tasks, *extras))))


def _proved(state: JobState, _: Entry, said: payloads.Proved) -> JobState:
    after = Stage.HAND_OVER if said.proven else Stage.PROVE
    return replace(state, proofs=(*state.proofs, said), stage=after)


def _handed_over(state: JobState, _: Entry, said: payloads.HandedOver) -> JobState:
    return replace(state, ended=said, stage=Stage.HANDED_OVER, waiting=None, holder="")


def _turned_away(state: JobState, _: Entry, said: payloads.TurnedAway) -> JobState:
    after = Stage.SCRAPPED if said.scrapped else Stage.REFUSED
    photos = (*state.photos, *said.photos)
    return replace(state, ended=said, stage=after, waiting=None, holder="", photos=photos)


def _promised(state: JobState, _: Entry, said: payloads.Promised) -> JobState:
    return replace(state, promised=said.promised)


def _noted(state: JobState, _: Entry, said: payloads.Noted) -> JobState:
    return state if not said.photos else replace(state, photos=(*state.photos, *said.photos))


def _nothing(state: JobState, _: Entry, __: payloads.Payload) -> JobState:
    return state


_EFFECTS: Final[dict[type, Callable[[JobState, Entry, Any], JobState]]] = {
    payloads.TakenIn: _nothing,
    payloads.Settled: _settled,
    payloads.Answered: _answered,
    payloads.Decided: _decided,
    payloads.Prepared: _prepared,
    payloads.Started: _started,
    payloads.PassedOn: _passed_on,
    payloads.Recorded: _recorded,
    payloads.FoundWrong: _found_wrong,
    payloads.Waits: _waits,
    payloads.Resumed: _resumed,
    payloads.Proved: _proved,
    payloads.HandedOver: _handed_over,
    payloads.TurnedAway: _turned_away,
    payloads.Promised: _promised,
    payloads.Noted: _noted,
    payloads.Withdrawn: _nothing,
}
