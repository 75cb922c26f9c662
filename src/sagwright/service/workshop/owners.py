"""Owners: found, changed, given all that is kept about them, and erased."""

from __future__ import annotations

from datetime import datetime

from sagwright.domain.records.entities import Bicycle, KnownUnit, Owner
from sagwright.domain.records.entry import Submission
from sagwright.domain.records.text import require_words, require_writable
from sagwright.errors import NotNow
from sagwright.formats.records.jobs import owner_to_json
from sagwright.service.jobs.intake import NewBicycle, new_bicycle
from sagwright.service.log import view_of
from sagwright.store.engine import Transaction
from sagwright.store.jobs import jobs_of_owner, refresh_search
from sagwright.store.people import (
    bicycles_of,
    change_owner,
    erase_owner,
    found_owners,
    owner_of,
    put_bicycle,
    units_of_owner,
    visits_of,
)
from sagwright.store.workshop import Store


def find_owners(store: Store, query: str) -> tuple[Owner, ...]:
    """Owners in whose name every word of a query occurs, by name; at most 100. All of them for an empty query."""
    require_writable(query, "query")
    with store.reading() as transaction:
        return found_owners(transaction, query)


def things_of(store: Store, owner: str) -> tuple[Owner, tuple[Bicycle, ...], tuple[KnownUnit, ...]]:
    """An owner with bikes and units.

    Raises
    ------
    NotThere
    """
    with store.reading() as transaction:
        return owner_of(transaction, owner), bicycles_of(transaction, owner), units_of_owner(transaction, owner)


def rename(store: Store, owner: str, *, name: str, contact: str) -> Owner:
    """Another name or contact for an owner.

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
        _require_there(transaction, owner)
        change_owner(transaction, Owner(owner, name, contact))
        return owner_of(transaction, owner)


def keep_bicycle(store: Store, owner: str, bicycle: NewBicycle, said: Submission) -> Bicycle:
    """An owner's bike under the submission's id: a new one, or another name and geometry for that one.

    Raises
    ------
    InputError, InputErrors
        If it has no name, or its text is not bike/1.
    NotThere, NotNow
        If there is no such owner, or it was erased.
    """
    require_writable(bicycle)
    made = new_bicycle(bicycle, owner, said.id)
    with store.writing() as transaction:
        _require_there(transaction, owner)
        put_bicycle(transaction, made)
        refresh_search(transaction, [card.id for card in jobs_of_owner(transaction, owner)])
    return made


def _require_there(transaction: Transaction, owner: str) -> None:
    if owner_of(transaction, owner).erased:
        raise NotNow("This owner was erased.", remedy="Make a new one.")


def export_owner(store: Store, owner: str) -> str:
    """Everything that is kept about an owner, as JSON of the shape owner/1.

    Raises
    ------
    NotThere
    """
    with store.reading() as transaction:
        return owner_to_json(
            owner_of(transaction, owner),
            bicycles_of(transaction, owner),
            units_of_owner(transaction, owner),
            visits_of(transaction, [owner]),
            [view_of(transaction, card.id) for card in jobs_of_owner(transaction, owner)],
        )


def erase(store: Store, owner: str, *, at: datetime, by: str) -> Owner:
    """An owner without name and contact; the jobs stay whole, under the id. Done twice it is done once.

    Raises
    ------
    NotThere
    """
    require_words(by, "by")
    with store.writing() as transaction:
        if not owner_of(transaction, owner).erased:
            erase_owner(transaction, owner, at=at, by=by)
        return owner_of(transaction, owner)
