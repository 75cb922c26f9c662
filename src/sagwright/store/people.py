"""Customers, their bikes, units and visits."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any, Final

from sqlalchemy import Row, delete, insert, or_, select, update

from sagwright.domain.records.entities import Bicycle, Customer, KnownUnit, Visit
from sagwright.domain.records.text import folded
from sagwright.errors import NotThere
from sagwright.store.engine import Transaction
from sagwright.store.tables import bicycles, customers, drafts, jobs, units, visits

_MOST_FOUND: Final = 100


def add_customer(transaction: Transaction, customer: Customer) -> None:
    """A new customer."""
    transaction.execute(insert(customers).values(id=customer.id, **_customer_row(customer)))


def change_customer(transaction: Transaction, customer: Customer) -> None:
    """Another name or contact for a customer who is there."""
    transaction.execute(update(customers).where(customers.c.id == customer.id).values(**_customer_row(customer)))


def _customer_row(customer: Customer) -> dict[str, Any]:
    return {"name": customer.name, "contact": customer.contact, "search": folded(customer.name)}


def customer_of(transaction: Transaction, customer: str) -> Customer:
    """One customer.

    Raises
    ------
    NotThere
    """
    row = transaction.execute(select(customers).where(customers.c.id == customer)).first()
    if row is None:
        raise NotThere(f"There is no customer {customer}.", remedy="Search for the name.")
    return _customer(row)


def found_customers(transaction: Transaction, query: str, *, most: int = _MOST_FOUND) -> tuple[Customer, ...]:
    """Customers in whose name every word of a query occurs, by name."""
    words = folded(query[:300]).split()
    match = [customers.c.search.contains(word, autoescape=True) for word in words]
    rows = select(customers).where(customers.c.erased_at.is_(None), *match).order_by(customers.c.search, customers.c.id)
    return tuple(_customer(row) for row in transaction.execute(rows.limit(most)))


def erase_customer(transaction: Transaction, customer: str, *, at: datetime, by: str) -> None:
    """Name and contact are gone, and every half-filled form about the customer's jobs or with the name in it; the id
    and the jobs stay."""
    named = [
        text for text in (customer_of(transaction, customer).name, customer_of(transaction, customer).contact) if text
    ]
    gone = {"name": "", "contact": "", "search": "", "erased_at": at, "erased_by": by}
    transaction.execute(update(customers).where(customers.c.id == customer).values(**gone))
    theirs = select(jobs.c.id).join(visits, visits.c.id == jobs.c.visit).where(visits.c.customer == customer)
    holds = (drafts.c.text.contains(text, autoescape=True) for text in named)
    transaction.execute(delete(drafts).where(or_(drafts.c.job.in_(theirs), *holds)))


def _customer(row: Row[Any]) -> Customer:
    return Customer(row.id, row.name, row.contact, erased=row.erased_at is not None)


def put_bicycle(transaction: Transaction, bicycle: Bicycle) -> None:
    """A bike, new or changed."""
    values = {"customer": bicycle.customer, "name": bicycle.name, "document": bicycle.document}
    changed = transaction.execute(update(bicycles).where(bicycles.c.id == bicycle.id).values(**values))
    if not changed.rowcount:
        transaction.execute(insert(bicycles).values(id=bicycle.id, **values))


def bicycle_of(transaction: Transaction, bicycle: str) -> Bicycle:
    """One bike.

    Raises
    ------
    NotThere
    """
    row = transaction.execute(select(bicycles).where(bicycles.c.id == bicycle)).first()
    if row is None:
        raise NotThere(f"There is no bike {bicycle}.", remedy="Choose one of the customer's.")
    return _bicycle(row)


def bicycles_of(transaction: Transaction, customer: str) -> tuple[Bicycle, ...]:
    """A customer's bikes, by name."""
    rows = select(bicycles).where(bicycles.c.customer == customer).order_by(bicycles.c.name, bicycles.c.id)
    return tuple(_bicycle(row) for row in transaction.execute(rows))


def _bicycle(row: Row[Any]) -> Bicycle:
    return Bicycle(row.id, row.customer, row.name, row.document)


def put_unit(transaction: Transaction, unit: KnownUnit) -> None:
    """A unit, new or as it is by now."""
    values = {
        "serial": unit.serial,
        "serial_search": folded(unit.serial),
        "sheet": unit.sheet,
        "chassis": unit.chassis,
        "customer": unit.customer,
        "bicycle": unit.bicycle,
    }
    changed = transaction.execute(update(units).where(units.c.id == unit.id).values(**values))
    if not changed.rowcount:
        transaction.execute(insert(units).values(id=unit.id, **values))


def unit_of(transaction: Transaction, unit: str) -> KnownUnit:
    """One unit.

    Raises
    ------
    NotThere
    """
    row = transaction.execute(select(units).where(units.c.id == unit)).first()
    if row is None:
        raise NotThere(f"There is no unit {unit}.", remedy="Search for its serial number.")
    return _unit(row)


def units_with_serial(transaction: Transaction, serial: str) -> tuple[KnownUnit, ...]:
    """Units with a serial number, whatever its case and spaces; none for an empty one."""
    rows = select(units).where(units.c.serial_search == folded(serial), units.c.serial_search != "")
    return tuple(_unit(row) for row in transaction.execute(rows.order_by(units.c.id)))


def units_of_customer(transaction: Transaction, customer: str) -> tuple[KnownUnit, ...]:
    """The units that were a customer's last."""
    rows = select(units).where(units.c.customer == customer).order_by(units.c.serial, units.c.id)
    return tuple(_unit(row) for row in transaction.execute(rows))


def _unit(row: Row[Any]) -> KnownUnit:
    return KnownUnit(row.id, row.serial, row.sheet, row.chassis, row.customer, row.bicycle)


def add_visit(transaction: Transaction, visit: Visit) -> None:
    """A new visit."""
    values = {"customer": visit.customer, "arrived": visit.arrived, "due": visit.due}
    transaction.execute(insert(visits).values(id=visit.id, **values))


def visit_of(transaction: Transaction, visit: str) -> Visit:
    """One visit.

    Raises
    ------
    NotThere
    """
    row = transaction.execute(select(visits).where(visits.c.id == visit)).first()
    if row is None:
        raise NotThere(f"There is no visit {visit}.", remedy="Begin a new one.")
    return _visit(row)


def visits_of(transaction: Transaction, which: Sequence[str]) -> tuple[Visit, ...]:
    """The visits of some customers, oldest first."""
    rows = select(visits).where(visits.c.customer.in_(which)).order_by(visits.c.arrived, visits.c.id)
    return tuple(_visit(row) for row in transaction.execute(rows))


def _visit(row: Row[Any]) -> Visit:
    return Visit(row.id, row.customer, row.arrived, row.due)
