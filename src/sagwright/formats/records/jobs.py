"""Jobs as JSON: one ("job/1"), lists ("jobs/1"), a unit's history ("history/1"), a customer's data ("customer/1")."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from typing import Final

from sagwright.domain.records.entities import Bicycle, Customer, KnownUnit, Visit
from sagwright.domain.records.entry import Entry
from sagwright.domain.records.job import JobCard, JobView
from sagwright.formats.json_text import Json, dump_json
from sagwright.formats.records.entries import payload_to_text

_SHAPE: Final = "customer/1"

_JOB: Final = "job/1"
JOBS: Final = "jobs/1"
HISTORY: Final = "history/1"


def customer_to_json(
    customer: Customer,
    bicycles: Sequence[Bicycle],
    units: Sequence[KnownUnit],
    visits: Sequence[Visit],
    jobs: Sequence[JobView],
) -> str:
    """A customer with everything recorded, as JSON text with a newline at its end."""
    return dump_json(
        {
            "shape": _SHAPE,
            "customer": asdict(customer),
            "bicycles": [asdict(one) for one in bicycles],
            "units": [asdict(one) for one in units],
            "visits": [asdict(one) | {"arrived": one.arrived.isoformat()} for one in visits],
            "jobs": [_job_of_customer(one) for one in jobs],
        }
    )


def _job_of_customer(view: JobView) -> Json:
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
    return dump_json({"shape": _JOB} | _job(view))


def jobs_to_json(cards: Sequence[JobCard]) -> str:
    """Jobs as lists show them."""
    return dump_json({"shape": JOBS, "jobs": [_card(card) for card in cards]})


def history_to_json(units: Sequence[tuple[KnownUnit, Sequence[JobView]]]) -> str:
    """Units with all their jobs."""
    shapes: list[Json] = [{"unit": asdict(unit), "jobs": [_job(view) for view in views]} for unit, views in units]
    return dump_json({"shape": HISTORY, "units": shapes})


def _job(view: JobView) -> dict[str, Json]:
    state = view.state
    return _card(view.card) | {
        "facts": dict(state.facts),
        "tasks": list(state.tasks),
        "symptoms": state.symptoms,
        "left": list(state.steps_left),
        "done": list(state.done),
        "entries": [entry_shape(entry) for entry in view.entries],
    }


def _card(card: JobCard) -> dict[str, Json]:
    moments: dict[str, Json] = {"checked_in": card.checked_in.isoformat(), "updated": card.updated.isoformat()}
    plain: dict[str, Json] = asdict(card)
    plain["entry_count"] = plain.pop("entries")
    return plain | {"stage": card.stage.value} | moments
