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
from sagwright.web.files import MOST_BYTES, kept_photos
from sagwright.web.http.dates import Due, due, moment
from sagwright.web.http.form import Box, Fault, Form, Wrongs, faults_of
from sagwright.web.http.page import Link, Page, respond
from sagwright.web.http.request import Asked, acted, get, post
from sagwright.web.job_frame import PAGES, job_address, job_frame, job_of, unit_text, wish_text
from sagwright.web.jobs.actions import ACTS, Act, filled
from sagwright.web.jobs.words import FactGroup, Written, known, written
from sagwright.web.jobs.work_order import telling_of

NEXT: Final = {
    Stage.TAKE_IN: "Go on taking in",
    Stage.CHOOSE: "Choose",
    Stage.PREPARE: "Prepare",
}


@dataclass(frozen=True, slots=True)
class ActForm:
    """One small form, its fields as they were typed, and whether it stands open."""

    act: Act
    boxes: tuple[Box, ...]
    open: bool


@dataclass(frozen=True, slots=True)
class Seen:
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
        What it waits for and since when; how it ended.
    due : Due
        The promised day.
    wish, symptoms : str
    facts : tuple of FactGroup
    condition : tuple of Seen
    photos : tuple of str
        Of the taking in, by their ids.
    way : Link or None
        What to do next.
    beside : tuple of Link
        The other jobs of its visit.
    before : Link or None
        The job it comes back from.
    acts : tuple of ActForm
    entries : tuple of Written
        The newest first.
    submission : str
        Id of the next one.
    seen : int
        How many entries there were when this was shown.
    faults : tuple of Fault
    """

    template: ClassVar[str] = "jobs/job.html"

    card: JobCard
    heading: str
    contact: str
    waits: str
    since: str
    due: Due
    ended: str
    wish: str
    symptoms: str
    facts: tuple[FactGroup, ...]
    condition: tuple[Seen, ...]
    photos: tuple[str, ...]
    way: Link | None
    beside: tuple[Link, ...]
    before: Link | None
    acts: tuple[ActForm, ...]
    entries: tuple[Written, ...]
    submission: str
    seen: int
    faults: tuple[Fault, ...]


def look(asked: Asked) -> Response:
    """A job as it stands."""
    return respond(_page(asked, job_of(asked)))


def act(asked: Asked) -> Response:
    """Record what one of the small forms says."""
    chosen = next((one for one in ACTS if one.name == asked.path["act"]), None)
    if chosen is None:
        raise NotThere("There is no such form.")
    job = job_of(asked)

    def do() -> str:
        said = asked.submission(expected=asked.expected)
        photos = kept_photos(asked.shop.records, asked.form, "photo", said) if chosen.photos else ()
        what = chosen.says(asked.form, said.by, photos)
        actions.record(asked.shop.records, job.view.card.id, said, what=what)
        return f"{job_address(job.view.card.number)}?done={chosen.done}"

    return acted(asked, do, lambda wrongs: _page(asked, job_of(asked), chosen, wrongs))


def _page(asked: Asked, job: OpenedJob, chosen: Act | None = None, wrongs: Wrongs | None = None) -> JobPage:
    card, state, now = job.view.card, job.view.state, asked.shop.now()
    promised = due(state.promised, now.astimezone().date())
    waiting = state.waiting
    conflict = "" in (wrongs or {})
    return JobPage(
        frame=job_frame(asked, job, f"Job {card.number}", None),
        card=card,
        heading=unit_text(card),
        contact=job.owner.contact,
        waits="" if waiting is None else _waits(state),
        since="" if waiting is None else moment(waiting.since, now),
        due=Due(promised.text, promised.overdue and not state.closed),
        ended="" if state.ended is None else getattr(state.ended, "reason", "handed over"),
        wish=wish_text(state),
        symptoms=state.symptoms,
        facts=known(state.facts, asked.choice),
        condition=tuple(Seen(condition_text(one), one.within is not False, one.photos) for one in state.condition),
        photos=state.photos,
        way=_way(job),
        beside=_beside(job),
        before=_before(asked, state),
        acts=_acts(state, asked.form, chosen, wrongs or {}),
        entries=written(state, now, telling_of(asked.shop.records, state, asked.choice)),
        submission=asked.shop.new_id() if conflict or not asked.form.pairs else asked.id,
        seen=state.entries,
        faults=_faults(asked.form, chosen, wrongs or {}),
    )


def _waits(state: JobState) -> str:
    if state.waiting is None:
        return ""
    amount = f" ({state.waiting.amount})" if state.waiting.amount else ""
    return f"{state.waiting.reason.value}: {state.waiting.what}{amount}"


def _way(job: OpenedJob) -> Link | None:
    stage, number = job.view.state.stage, job.view.card.number
    return Link(NEXT[stage], job_address(number, PAGES[stage])) if stage in NEXT else None


def _beside(job: OpenedJob) -> tuple[Link, ...]:
    return tuple(
        Link(f"{card.number} {unit_text(card)}, {card.stage.value}", job_address(card.number)) for card in job.beside
    )


def _before(asked: Asked, state: JobState) -> Link | None:
    if state.comeback_of is None:
        return None
    number = open_job(asked.shop.records, state.comeback_of).view.card.number
    return Link(f"from job {number}", job_address(number))


def _acts(state: JobState, form: Form, chosen: Act | None, wrongs: Mapping[str, str]) -> tuple[ActForm, ...]:
    offered = (one for one in ACTS if one.offered(state) or one is chosen)
    return tuple(_form(one, form, wrongs, chosen=one is chosen) for one in offered)


def _form(one: Act, form: Form, wrongs: Mapping[str, str], *, chosen: bool) -> ActForm:
    boxes = filled(one, form if chosen else Form(), wrongs if chosen else {})
    return ActForm(one, boxes, chosen)


def _faults(form: Form, chosen: Act | None, wrongs: Mapping[str, str]) -> tuple[Fault, ...]:
    if chosen is None:
        return ()
    return faults_of(wrongs, {box.name: box for box in filled(chosen, form, wrongs)})


ROUTES = (
    get("/jobs/{number}", look),
    post("/jobs/{number}/do/{act}", act, most_bytes=MOST_BYTES),
)
