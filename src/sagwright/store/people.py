"""Owners, their bikes, units and visits."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any, Final

from sqlalchemy import Row, delete, insert, or_, select, update

from sagwright.domain.records.entities import Bicycle, KnownUnit, Owner, Visit
from sagwright.domain.records.text import folded
from sagwright.errors import NotThere
from sagwright.store.engine import Transaction
from sagwright.store.tables import bicycles, drafts, jobs, owners, units, visits

MOST_FOUND: Final = 100


def add_owner(transaction: Transaction, owner: Owner) -> None:
    """A new owner."""
    transaction.execute(insert(owners).values(id=owner.id, **_owner_row(owner)))


def change_owner(transaction: Transaction, owner: Owner) -> None:
    """Another name or contact for an owner who is there."""
    transaction.execute(update(owners).where(owners.c.id == owner.id).values(**_owner_row(owner)))


def _owner_row(owner: Owner) -> dict[str, Any]:
    return {"name": owner.name, "contact": owner.contact, "search": folded(owner.name)}


def owner_of(transaction: Transaction, owner: str) -> Owner:
    """One owner.

    Raises
    ------
    NotThere
    """
    row = transaction.execute(select(owners).where(owners.c.id == owner)).first()
    if row is None:
        raise NotThere(f"There is no owner {owner}.", remedy="Search for the name.")
    return _owner(row)


def found_owners(transaction: Transaction, query: str, *, most: int = MOST_FOUND) -> tuple[Owner, ...]:
    """Owners in whose name every word of a query occurs, by name."""
    words = folded(query[:300]).split()
    match = [owners.c.search.contains(word, autoescape=True) for word in words]
    rows = select(owners).where(owners.c.erased_at.is_(None), *match).order_by(owners.c.search, owners.c.id)
    return tuple(_owner(row) for row in transaction.execute(rows.limit(most)))


def erase_owner(transaction: Transaction, owner: str, *, at: datetime, by: str) -> None:
    """Name and contact are gone, and every half-filled form about the owner's jobs or with the name in it; the id and
    the jobs stay."""
    named = [text for text in (owner_of(transaction, owner).name, owner_of(transaction, owner).contact) if text]
    gone = {"name": "", "contact": "", "search": "", "erased_at": at, "erased_by": by}
    transaction.execute(update(owners).where(owners.c.id == owner).values(**gone))
    theirs = select(jobs.c.id).join(visits, visits.c.id == jobs.c.visit).where(visits.c.owner == owner)
    holds = (drafts.c.text.contains(text, autoescape=True) for text in named)
    transaction.execute(delete(drafts).where(or_(drafts.c.job.in_(theirs), *holds)))


def _owner(row: Row[Any]) -> Owner:
    return Owner(row.id, row.name, row.contact, erased=row.erased_at is not None)


def put_bicycle(transaction: Transaction, bicycle: Bicycle) -> None:
    """A bike, new or changed."""
    values = {"owner": bicycle.owner, "name": bicycle.name, "document": bicycle.document}
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
        raise NotThere(f"There is no bike {bicycle}.", remedy="Choose one of the owner's.")
    return _bicycle(row)


def bicycles_of(transaction: Transaction, owner: str) -> tuple[Bicycle, ...]:
    """An owner's bikes, by name."""
    rows = select(bicycles).where(bicycles.c.owner == owner).order_by(bicycles.c.name, bicycles.c.id)
    return tuple(_bicycle(row) for row in transaction.execute(rows))


def _bicycle(row: Row[Any]) -> Bicycle:
    return Bicycle(row.id, row.owner, row.name, row.document)


def put_unit(transaction: Transaction, unit: KnownUnit) -> None:
    """A unit, new or as it is by now."""
    values = {
        "serial": unit.serial,
        "serial_search": folded(unit.serial),
        "sheet": unit.sheet,
        "chassis": unit.chassis,
        "owner": unit.owner,
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


def units_of_owner(transaction: Transaction, owner: str) -> tuple[KnownUnit, ...]:
    """The units that were an owner's last."""
    rows = select(units).where(units.c.owner == owner).order_by(units.c.serial, units.c.id)
    return tuple(_unit(row) for row in transaction.execute(rows))


def _unit(row: Row[Any]) -> KnownUnit:
    return KnownUnit(row.id, row.serial, row.sheet, row.chassis, row.owner, row.bicycle)


def add_visit(transaction: Transaction, visit: Visit) -> None:
    """A new visit."""
    values = {"owner": visit.owner, "arrived": visit.arrived, "promised": visit.promised}
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
    """The visits of some owners, oldest first."""
    rows = select(visits).where(visits.c.owner.in_(which)).order_by(visits.c.arrived, visits.c.id)
    return tuple(_visit(row) for row in transaction.execute(rows))


def _visit(row: Row[Any]) -> Visit:
    return Visit(row.id, row.owner, row.arrived, row.promised)
