"""Jobs and their entries: the entries are what holds, a job's row is what they come to, written together."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, Final

from sqlalchemy import ColumnElement, Row, Select, bindparam, case, func, insert, or_, select, update

from sagwright.domain.records.entry import Entry
from sagwright.domain.records.job import JobCard, JobState
from sagwright.domain.records.stages import OPEN, Stage
from sagwright.domain.records.text import folded
from sagwright.errors import NotThere
from sagwright.formats.records.entries import payload_from_text, payload_to_text
from sagwright.store.engine import Transaction
from sagwright.store.tables import bicycles, customers, entries, jobs, sheets, units, visits

_MOST_FOUND: Final = 100
"""Jobs that one search shows."""

_CARDS: Final = (
    select(
        jobs,
        visits.c.customer.label("customer"),
        customers.c.name.label("customer_name"),
        units.c.serial.label("serial"),
        units.c.chassis.label("chassis"),
        sheets.c.key.label("sheet_key"),
        func.coalesce(bicycles.c.name, "").label("bicycle_name"),
    )
    .join(visits, visits.c.id == jobs.c.visit)
    .join(customers, customers.c.id == visits.c.customer)
    .join(units, units.c.id == jobs.c.unit)
    .join(sheets, sheets.c.id == jobs.c.sheet)
    .outerjoin(bicycles, bicycles.c.id == jobs.c.bicycle)
)

# What recording an entry asks is built once: building a statement takes longer than asking it.
_CARD: Final = _CARDS.where(jobs.c.id == bindparam("which"))
_CARD_BY_NUMBER: Final = _CARDS.where(jobs.c.number == bindparam("which"))
_LOCK: Final = select(jobs.c.id).where(jobs.c.id == bindparam("which")).with_for_update()
_ENTRIES: Final = select(entries).where(entries.c.job == bindparam("which")).order_by(entries.c.ordinal)
_ENTRY: Final = select(entries).where(entries.c.id == bindparam("which"))
_ADD: Final = insert(entries)
_PROJECT: Final = update(jobs).where(jobs.c.id == bindparam("which"))


def card_of(transaction: Transaction, job: str) -> JobCard:
    """One job by its id.

    Raises
    ------
    NotThere
    """
    return _one(transaction, _CARD, job)


def card_by_number(transaction: Transaction, number: int) -> JobCard:
    """One job by its short number.

    Raises
    ------
    NotThere
    """
    return _one(transaction, _CARD_BY_NUMBER, number)


def _one(transaction: Transaction, card: Select[Any], said: str | int) -> JobCard:
    row = transaction.execute(card, {"which": said}).first()
    if row is None:
        raise NotThere(f"There is no job {said}.", remedy="Search for its customer, serial or number.")
    return _card(row)


def lock(transaction: Transaction, job: str) -> None:
    """Nobody else adds to this job until the transaction ends.

    Raises
    ------
    NotThere
        If there is no such job.
    """
    if transaction.execute(_LOCK, {"which": job}).first() is None:
        raise NotThere(f"There is no job {job}.", remedy="Search for its customer, serial or number.")


def next_number(transaction: Transaction) -> int:
    """The short number for a new job; one checking in at a time."""
    return (transaction.execute(select(func.max(jobs.c.number))).scalar() or 1000) + 1


def entries_of(transaction: Transaction, job: str) -> tuple[Entry, ...]:
    """All entries of a job in their order."""
    return tuple(_entry(row) for row in transaction.execute(_ENTRIES, {"which": job}))


def entry_by_id(transaction: Transaction, entry: str) -> Entry | None:
    """One entry, whichever job it belongs to."""
    row = transaction.execute(_ENTRY, {"which": entry}).first()
    return None if row is None else _entry(row)


def add_job(transaction: Transaction, state: JobState, number: int) -> None:
    """A job's row, before its first entry."""
    row = projection(state) | {"number": number, "search": ""}
    transaction.execute(insert(jobs).values(id=state.id, **row))


def add_entry(transaction: Transaction, entry: Entry) -> None:
    """One entry more."""
    transaction.execute(
        _ADD,
        {
            "id": entry.id,
            "job": entry.job,
            "ordinal": entry.ordinal,
            "at": entry.at,
            "by": entry.by,
            "kind": entry.payload.kind,
            "payload": payload_to_text(entry.payload),
            "note": entry.note,
            "corrects": entry.corrects,
        },
    )


def project(transaction: Transaction, state: JobState) -> None:
    """A job's row, as its entries have it now."""
    transaction.execute(_PROJECT, projection(state) | {"which": state.id})


