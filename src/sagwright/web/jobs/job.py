"""One job: what is known, what is to be done about it, and everything that was recorded."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar, Final

from starlette.responses import Response

from sagwright.domain.records.job import JobState
from sagwright.domain.records.stages import Stage
from sagwright.errors import InputError, InputErrors, NotThere, RecordError, StoreFailed
from sagwright.phrases.entries import condition_text
from sagwright.service.jobs.actions import record
from sagwright.service.jobs.queries import OpenedJob, open_job
from sagwright.web.files import LARGEST_UPLOAD, save_photos
from sagwright.web.http.dates import due_text, moment
from sagwright.web.http.form import Box, Fault, FieldErrors, Form, faults_of, field_errors_of
from sagwright.web.http.page import Page, respond
from sagwright.web.http.request import PageRequest, get, post, to
from sagwright.web.job_frame import STAGE_PAGES, job_address, job_frame, job_of, unit_text, wish_cell
from sagwright.web.jobs.actions import ACTS, JobForm, filled
from sagwright.web.jobs.words import EntryView, FactGroup, entry_views, known_facts
from sagwright.web.jobs.work_order import telling_of

_NEXT: Final = {
    Stage.CHECK_IN: "Go on checking in",
    Stage.PLAN: "Choose",
    Stage.PREPARE: "Prepare",
}


@dataclass(frozen=True, slots=True)
class ActForm:
    """One small form: where it is sent, its title and button, its fields, whether it stands open, what it warns of."""

    name: str
    title: str
    button: str
    boxes: tuple[Box, ...]
    open: bool
    photos: bool
    warning: str


@dataclass(frozen=True, slots=True)
class RecordedLine:
    """Something seen on the unit, in words, with its photos."""

    text: str
    within: bool
    photos: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NextPage:
    """A page to go to next: what it is called, and where it is."""

    text: str
    href: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JobPage(Page):
    """A job.

    Attributes
    ----------
    number : int
    heading, customer, contact, bicycle : str
    stands, waits, since, holder, due, ended : str
        Where it stands; what it waits for and since when; who has it; the due day; how it ended.
    overdue : bool
    wish, symptoms : str
    facts : tuple of FactGroup
    condition : tuple of Seen
    photos : tuple of str
        Of the checking in, by their ids.
    way : Way or None
        What to do next.
    beside : tuple of Way
        The other jobs of its visit.
    before : Way or None
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

    number: int
    heading: str
    customer: str
    contact: str
    bicycle: str
    stands: str
    waits: str
    since: str
    holder: str
    due: str
    ended: str
    overdue: bool
    wish: str
    symptoms: str
    facts: tuple[FactGroup, ...]
    condition: tuple[RecordedLine, ...]
    photos: tuple[str, ...]
    way: NextPage | None
    same_visit: tuple[NextPage, ...]
    before: NextPage | None
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
    try:
        said = asked.submission(expected=asked.expected)
        photos = save_photos(asked.shop.records, asked.form, "photo", said) if chosen.photos else ()
        record(asked.shop.records, job.view.card.id, said, what=chosen.what(asked.form, said.by, photos))
    except StoreFailed:
        raise
    except (InputError, InputErrors) as error:
        return respond(_page(asked, job_of(asked), chosen, field_errors_of(error)), status=422)
    except RecordError as error:
        return respond(_page(asked, job_of(asked), chosen, {"": str(error)}), status=409)
    return to(f"{job_address(job.view.card.number)}?done={chosen.done}")


def _page(
    asked: PageRequest, job: OpenedJob, chosen: JobForm | None = None, wrongs: FieldErrors | None = None
) -> JobPage:
    card, state, now = job.view.card, job.view.state, asked.shop.now()
    due = due_text(state.due, now.astimezone().date())
    waiting = state.on_hold
    conflict = "" in (wrongs or {})
    return JobPage(
        frame=job_frame(asked, job, f"Job {card.number}", None),
        number=card.number,
        heading=unit_text(card),
        customer=job.customer.name or "erased",
        contact=job.customer.contact,
        bicycle=card.bicycle or "no bike",
        stands=state.stage.value,
        waits="" if waiting is None else _waits(state),
        since="" if waiting is None else moment(waiting.since, now),
        holder=state.holder,
        due=due.text,
        ended="" if state.ended is None else getattr(state.ended, "reason", "handed over"),
        overdue=due.overdue and not state.closed,
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


def _way(job: OpenedJob) -> NextPage | None:
    stage, number = job.view.state.stage, job.view.card.number
    return NextPage(_NEXT[stage], job_address(number, STAGE_PAGES[stage])) if stage in _NEXT else None


def _beside(job: OpenedJob) -> tuple[NextPage, ...]:
    return tuple(
        NextPage(f"{card.number} {unit_text(card)}, {card.stage.value}", job_address(card.number))
        for card in job.same_visit
    )


def _before(asked: PageRequest, state: JobState) -> NextPage | None:
    if state.comeback_of is None:
        return None
    number = open_job(asked.shop.records, state.comeback_of).view.card.number
    return NextPage(f"from job {number}", job_address(number))


def _acts(state: JobState, form: Form, chosen: JobForm | None, wrongs: Mapping[str, str]) -> tuple[ActForm, ...]:
    offered = (one for one in ACTS if one.offered(state) or one is chosen)
    return tuple(_form(one, form, wrongs, chosen=one is chosen) for one in offered)


def _form(one: JobForm, form: Form, wrongs: Mapping[str, str], *, chosen: bool) -> ActForm:
    boxes = filled(one, form if chosen else Form(), wrongs if chosen else {})
    return ActForm(one.name, one.title, one.button, boxes, chosen, one.photos, one.warning)


def _faults(form: Form, chosen: JobForm | None, wrongs: Mapping[str, str]) -> tuple[Fault, ...]:
    if chosen is None:
        return ()
    return faults_of(wrongs, {box.name: box for box in filled(chosen, form, wrongs)})


ROUTES = (
    get("/jobs/{number}", _show),
    post("/jobs/{number}/do/{act}", act, most_bytes=LARGEST_UPLOAD),
)
