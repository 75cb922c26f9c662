"""A unit's life: every job on it, across owners, oldest first."""

from __future__ import annotations

from sagwright.domain.records.entities import Owner
from sagwright.service.looking import UnitHistory
from sagwright.service.recording import view_of
from sagwright.store.jobs import jobs_of_units
from sagwright.store.people import owner_of, unit_of
from sagwright.store.workshop import Store


def life_of(store: Store, unit: str) -> tuple[UnitHistory, tuple[Owner, ...]]:
    """A unit by its id with all its jobs, and whose it was on each.

    Raises
    ------
    NotThere
    """
    with store.reading() as transaction:
        known = unit_of(transaction, unit)
        views = tuple(view_of(transaction, card.id) for card in jobs_of_units(transaction, [unit]))
        ordered = tuple(sorted(views, key=lambda view: view.card.number))
        return UnitHistory(known, ordered), tuple(owner_of(transaction, view.card.owner) for view in ordered)
