"""Customers: found, changed, given all that is kept about them, and erased."""

from __future__ import annotations

from datetime import datetime

from sagwright.domain.records.entities import Bicycle, Customer, KnownUnit
from sagwright.domain.records.entry import Submission
from sagwright.domain.records.text import require_words, require_writable
from sagwright.errors import NotNow
from sagwright.formats.records.jobs import customer_to_json
from sagwright.service.jobs.intake import NewBicycle, new_bicycle
from sagwright.service.log import view_of
from sagwright.store.engine import Transaction
from sagwright.store.jobs import jobs_of_customer, refresh_search
from sagwright.store.people import (
    bicycles_of,
    change_customer,
    customer_of,
    erase_customer,
    found_customers,
    put_bicycle,
    units_of_customer,
    visits_of,
)
from sagwright.store.workshop import Store


def find_customers(store: Store, query: str) -> tuple[Customer, ...]:
    """Customers in whose name every word of a query occurs, by name; at most 100. All of them for an empty query."""
    require_writable(query, "query")
    with store.reading() as transaction:
        return found_customers(transaction, query)


def records_of_customer(store: Store, customer: str) -> tuple[Customer, tuple[Bicycle, ...], tuple[KnownUnit, ...]]:
    """A customer with bikes and units.

    Raises
    ------
    NotThere
    """
    with store.reading() as transaction:
        return (
            customer_of(transaction, customer),
            bicycles_of(transaction, customer),
            units_of_customer(transaction, customer),
        )


def rename(store: Store, customer: str, *, name: str, contact: str) -> Customer:
    """Another name or contact for a customer.

    Raises
    ------
    InputError
        If the name is empty or cannot be kept.
    NotThere, NotNow
        If there is none such, or it was erased.
    """
    require_words(name, "name")
    require_writable(contact, "contact")
    with store.writing() as transaction:
        _require_there(transaction, customer)
        change_customer(transaction, Customer(customer, name, contact))
        return customer_of(transaction, customer)


def add_bicycle(store: Store, customer: str, bicycle: NewBicycle, said: Submission) -> Bicycle:
    """A customer's bike under the submission's id: a new one, or another name and geometry for that one.

    Raises
    ------
    InputError, InputErrors
        If it has no name, or its text is not bike/1.
    NotThere, NotNow
        If there is no such customer, or it was erased.
    """
    require_writable(bicycle)
    made = new_bicycle(bicycle, customer, said.id)
    with store.writing() as transaction:
        _require_there(transaction, customer)
        put_bicycle(transaction, made)
        refresh_search(transaction, [card.id for card in jobs_of_customer(transaction, customer)])
    return made


def _require_there(transaction: Transaction, customer: str) -> None:
    if customer_of(transaction, customer).erased:
        raise NotNow("This customer was erased.", remedy="Make a new one.")


def export_customer(store: Store, customer: str) -> str:
    """Everything that is kept about a customer, as JSON of the shape customer/1.

    Raises
    ------
    NotThere
    """
    with store.reading() as transaction:
        return customer_to_json(
            customer_of(transaction, customer),
            bicycles_of(transaction, customer),
            units_of_customer(transaction, customer),
            visits_of(transaction, [customer]),
            [view_of(transaction, card.id) for card in jobs_of_customer(transaction, customer)],
        )


def erase_customer_of(store: Store, customer: str, *, at: datetime, by: str) -> Customer:
    """A customer without name and contact; the jobs stay whole, under the id. Done twice it is done once.

    Raises
    ------
    NotThere
    """
    require_words(by, "by")
    with store.writing() as transaction:
        if not customer_of(transaction, customer).erased:
            erase_customer(transaction, customer, at=at, by=by)
        return customer_of(transaction, customer)
