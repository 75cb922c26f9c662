"""Every entry of a job, and one of them to be corrected: a correction is a new entry that stands beside it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from starlette.responses import Response

from sagwright.domain.records.job import EntryLine
from sagwright.domain.records.payloads import CheckedIn, Payload, StepDone, Withdrawn
from sagwright.domain.records.stages import OPEN, Stage
from sagwright.errors import Conflict, InputError, NotThere
from sagwright.phrases.entries import EntryWording
from sagwright.service.jobs import actions
from sagwright.service.jobs.queries import OpenedJob
from sagwright.web.bench.frame import address
from sagwright.web.http.form import Box, Fault, FieldErrors, faults_of
from sagwright.web.http.page import Page, respond
from sagwright.web.http.request import PageRequest, acted, get, post, to
from sagwright.web.job_frame import job_frame, job_of
from sagwright.web.jobs.correction import Filled, boxes_of, corrected
from sagwright.web.jobs.words import EntryView, entry_line, entry_views
from sagwright.web.jobs.work_order import records_of, telling_of


@dataclass(frozen=True, slots=True, kw_only=True)
class EntriesPage(Page):
    """Every entry of a job.

    Attributes
    ----------
    lines : tuple of EntryView
    """

    template: ClassVar[str] = "jobs/log.html"

    lines: tuple[EntryView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryPage(Page):
    """One entry, to look at and to correct.

    Attributes
    ----------
    line : EntryView
    boxes : tuple of Box
        What may be put right, filled with what holds; none where it can only be withdrawn.
    faults : tuple of Fault
    may_withdraw : bool
    corrections : str
        How many corrections the entry had when the form was shown.
    note, why : str
        Why it is corrected, or withdrawn, as typed.
    submission, other : str
        The ids that a correction and a withdrawal would have.
    """

    template: ClassVar[str] = "jobs/entry.html"

    line: EntryView
    boxes: tuple[Box, ...]
    faults: tuple[Fault, ...]
    may_withdraw: bool
    corrections: str
    note: str
    why: str
    submission: str
    other: str


def _show(asked: PageRequest) -> Response:
    """All of them."""
    job = job_of(asked)
    page = EntriesPage(
        frame=job_frame(asked, job, "Entries", _stage(job)),
        lines=entry_views(job.view.state, asked.shop.now(), _telling(asked, job)),
    )
    return respond(page)


def _telling(asked: PageRequest, job: OpenedJob) -> EntryWording:
    return telling_of(asked.shop.records, job.view.state, asked.choice)


def _stage(job: OpenedJob) -> Stage:
    return job.view.card.stage if job.view.card.stage in OPEN else OPEN[-1]


def _line(asked: PageRequest, job: OpenedJob) -> EntryLine:
    """The entry that the address names.

    Raises
    ------
    NotThere
    """
    for line in job.view.state.lines:
        if asked.path["ordinal"] in {str(one.ordinal) for one in (line.entry, *line.corrections)}:
            return line
    raise NotThere(f"The job has no entry {asked.path['ordinal']}.")


def look_at_one(asked: PageRequest) -> Response:
    """One of them."""
    return respond(_page(asked, job_of(asked)))


def _page(asked: PageRequest, job: OpenedJob, wrongs: FieldErrors | None = None) -> EntryPage:
    line = _line(asked, job)
    form = asked.form if asked.form.pairs and not asked.form.has("reason") else None
    boxes = () if line.payload is None else tuple(boxes_of(line.payload, asked.choice, form, wrongs))
    return EntryPage(
        frame=job_frame(asked, job, f"Entry {line.entry.ordinal}", _stage(job)),
        line=entry_line(line, asked.shop.now(), _telling(asked, job)),
        boxes=boxes,
        faults=faults_of(wrongs or {}, {box.name: box for box in boxes}),
        may_withdraw=line.payload is not None and not isinstance(line.payload, CheckedIn),
        corrections=str(len(line.corrections)),
        note=asked.form.text("note"),
        why=asked.form.text("reason"),
        submission=asked.shop.new_id(),
        other=asked.shop.new_id(),
    )


def correct(asked: PageRequest) -> Response:
    """A correction, or a withdrawal; where something is wrong it is told beside what was typed."""
    job = job_of(asked)
    line = _line(asked, job)
    if any(one.id == asked.id for one in line.corrections):  # sent twice
        return to(address(job, f"log/{line.entry.ordinal}"))

    def do() -> str:
        said = replace(asked.submission(), note=asked.form.text("note"))
        what = _stands_in(asked, job, line)
        actions.record(asked.shop.records, job.view.card.id, said, what=what, corrects=line.entry.id)
        return f"{address(job, f'log/{line.entry.ordinal}')}?done=Recorded"

    return acted(asked, do, lambda wrongs: _page(asked, job_of(asked), wrongs))


def _stands_in(asked: PageRequest, job: OpenedJob, line: EntryLine) -> Payload:
    """What stands in for an entry.

    Raises
    ------
    InputError, InputErrors
        If something about it is wrong.
    NotThere
        If there is nothing to put right about it.
    """
    if asked.form.has("reason"):
        return Withdrawn(asked.form.text("reason"))
    if line.payload is None or not boxes_of(line.payload, asked.choice):
        raise NotThere("There is nothing to put right about this entry.", remedy="Record anew what holds.")
    seen = asked.form.text("corrections", str(len(line.corrections)))
    if seen != str(len(line.corrections)):
        raise Conflict(
            "Somebody corrected this entry in the meantime.", remedy="See what it says now, then send again."
        )
    step = line.payload.step if isinstance(line.payload, StepDone) else ""
    records = records_of(asked.shop.records, job.view.state, step) if step else {}
    what = corrected(line.payload, Filled(asked.form, asked.choice, records))
    if what == line.payload:
        raise InputError("says what the entry says already", remedy="Put right what is wrong, then send it.")
    return what


ROUTES = (
    get("/jobs/{number}/log", _show),
    get("/jobs/{number}/log/{ordinal}", look_at_one),
    post("/jobs/{number}/log/{ordinal}", correct),
)
