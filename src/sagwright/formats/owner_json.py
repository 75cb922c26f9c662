"""Everything that is kept about one owner, for the owner, as JSON of the shape "owner/1"."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from typing import Final

from sagwright.domain.records.entities import Bicycle, KnownUnit, Owner, Visit
from sagwright.domain.records.entry import Entry
from sagwright.domain.records.job import JobView
from sagwright.formats.entry_json import payload_to_text
from sagwright.formats.json_text import Json, dumped

SHAPE: Final = "owner/1"


def owner_to_json(
    owner: Owner,
    bicycles: Sequence[Bicycle],
    units: Sequence[KnownUnit],
    visits: Sequence[Visit],
    jobs: Sequence[JobView],
) -> str:
    """An owner with everything recorded, as JSON text with a newline at its end."""
    return dumped(
        {
            "shape": SHAPE,
            "owner": asdict(owner),
            "bicycles": [asdict(one) for one in bicycles],
            "units": [asdict(one) for one in units],
            "visits": [asdict(one) | {"arrived": one.arrived.isoformat()} for one in visits],
            "jobs": [_job(one) for one in jobs],
        }
    )


def _job(view: JobView) -> Json:
    return {
        "id": view.card.id,
        "number": view.card.number,
        "visit": view.card.visit,
        "unit": view.card.unit,
        "stage": view.card.stage.value,
        "entries": [entry_shape(entry) for entry in view.entries],
    }


def entry_shape(entry: Entry) -> Json:
    """An entry as plain values."""
    return {
        "id": entry.id,
        "ordinal": entry.ordinal,
        "at": entry.at.isoformat(),
        "by": entry.by,
        "note": entry.note,
        "corrects": entry.corrects,
        "says": json.loads(payload_to_text(entry.payload)),
    }
