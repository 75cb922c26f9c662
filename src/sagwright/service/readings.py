"""Readings as typed → what an entry says, with what the decided plan asks for."""

from __future__ import annotations

from collections.abc import Iterable

from sagwright.domain.records.payloads import Reading
from sagwright.formats.records.readings import asked_by, readings_of
from sagwright.service.choosing import decision_of
from sagwright.store.workshop import Store


def read_typed(
    store: Store, job: str, typed: Iterable[str], *, step: str | None = None, instrument: str | None = None
) -> tuple[Reading, ...]:
    """Readings written as "pressure_left=88 psi", of one step of what was decided, or of any.

    Raises
    ------
    NotThere
        If there is no such job, or nothing is decided on it.
    InputError
        If one is not asked for, or is no number with a unit of its quantity.
    """
    some = tuple(typed)
    return readings_of(some, asked_by(decision_of(store, job).work.text, step), instrument=instrument) if some else ()
