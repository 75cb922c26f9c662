"""Adding an entry to a job: the one door through which everything after checking in is recorded."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from sagwright.domain.records.entry import Entry, Submission, photos_in
from sagwright.domain.records.fold import job_state, with_entry
from sagwright.domain.records.job import JobState, JobView
from sagwright.domain.records.payloads import CheckedIn, Decided, IntakeUpdated, Payload
from sagwright.domain.records.rules import require_not_gone_on
from sagwright.domain.records.text import require_words, require_writable
from sagwright.errors import Conflict, NotThere
from sagwright.store.documents import delete_draft
from sagwright.store.engine import Transaction
from sagwright.store.jobs import (
    add_entry,
    add_job,
    card_of,
    entries_of,
    entry_by_id,
    lock,
    next_number,
    project,
    refresh_search,
)
from sagwright.store.people import put_unit, unit_of
from sagwright.store.photos import missing_photos

Check = Callable[[JobView, Entry], None]
"""Raises if an entry may not be added to a job as it stands."""


def require_sayable(payload: Payload, said: Submission) -> None:
    """Nothing, if every text of a submission can be kept; errors as `require_writable`."""
    require_words(said.id, "id")
    require_words(said.by, "by")
    require_writable(said)
    require_writable(payload)


def added(
    transaction: Transaction,
    before: JobView,
    payload: Payload,
    said: Submission,
    *,
    check: Check,
    corrects: str | None = None,
) -> JobView:
    """A job with one entry more; handed in again under the same id, as it is.

    `before` is the job as this transaction read it once it was locked.

    Raises
    ------
    NotThere
        If there is no such photo.
    Conflict
        If the job has gone on since it was looked at, or the id has been used for something else.
    StoreFailed
        If it could not be written; besides, whatever `check` raises.
    """
    require_sayable(payload, said)
    entry = Entry(said.id, before.card.id, len(before.entries) + 1, said.at, said.by, payload, said.note, corrects)
    if (same_id := entry_by_id(transaction, said.id)) is not None:
        return repeated(transaction, same_id, entry, before)
    require_not_gone_on(before.state, before.entries, said)
    check(before, entry)
    require_photos(transaction, payload)
    add_entry(transaction, entry)
    return _shown(transaction, with_entry(before.state, before.entries, entry), (*before.entries, entry))


def begun(transaction: Transaction, entry: Entry) -> JobView:
    """A new job with its first entry."""
    add_job(transaction, job_state((entry,)), next_number(transaction))
    add_entry(transaction, entry)
    refresh_search(transaction, [entry.job])
    delete_draft(transaction, entry.id)
    return view_of(transaction, entry.job)


def repeated(transaction: Transaction, before: Entry, again: Entry, view: JobView | None = None) -> JobView:
    """The job as it is, if what was handed in again is what was recorded.

    Raises
    ------
    Conflict
    """
    if not before.is_resubmission_of(again):
        remedy = "Open the job again, and hand in what is missing from a new form."
        raise Conflict("Something else was recorded under the same id. Nothing was overwritten.", remedy=remedy)
    return view_of(transaction, before.job) if view is None else view


def view_locked(transaction: Transaction, job: str) -> JobView:
    """A job as one opens it, with nobody else adding to it until the transaction ends.

    Raises
    ------
    NotThere
    """
    lock(transaction, job)
    return view_of(transaction, job)


def view_of(transaction: Transaction, job: str) -> JobView:
    """A job as one opens it.

    Raises
    ------
    NotThere
    """
    card = card_of(transaction, job)
    entries = entries_of(transaction, job)
    return JobView(card, job_state(entries), entries)


def require_photos(transaction: Transaction, payload: Payload) -> None:
    """Nothing, if every photo that an entry names is kept.

    Raises
    ------
    NotThere
    """
    if missing := missing_photos(transaction, photos_in(payload)):
        raise NotThere(f"There is no photo {missing[0]}.", remedy="Hand the photo in first.")


def _shown(transaction: Transaction, state: JobState, entries: tuple[Entry, ...]) -> JobView:
    last = entries[-1]
    project(transaction, state)
    delete_draft(transaction, last.id)
    if isinstance(last.payload, IntakeUpdated | Decided | CheckedIn) or last.corrects is not None:
        _keep_unit(transaction, state)
        refresh_search(transaction, [state.id])
    return JobView(card_of(transaction, state.id), state, entries)


def _keep_unit(transaction: Transaction, state: JobState) -> None:
    """The unit as this job knows it by now."""
    unit = unit_of(transaction, state.unit)
    known = replace(
        unit,
        serial=state.fact("unit.serial") or "",
        chassis=state.fact("unit.chassis") or unit.chassis,
        bicycle=state.bicycle or unit.bicycle,
    )
    if known != unit:
        put_unit(transaction, known)