def refresh_search(transaction: Transaction, which: Iterable[str]) -> None:
    """What jobs are found by, besides their customers' names."""
    for job in which:
        row = transaction.execute(_CARD, {"which": job}).one()
        transaction.execute(update(jobs).where(jobs.c.id == job).values(search=search_words(row)))


def search_words(row: Row[Any]) -> str:
    """What a job is found by, besides its customer's name; from a row with number, serial, sheet_key and
    bicycle_name."""
    return folded(f"{row.number} {row.serial} {row.sheet_key} {row.bicycle_name}")


def projection(state: JobState) -> dict[str, Any]:
    """A job's row without its number and what it is found by."""
    waiting = state.on_hold
    return {
        "visit": state.visit,
        "unit": state.unit,
        "sheet": state.sheet,
        "bicycle": state.bicycle,
        "comeback_of": state.comeback_of,
        "stage": state.stage.value,
        "on_hold": "" if waiting is None else waiting.reason.value,
        "on_hold_what": "" if waiting is None else waiting.what,
        "holder": state.holder,
        "due": state.due,
        "checked_in": state.checked_in,
        "updated": state.updated,
        "entries": state.entries,
    }


# lists


def open_jobs(transaction: Transaction) -> tuple[JobCard, ...]:
    """Every job that is not closed: by stage, those due first before the others, then as they came."""
    stages = [stage.value for stage in OPEN]
    place = case({stage: number for number, stage in enumerate(stages)}, value=jobs.c.stage)
    order = (place, jobs.c.due.is_(None), jobs.c.due, jobs.c.number)
    return _cards(transaction, _CARDS.where(jobs.c.stage.in_(stages)).order_by(*order))


def found_jobs(transaction: Transaction, query: str, *, most: int = _MOST_FOUND) -> tuple[JobCard, ...]:
    """Jobs in which every word of a query occurs: in number, serial, sheet, bike or customer's name; the newest
    first."""
    words = folded(query[:300]).split()
    cards = _CARDS.where(*(or_(jobs.c.search.contains(word, autoescape=True), _customer_has(word)) for word in words))
    return _cards(transaction, cards.order_by(jobs.c.updated.desc(), jobs.c.number.desc()).limit(most))


def _customer_has(word: str) -> ColumnElement[bool]:
    return customers.c.search.contains(word, autoescape=True)


def all_jobs(transaction: Transaction) -> tuple[str, ...]:
    """The id of every job, as they came."""
    return tuple(transaction.execute(select(jobs.c.id).order_by(jobs.c.number)).scalars())


def jobs_of_units(transaction: Transaction, which: Sequence[str]) -> tuple[JobCard, ...]:
    """All jobs on some units, oldest first."""
    return _cards(transaction, _CARDS.where(jobs.c.unit.in_(which)).order_by(jobs.c.number))


def jobs_of_customer(transaction: Transaction, customer: str) -> tuple[JobCard, ...]:
    """All jobs of a customer, oldest first."""
    return _cards(transaction, _CARDS.where(visits.c.customer == customer).order_by(jobs.c.number))


def jobs_of_visit(transaction: Transaction, visit: str) -> tuple[JobCard, ...]:
    """All jobs of one visit, as they came."""
    return _cards(transaction, _CARDS.where(jobs.c.visit == visit).order_by(jobs.c.number))


def _cards(transaction: Transaction, query: Select[Any]) -> tuple[JobCard, ...]:
    return tuple(_card(row) for row in transaction.execute(query))


def _card(row: Row[Any]) -> JobCard:
    return JobCard(
        id=row.id,
        number=row.number,
        visit=row.visit,
        customer=row.customer,
        customer_name=row.customer_name,
        unit=row.unit,
        serial=row.serial,
        sheet=row.sheet_key,
        chassis=row.chassis,
        bicycle=row.bicycle_name,
        stage=Stage(row.stage),
        on_hold=row.on_hold,
        on_hold_what=row.on_hold_what,
        holder=row.holder,
        due=row.due,
        checked_in=row.checked_in,
        updated=row.updated,
        entries=row.entries,
        comeback_of=row.comeback_of,
    )


def _entry(row: Row[Any]) -> Entry:
    return Entry(
        id=row.id,
        job=row.job,
        ordinal=row.ordinal,
        at=row.at,
        by=row.by,
        payload=payload_from_text(row.payload),
        note=row.note,
        corrects=row.corrects,
    )
