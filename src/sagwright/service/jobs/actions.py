"""What happens to a job after it was taken in: one function a use case, each adding one entry.

Every one takes the store, the job's id, what is said and its submission, and gives the job back as it is then; errors
as `recording.submit`.
"""

from __future__ import annotations

from dataclasses import replace

from sagwright.domain.records.entry import Submission
from sagwright.domain.records.job import JobView
from sagwright.domain.records.payloads import (
    Answered,
    FoundWrong,
    HandedOver,
    Noted,
    PassedOn,
    Payload,
    Prepared,
    Promised,
    Proved,
    Recorded,
    Resumed,
    Settled,
    Started,
    TurnedAway,
    Waits,
    Withdrawn,
)
from sagwright.domain.records.text import require_words
from sagwright.service.jobs.intake import NewBicycle, new_bicycle
from sagwright.service.jobs.log import recorded, require_sayable, submit, view_of
from sagwright.store.jobs import entry_by_id, lock
from sagwright.store.people import put_bicycle
from sagwright.store.workshop import Store


def settle(store: Store, job: str, said: Submission, *, what: Settled, bicycle: NewBicycle | None = None) -> JobView:
    """What was unknown is known, or what is wished has changed; `bicycle` is the bike from now on.

    Raises
    ------
    InputError, InputErrors
        If the bike has no name, or its text is not bike/1; the others as `submit`.
    """
    if bicycle is None:
        return submit(store, job, what, said)
    made = replace(what, bicycle=said.id)
    require_sayable(made, said)
    with store.writing() as transaction:
        lock(transaction, job)
        if entry_by_id(transaction, said.id) is None:
            owner = view_of(transaction, job).state.owner
            put_bicycle(transaction, new_bicycle(bicycle, owner, said.id))
        return recorded(transaction, job, made, said)


def answer(store: Store, job: str, said: Submission, *, what: Answered) -> JobView:
    """Someone answered what a finding asks."""
    require_words(what.who, "who")
    require_words(what.answer, "answer")
    return submit(store, job, what, said)


def prepare(store: Store, job: str, said: Submission, *, what: Prepared) -> JobView:
    """What lies ready of the kit."""
    return submit(store, job, what, said)


def start(store: Store, job: str, said: Submission) -> JobView:
    """Whoever says so has the job at the stand, for the first time or again."""
    return submit(store, job, Started(), said)


def pass_on(store: Store, job: str, said: Submission, *, to: str) -> JobView:
    """Somebody else has the job; nobody if `to` is empty."""
    return submit(store, job, PassedOn(to), said)


def record(store: Store, job: str, said: Submission, *, what: Recorded) -> JobView:
    """A step was done. A step is recorded once, whoever hands it in a second time."""
    return submit(store, job, what, said)


def find(store: Store, job: str, said: Submission, *, what: FoundWrong) -> JobView:
    """Something is not as planned."""
    require_words(what.what, "what")
    return submit(store, job, what, said)


def wait(store: Store, job: str, said: Submission, *, what: Waits) -> JobView:
    """Nothing goes on until something comes."""
    require_words(what.what, "what")
    return submit(store, job, what, said)


def resume(store: Store, job: str, said: Submission, *, what: Resumed) -> JobView:
    """What was waited for is here."""
    return submit(store, job, what, said)


def prove(store: Store, job: str, said: Submission, *, what: Proved) -> JobView:
    """Readings as left."""
    return submit(store, job, what, said)


def hand_over(store: Store, job: str, said: Submission, *, what: HandedOver) -> JobView:
    """The unit goes back to its owner."""
    return submit(store, job, what, said)


def turn_away(store: Store, job: str, said: Submission, *, what: TurnedAway) -> JobView:
    """No work, or no more, is done on the unit: refused or scrapped."""
    require_words(what.reason, "reason")
    return submit(store, job, what, said)


def promise(store: Store, job: str, said: Submission, *, promised: str | None) -> JobView:
    """A new date for the owner, year-month-day, or none."""
    return submit(store, job, Promised(promised), said)


def note(store: Store, job: str, said: Submission, *, what: Noted) -> JobView:
    """Words and pictures that change nothing."""
    return submit(store, job, what, said)


def correct(store: Store, job: str, said: Submission, *, entry: str, what: Payload) -> JobView:
    """An entry that stands in for an earlier one of the same kind; both stay, and what holds is the last."""
    return submit(store, job, what, said, corrects=entry)


def withdraw(store: Store, job: str, said: Submission, *, entry: str, reason: str) -> JobView:
    """An entry holds no longer, as if it had not been made; it stays, and so does the reason."""
    require_words(reason, "reason")
    return submit(store, job, Withdrawn(reason), said, corrects=entry)
