"""What an entry points at."""

from __future__ import annotations

from sagwright.domain.records.payloads import Condition, Payload, Reading


def photos_in(payload: Payload) -> tuple[str, ...]:
    """Ids of all photos that an entry names, each once."""
    conditions: tuple[Condition, ...] = getattr(payload, "condition", ())
    readings: tuple[Reading, ...] = getattr(payload, "readings", ())
    named = [
        *getattr(payload, "photos", ()),
        *(photo for one in conditions for photo in one.photos),
        *(one.photo for one in readings if one.photo is not None),
    ]
    return tuple(dict.fromkeys(named))
