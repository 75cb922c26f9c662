"""Jobs as JSON: one with its entries ("job/1"), lists of them ("jobs/1"), a unit's history ("history/1")."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Final

from sagwright.domain.records.entities import KnownUnit
from sagwright.domain.records.job import JobCard, JobView
from sagwright.formats.json_text import Json, dumped
from sagwright.formats.owner_json import entry_shape

JOB: Final = "job/1"
JOBS: Final = "jobs/1"
HISTORY: Final = "history/1"


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
