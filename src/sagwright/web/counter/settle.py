"""What was unknown is settled, or what was taken in is known better: the counter's form of a job that is there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar, Final

from starlette.responses import Response

from sagwright.domain.records.entities import Draft
from sagwright.domain.records.job import JobState
from sagwright.domain.records.payloads import Facts, Settled
from sagwright.domain.records.stages import Stage
from sagwright.domain.sheet import Sheet
from sagwright.errors import InputError, InputErrors, MissingValue
from sagwright.formats.intake.facts import as_typed
from sagwright.phrases.intake_labels import LABELS
from sagwright.service.jobs.actions import settle
from sagwright.service.jobs.intake import NewBicycle
from sagwright.service.jobs.queries import OpenedJob
from sagwright.service.sheets import revision_named
from sagwright.service.workshop.records import keep_draft, list_drafts, read_draft
from sagwright.units import Choice
from sagwright.web.counter.answers import conditions_of, facts_of, tasks_of, unread
from sagwright.web.counter.bike_chart import document_of, known_chart
from sagwright.web.counter.questions import UNTOLD, WORDED, asked_for
from sagwright.web.counter.sections import Shelf, settled_sections
from sagwright.web.files import MOST_BYTES, kept_of, with_photos
from sagwright.web.http.form import Box, Fault, Form, Reading, Wrongs, faults_of, form_of, wrongs_of
from sagwright.web.http.page import Page, respond
from sagwright.web.http.preferences import choice_of, cookie_of
from sagwright.web.http.request import Asked, acted, get, post, to
from sagwright.web.job_frame import job_address, job_frame, job_of

FORM: Final = "settle"
UNKEPT: Final = frozenset({"submission", "expected", "by"})
PINNED: Final = {"set-pressure": "wish.pressure", "volume-spacers": "wish.volume_spacers"}
AIMS: Final = ("sag", "capacity")


@dataclass(frozen=True, slots=True, kw_only=True)
class SettlePage(Page):
    """What is known of a job, to be added to.

    Attributes
    ----------
    number : int
    submission : str
    expected : int
    units : str
    faults : tuple of Fault
    shelves : tuple of Shelf
    unread : tuple of str
        What of the unit as found nobody has read, nor said to be unknown.
    kept : str
        Who typed what is put back here from a half-filled form; empty if nothing is.
    """

    template: ClassVar[str] = "counter/settle.html"

    number: int
    submission: str
    expected: int
    units: str
    faults: tuple[Fault, ...]
    shelves: tuple[Shelf, ...]
    unread: tuple[str, ...]
    kept: str


def look(asked: Asked) -> Response:
    """What is known; or the form as it was left."""
    job = job_of(asked)
    for draft in list_drafts(asked.shop.records, FORM, job=job.view.card.id):
        typed = form_of(read_draft(asked.shop.records, draft.id) or {})
        return respond(_page(asked, job, typed, draft=draft))
    return respond(_page(asked, job, _known(job, asked.choice)))


def keep(asked: Asked) -> Response:
    """Keep what is typed so far, photos too."""
    job = job_of(asked)
    try:
        form = with_photos(asked)
    except (InputError, InputErrors) as error:
        return respond(_page(asked, job, asked.form, wrongs=wrongs_of(error, asked.choice)), status=422)
    typed = {name: text for name, text in form.pairs if name not in UNKEPT and text}
    keep_draft(asked.shop.records, FORM, typed, asked.submission(), job=job.view.card.id)
    return to(job_address(job.view.card.number, "take-in"))


def record(asked: Asked) -> Response:
    """Record what is new."""
    job, form = job_of(asked), asked.form

    def do() -> str | Wrongs:
        nonlocal form
        said = asked.submission(expected=asked.expected)
        form = with_photos(asked)
        reading = _reading(asked, job, form)
        what, bicycle = _settled(job.view.state, reading), _bicycle(job, reading)
        if not reading.wrongs:
            settle(asked.shop.records, job.view.card.id, said, what=what, bicycle=bicycle)
        return reading.wrongs or f"{job_address(job.view.card.number)}?done=Recorded."

    return acted(asked, do, lambda wrongs: _page(asked, job_of(asked), form, wrongs=wrongs))


def _settled(state: JobState, reading: Reading) -> Settled:
    """What differs from what is known."""
    facts, tasks = facts_of(reading), tasks_of(reading)
    symptoms = reading.form.raw("symptoms").strip()
    wished = bool(tasks) or "wish.travel" in dict(facts)
    return Settled(
        facts=_changed(state, facts, reading.sheet),
        tasks=tasks if tasks != state.tasks else None,
        symptoms=symptoms if symptoms != state.symptoms else None,
        condition=tuple(one for one in conditions_of(reading) if one not in state.condition),
        photos=tuple(photo for photo in kept_of(reading.form, "general") if photo not in state.photos),
        complete=wished and not unread((*state.facts, *facts), reading.sheet),
    )


def _changed(state: JobState, facts: Facts, sheet: Sheet | None) -> Facts:
    """Facts that are new or other ones, and those that are taken back, with nothing."""
    known, new = dict(state.facts), dict(facts)
    asked = {*(ask.path for ask in asked_for(sheet)), *WORDED}
    gone = tuple((path, "") for path in known if path in asked and path not in new and path != "unit.serial")
    return (*((path, text) for path, text in facts if known.get(path) != text and path != "unit.serial"), *gone)


def _bicycle(job: OpenedJob, reading: Reading) -> NewBicycle | None:
    """The bike with what was put in or changed about it; None where nothing was."""
    before = (job.bicycle.name, job.bicycle.document) if job.bicycle else ("", "")
    name = reading.form.text("bicycle.name") or before[0]
    document = document_of(reading, name or "bike", before[1])
    if (name, document) == before:
        return None
    if not name:
        reading.wrong("bicycle.name", MissingValue("must be there", remedy="Write what the bike is called."))
    return NewBicycle(name, document)


def _known(job: OpenedJob, choice: Choice) -> Form:
    """What is known as one would type it here."""
    bike = job.bicycle
    chart = {} if bike is None else {"bicycle.name": bike.name, **known_chart(bike.document, choice)}
    return Form((*_pairs(job.view.state, choice), *chart.items()))


def _pairs(state: JobState, choice: Choice) -> Iterator[tuple[str, str]]:
    unknown = {ask.path: ask.unknown for ask in asked_for(None)}
    for path, text in state.facts:
        if text in {"not measured", "unknown until open"} or text == unknown.get(path):
            yield path + UNTOLD, "yes"
        else:
            yield path, as_typed(text, choice)
    yield from (("wish.aim", aim) for aim in AIMS if state.fact(f"wish.aim.{aim}"))
    yield "symptoms", state.symptoms
    for task in state.tasks:
        name, _, value = task.partition("=")
        yield (PINNED[name], as_typed(value, choice)) if name in PINNED else (f"task.{name}", "yes")
    yield from ((f"kept.general.{photo}", "yes") for photo in state.photos)


def _reading(asked: Asked, job: OpenedJob, form: Form) -> Reading:
    _, sheet = revision_named(asked.shop.records, job.view.state.sheet)
    units = choice_of(form.text("units")) if form.text("units") else asked.choice
    return Reading(form, units, sheet)


def _page(
    asked: Asked, job: OpenedJob, form: Form, *, wrongs: Wrongs | None = None, draft: Draft | None = None
) -> SettlePage:
    state, reading = job.view.state, _reading(asked, job, form)
    boxes: dict[str, Box] = {}
    shelves = settled_sections(reading, wrongs or {}, boxes)
    fresh = "" in (wrongs or {}) or not asked.form.pairs
    return SettlePage(
        frame=job_frame(asked, job, "Take in", Stage.TAKE_IN),
        number=job.view.card.number,
        submission=draft.id if draft else asked.shop.new_id() if fresh else asked.id,
        expected=state.entries,
        units=cookie_of(reading.choice),
        faults=faults_of(wrongs or {}, boxes),
        shelves=shelves,
        unread=tuple(LABELS[path] for path in unread(state.facts, reading.sheet)),
        kept=draft.by if draft else "",
    )


ROUTES = (
    get("/jobs/{number}/take-in", look),
    post("/jobs/{number}/take-in", record, most_bytes=MOST_BYTES),
    post("/jobs/{number}/take-in/keep", keep, most_bytes=MOST_BYTES),
)
