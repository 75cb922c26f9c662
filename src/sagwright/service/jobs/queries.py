"""Jobs that are recorded: one with all it holds, lists, searches, and every visit of a unit."""

from __future__ import annotations

from dataclasses import dataclass

from sagwright.domain.records.entities import Bicycle, Customer, KnownUnit, Visit
from sagwright.domain.records.job import JobCard, JobView
from sagwright.domain.records.text import require_writable
from sagwright.service.log import view_of
from sagwright.store.engine import Transaction
from sagwright.store.jobs import card_by_number, found_jobs, jobs_of_units, jobs_of_visit, open_jobs
from sagwright.store.people import bicycle_of, customer_of, unit_of, units_with_serial, visit_of
from sagwright.store.workshop import Store


@dataclass(frozen=True, slots=True)
class OpenedJob:
    """A job with the people and things it names, and the other jobs of its visit."""

    view: JobView
    customer: Customer
    unit: KnownUnit
    visit: Visit
    bicycle: Bicycle | None
    same_visit: tuple[JobCard, ...]


@dataclass(frozen=True, slots=True)
class UnitHistory:
    """Everything that happened to one unit, across customers, oldest first."""

    unit: KnownUnit
    jobs: tuple[JobView, ...]


def open_job(store: Store, job: str) -> OpenedJob:
    """A job by its id, as one opens it.

    Raises
    ------
    NotThere
    """
    with store.reading() as transaction:
        return _opened(transaction, job)


def open_job_numbered(store: Store, number: int) -> OpenedJob:
    """A job by its short number, as one opens it.

    Raises
    ------
    NotThere
    """
    with store.reading() as transaction:
        return _opened(transaction, card_by_number(transaction, number).id)


def _opened(transaction: Transaction, job: str) -> OpenedJob:
    view = view_of(transaction, job)
    state = view.state
    return OpenedJob(
        view=view,
        customer=customer_of(transaction, state.customer),
        unit=unit_of(transaction, state.unit),
        visit=visit_of(transaction, state.visit),
        bicycle=bicycle_of(transaction, state.bicycle) if state.bicycle else None,
        same_visit=tuple(card for card in jobs_of_visit(transaction, state.visit) if card.id != job),
    )


def board(store: Store) -> tuple[JobCard, ...]:
    """Every open job: by stage, those due first before the others, then as they came."""
    with store.reading() as transaction:
        return open_jobs(transaction)


def search_jobs(store: Store, query: str) -> tuple[JobCard, ...]:
    """Jobs in which every word of a query occurs, open or closed, the newest first; at most 100.

    Looked at are the number, the serial, the sheet, the bike and the customer's name; case and accents don't matter.
    """
    require_writable(query, "query")
    with store.reading() as transaction:
        return found_jobs(transaction, query)


def history_of_serial(store: Store, serial: str) -> tuple[UnitHistory, ...]:
    """Every unit with a serial number, each with all its jobs; none if nobody brought one."""
    require_writable(serial, "serial")
    with store.reading() as transaction:
        return tuple(_history(transaction, unit) for unit in units_with_serial(transaction, serial))


def _history(transaction: Transaction, unit: KnownUnit) -> UnitHistory:
    cards = jobs_of_units(transaction, [unit.id])
    return UnitHistory(unit, tuple(view_of(transaction, card.id) for card in cards))


def life_of(store: Store, unit: str) -> tuple[UnitHistory, tuple[Customer, ...]]:
    """A unit by its id with all its jobs, and whose it was on each.

    Raises
    ------
    NotThere
    """
    with store.reading() as transaction:
        known = unit_of(transaction, unit)
        views = tuple(view_of(transaction, card.id) for card in jobs_of_units(transaction, [unit]))
        ordered = tuple(sorted(views, key=lambda view: view.card.number))
        return UnitHistory(known, ordered), tuple(customer_of(transaction, view.card.customer) for view in ordered)
