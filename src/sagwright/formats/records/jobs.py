"""Jobs as JSON: one ("job/1"), lists ("jobs/1"), a unit's history ("history/1"), an owner's data ("owner/1")."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from typing import Final

from sagwright.domain.records.entities import Bicycle, KnownUnit, Owner, Visit
from sagwright.domain.records.entry import Entry
from sagwright.domain.records.job import JobCard, JobView
from sagwright.formats.json_text import Json, dumped
from sagwright.formats.records.entries import payload_to_text

SHAPE: Final = "owner/1"

JOB: Final = "job/1"
JOBS: Final = "jobs/1"
HISTORY: Final = "history/1"


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
            "jobs": [_job_of_owner(one) for one in jobs],
        }
    )


def _job_of_owner(view: JobView) -> Json:
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


def job_to_json(view: JobView) -> str:
    """A job with where it stands and every entry."""
    return dumped({"shape": JOB} | _job(view))


def jobs_to_json(cards: Sequence[JobCard]) -> str:
    """Jobs as lists show them."""
    return dumped({"shape": JOBS, "jobs": [_card(card) for card in cards]})


def history_to_json(units: Sequence[tuple[KnownUnit, Sequence[JobView]]]) -> str:
    """Units with all their jobs."""
    shapes: list[Json] = [{"unit": asdict(unit), "jobs": [_job(view) for view in views]} for unit, views in units]
    return dumped({"shape": HISTORY, "units": shapes})


def _job(view: JobView) -> dict[str, Json]:
    state = view.state
    return _card(view.card) | {
        "facts": dict(state.facts),
        "tasks": list(state.tasks),
        "symptoms": state.symptoms,
        "left": list(state.left),
        "done": list(state.done),
        "entries": [entry_shape(entry) for entry in view.entries],
    }


def _card(card: JobCard) -> dict[str, Json]:
    moments: dict[str, Json] = {"taken_in": card.taken_in.isoformat(), "updated": card.updated.isoformat()}
    plain: dict[str, Json] = asdict(card)
    plain["entry_count"] = plain.pop("entries")
    return plain | {"stage": card.stage.value} | moments
