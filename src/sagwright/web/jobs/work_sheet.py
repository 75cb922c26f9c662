"""The work of a job on one printed page: torques, fills, pressures and hold points, for hands that know the rest."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from starlette.responses import Response

from sagwright.domain.records.stages import Stage
from sagwright.phrases.changes import ChangeText
from sagwright.phrases.plan_rows import change_rows
from sagwright.web.http.dates import moment
from sagwright.web.http.page import Page, respond
from sagwright.web.http.request import PageRequest, get, to
from sagwright.web.job_frame import job_address, job_frame, job_of, unit_text, wish_cell
from sagwright.web.jobs.words import known_facts
from sagwright.web.jobs.work_order import StepRow, Times, changes_rows, decided_of, special_tools, times_of


@dataclass(frozen=True, slots=True, kw_only=True)
class JobSheetPage(Page):
    """One page to lay beside the stand.

    Attributes
    ----------
    number : int
    unit, customer, wish, decided : str
    found : tuple of str
        How the unit was found, in a few words.
    changes : tuple of ChangeText
    special : tuple of str
        Special tools.
    times : Times
    steps : tuple of StepRow
    """

    template: ClassVar[str] = "jobs/work_sheet.html"

    number: int
    unit: str
    customer: str
    wish: str
    decided: str
    found: tuple[str, ...]
    changes: tuple[ChangeText, ...]
    special: tuple[str, ...]
    times: Times
    steps: tuple[StepRow, ...]


def _show(asked: PageRequest) -> Response:
    """The page; before anything is decided, the job."""
    job = job_of(asked)
    card, state = job.view.card, job.view.state
    if state.decision is None:
        return to(f"{job_address(card.number)}?done=Nothing is decided yet: choose first.")
    decided = decided_of(asked.shop.records, card.id)
    at = next(entry.at for entry in job.view.entries if entry.ordinal == state.decided_at)
    page = JobSheetPage(
        frame=job_frame(asked, job, "Job sheet", Stage.PREPARE, sheet=decided.revision),
        number=card.number,
        unit=unit_text(card),
        customer=card.customer_name or "erased",
        wish=wish_cell(state),
        decided=f"{moment(at, asked.shop.now())}, {decided.work.program}",
        found=_found(asked, state.facts),
        changes=change_rows(decided.work.changes, decided.sheet, asked.choice),
        special=special_tools(decided.work),
        times=times_of(decided.work.steps, asked.choice),
        steps=changes_rows(decided, asked.choice),
    )
    return respond(page)


def _found(asked: PageRequest, facts: tuple[tuple[str, str], ...]) -> tuple[str, ...]:
    groups = known_facts(tuple(fact for fact in facts if fact[0].startswith("as_found.")), asked.choice)
    return tuple(f"{fact.name} {fact.text}" for group in groups for fact in group.facts)


ROUTES = (get("/jobs/{number}/sheet", _show),)
