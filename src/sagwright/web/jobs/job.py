"""One job: what is known, what is to be done about it, and everything that was recorded."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar, Final

from starlette.responses import Response

from sagwright.domain.records.job import JobCard, JobState
from sagwright.domain.records.stages import Stage
from sagwright.errors import NotThere
from sagwright.phrases.entries import condition_text
from sagwright.service.jobs import actions
from sagwright.service.jobs.queries import OpenedJob, open_job
from sagwright.web.files import LARGEST_UPLOAD, save_photos
from sagwright.web.http.dates import Due, due_text, moment
from sagwright.web.http.form import Box, Fault, FieldErrors, Form, faults_of
from sagwright.web.http.page import Link, Page, respond
from sagwright.web.http.request import PageRequest, acted, get, post
from sagwright.web.job_frame import STAGE_PAGES, job_address, job_frame, job_of, unit_text, wish_cell
from sagwright.web.jobs.actions import ACTS, JobForm, filled
from sagwright.web.jobs.words import EntryView, FactGroup, entry_views, known_facts
from sagwright.web.jobs.work_order import telling_of

_NEXT: Final = {
    Stage.CHECK_IN: "Continue the check-in",
    Stage.PLAN: "Choose",
    Stage.PREPARE: "Prepare",
}


@dataclass(frozen=True, slots=True)
class ActForm:
    """One small form, its fields as they were typed, and whether it stands open."""

    act: JobForm
    boxes: tuple[Box, ...]
    open: bool


@dataclass(frozen=True, slots=True)
class RecordedLine:
    """Something seen on the unit, in words, with its photos."""

    text: str
    within: bool
    photos: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class JobPage(Page):
    """A job.

    Attributes
    ----------
    card : JobCard
    heading, contact : str
    waits, since, ended : str
        What it is on hold for and since when; how it ended.
    due_text : Due
        The due day, in words.
    wish, symptoms : str
    facts : tuple of FactGroup
    condition : tuple of RecordedLine
    photos : tuple of str
        Taken at check-in, by their ids.
    way : Link or None
        What to do next.
    same_visit : tuple of Link
        The other jobs of its visit.
    before : Link or None
        The job it comes back from.
    acts : tuple of ActForm
    entries : tuple of EntryView
        The newest first.
    submission : str
        Id of the next one.
    entry_count : int
        How many entries there were when this was shown.
    faults : tuple of Fault
    """

    template: ClassVar[str] = "jobs/job.html"

    card: JobCard
    heading: str
    contact: str
    waits: str
    since: str
    due_text: Due
    ended: str
    wish: str
    symptoms: str
    facts: tuple[FactGroup, ...]
    condition: tuple[RecordedLine, ...]
    photos: tuple[str, ...]
    way: Link | None
    same_visit: tuple[Link, ...]
    before: Link | None
    acts: tuple[ActForm, ...]
    entries: tuple[EntryView, ...]
    submission: str
    entry_count: int
    faults: tuple[Fault, ...]


def _show(asked: PageRequest) -> Response:
    """A job as it stands."""
    return respond(_page(asked, job_of(asked)))


def act(asked: PageRequest) -> Response:
    """Record what one of the small forms says."""
    chosen = next((one for one in ACTS if one.name == asked.path["act"]), None)
    if chosen is None:
        raise NotThere("There is no such form.")
    job = job_of(asked)

    def do() -> str:
        said = asked.submission(expected=asked.expected)
        photos = save_photos(asked.shop.records, asked.form, "photo", said) if chosen.photos else ()
        what = chosen.says(asked.form, said.by, photos)
        actions.record(asked.shop.records, job.view.card.id, said, what=what)
        return f"{job_address(job.view.card.number)}?done={chosen.done}"

    return acted(asked, do, lambda wrongs: _page(asked, job_of(asked), chosen, wrongs))


def _page(
    asked: PageRequest, job: OpenedJob, chosen: JobForm | None = None, wrongs: FieldErrors | None = None
) -> JobPage:
    card, state, now = job.view.card, job.view.state, asked.shop.now()
    due = due_text(state.due, now.astimezone().date())
    waiting = state.on_hold
    conflict = "" in (wrongs or {})
    return JobPage(
        frame=job_frame(asked, job, f"Job {card.number}", None),
        card=card,
        heading=unit_text(card),
        contact=job.customer.contact,
        waits="" if waiting is None else _waits(state),
        since="" if waiting is None else moment(waiting.since, now),
        due_text=Due(due.text, due.overdue and not state.closed),
        ended="" if state.ended is None else getattr(state.ended, "reason", "handed over"),
        wish=wish_cell(state),
        symptoms=state.symptoms,
        facts=known_facts(state.facts, asked.choice),
        condition=tuple(
            RecordedLine(condition_text(one), one.within is not False, one.photos) for one in state.condition
        ),
        photos=state.photos,
        way=_way(job),
        same_visit=_beside(job),
        before=_before(asked, state),
        acts=_acts(state, asked.form, chosen, wrongs or {}),
        entries=entry_views(state, now, telling_of(asked.shop.records, state, asked.choice)),
        submission=asked.shop.new_id() if conflict or not asked.form.pairs else asked.id,
        entry_count=state.entries,
        faults=_faults(asked.form, chosen, wrongs or {}),
    )


def _waits(state: JobState) -> str:
    if state.on_hold is None:
        return ""
    amount = f" ({state.on_hold.amount})" if state.on_hold.amount else ""
    return f"{state.on_hold.reason.value}: {state.on_hold.what}{amount}"


def _way(job: OpenedJob) -> Link | None:
    stage, number = job.view.state.stage, job.view.card.number
    return Link(_NEXT[stage], job_address(number, STAGE_PAGES[stage])) if stage in _NEXT else None


def _beside(job: OpenedJob) -> tuple[Link, ...]:
    return tuple(
        Link(f"{card.number} {unit_text(card)}, {card.stage.value}", job_address(card.number))
        for card in job.same_visit
    )


def _before(asked: PageRequest, state: JobState) -> Link | None:
    if state.comeback_of is None:
        return None
    number = open_job(asked.shop.records, state.comeback_of).view.card.number
    return Link(f"job {number}", job_address(number))


def _acts(state: JobState, form: Form, chosen: JobForm | None, wrongs: Mapping[str, str]) -> tuple[ActForm, ...]:
    offered = (one for one in ACTS if one.offered(state) or one is chosen)
    return tuple(_form(one, form, wrongs, chosen=one is chosen) for one in offered)


def _form(one: JobForm, form: Form, wrongs: Mapping[str, str], *, chosen: bool) -> ActForm:
    boxes = filled(one, form if chosen else Form(), wrongs if chosen else {})
    return ActForm(one, boxes, chosen)


def _faults(form: Form, chosen: JobForm | None, wrongs: Mapping[str, str]) -> tuple[Fault, ...]:
    if chosen is None:
        return ()
    return faults_of(wrongs, {box.name: box for box in filled(chosen, form, wrongs)})


ROUTES = (
    get("/jobs/{number}", _show),
    post("/jobs/{number}/do/{act}", act, most_bytes=LARGEST_UPLOAD),
)
