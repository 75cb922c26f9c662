"""What was unknown is settled, or what was checked in is known better: the counter's form of a job that is there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar, Final

from starlette.responses import Response

from sagwright.domain.records.entities import Draft
from sagwright.domain.records.job import JobState
from sagwright.domain.records.payloads import Facts, IntakeUpdated
from sagwright.domain.records.stages import Stage
from sagwright.domain.sheet import Sheet
from sagwright.errors import InputError, InputErrors, MissingValue
from sagwright.formats.intake.facts import as_typed
from sagwright.phrases.intake_labels import LABELS
from sagwright.service.jobs.actions import update_intake
from sagwright.service.jobs.intake import NewBicycle
from sagwright.service.jobs.queries import OpenedJob
from sagwright.service.sheets import revision_named
from sagwright.service.workshop.records import list_drafts, read_draft, save_draft
from sagwright.units import UnitChoice
from sagwright.web.counter.answers import conditions_of, facts_of, tasks_of, unread
from sagwright.web.counter.bike_chart import chart_document, recorded_chart
from sagwright.web.counter.questions import NOT_ANSWERED, WORDED, intake_questions
from sagwright.web.counter.sections import Shelf, answered_sections
from sagwright.web.files import LARGEST_UPLOAD, saved_photos_of, with_photos
from sagwright.web.http.form import Box, Fault, FieldErrors, Form, FormReading, faults_of, field_errors_of, form_of
from sagwright.web.http.page import Page, respond
from sagwright.web.http.preferences import choice_of, cookie_of
from sagwright.web.http.request import PageRequest, acted, get, post, to
from sagwright.web.job_frame import job_address, job_frame, job_of

_FORM: Final = "update intake"
_UNKEPT: Final = frozenset({"submission", "expected", "by"})
PINNED: Final = {"set-pressure": "wish.pressure", "volume-spacers": "wish.volume_spacers"}
_AIMS: Final = ("sag", "capacity")


@dataclass(frozen=True, slots=True, kw_only=True)
class UpdatePage(Page):
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
    saved : str
        Who typed what is put back here from a half-filled form; empty if nothing is.
    """

    template: ClassVar[str] = "counter/update_intake.html"

    number: int
    submission: str
    expected: int
    units: str
    faults: tuple[Fault, ...]
    shelves: tuple[Shelf, ...]
    unread: tuple[str, ...]
    saved: str


def _show(asked: PageRequest) -> Response:
    """What is known; or the form as it was left."""
    job = job_of(asked)
    for draft in list_drafts(asked.shop.records, _FORM, job=job.view.card.id):
        typed = form_of(read_draft(asked.shop.records, draft.id) or {})
        return respond(_page(asked, job, typed, draft=draft))
    return respond(_page(asked, job, _known(job, asked.choice)))


def _save(asked: PageRequest) -> Response:
    """Keep what is typed so far, photos too."""
    job = job_of(asked)
    try:
        form = with_photos(asked)
    except (InputError, InputErrors) as error:
        return respond(_page(asked, job, asked.form, wrongs=field_errors_of(error, asked.choice)), status=422)
    typed = {name: text for name, text in form.pairs if name not in _UNKEPT and text}
    save_draft(asked.shop.records, _FORM, typed, asked.submission(), job=job.view.card.id)
    return to(job_address(job.view.card.number, "check-in"))


def _record(asked: PageRequest) -> Response:
    """Record what is new."""
    job, form = job_of(asked), asked.form

    def do() -> str | FieldErrors:
        nonlocal form
        said = asked.submission(expected=asked.expected)
        form = with_photos(asked)
        reading = _reading(asked, job, form)
        what, bicycle = _settled(job.view.state, reading), _bicycle(job, reading)
        if not reading.wrongs:
            update_intake(asked.shop.records, job.view.card.id, said, what=what, bicycle=bicycle)
        return reading.wrongs or f"{job_address(job.view.card.number)}?done=Recorded."

    return acted(asked, do, lambda wrongs: _page(asked, job_of(asked), form, wrongs=wrongs))


def _settled(state: JobState, reading: FormReading) -> IntakeUpdated:
    """What differs from what is known."""
    facts, tasks = facts_of(reading), tasks_of(reading)
    symptoms = reading.form.raw("symptoms").strip()
    wished = bool(tasks) or "wish.travel" in dict(facts)
    return IntakeUpdated(
        facts=_changed(state, facts, reading.sheet),
        tasks=tasks if tasks != state.tasks else None,
        symptoms=symptoms if symptoms != state.symptoms else None,
        condition=tuple(one for one in conditions_of(reading) if one not in state.condition),
        photos=tuple(photo for photo in saved_photos_of(reading.form, "general") if photo not in state.photos),
        complete=wished and not unread((*state.facts, *facts), reading.sheet),
    )


def _changed(state: JobState, facts: Facts, sheet: Sheet | None) -> Facts:
    """Facts that are new or other ones, and those that are taken back, with nothing."""
    known, new = dict(state.facts), dict(facts)
    asked = {*(ask.path for ask in intake_questions(sheet)), *WORDED}
    gone = tuple((path, "") for path in known if path in asked and path not in new and path != "unit.serial")
    return (*((path, text) for path, text in facts if known.get(path) != text and path != "unit.serial"), *gone)


def _bicycle(job: OpenedJob, reading: FormReading) -> NewBicycle | None:
    """The bike with what was put in or changed about it; None where nothing was."""
    before = (job.bicycle.name, job.bicycle.document) if job.bicycle else ("", "")
    name = reading.form.text("bicycle.name") or before[0]
    document = chart_document(reading, name or "bike", before[1])
    if (name, document) == before:
        return None
    if not name:
        reading.wrong("bicycle.name", MissingValue("must be given", remedy="Write what the bike is called."))
    return NewBicycle(name, document)


def _known(job: OpenedJob, choice: UnitChoice) -> Form:
    """What is known as one would type it here."""
    bike = job.bicycle
    chart = {} if bike is None else {"bicycle.name": bike.name, **recorded_chart(bike.document, choice)}
    return Form((*_pairs(job.view.state, choice), *chart.items()))


def _pairs(state: JobState, choice: UnitChoice) -> Iterator[tuple[str, str]]:
    unknown = {ask.path: ask.unknown for ask in intake_questions(None)}
    for path, text in state.facts:
        if text in {"not measured", "unknown until open"} or text == unknown.get(path):
            yield path + NOT_ANSWERED, "yes"
        else:
            yield path, as_typed(text, choice)
    yield from (("wish.aim", aim) for aim in _AIMS if state.fact(f"wish.aim.{aim}"))
    yield "symptoms", state.symptoms
    for task in state.tasks:
        name, _, value = task.partition("=")
        yield (PINNED[name], as_typed(value, choice)) if name in PINNED else (f"task.{name}", "yes")
    yield from ((f"kept.general.{photo}", "yes") for photo in state.photos)


def _reading(asked: PageRequest, job: OpenedJob, form: Form) -> FormReading:
    _, sheet = revision_named(asked.shop.records, job.view.state.sheet)
    units = choice_of(form.text("units")) if form.text("units") else asked.choice
    return FormReading(form, units, sheet)


def _page(
    asked: PageRequest, job: OpenedJob, form: Form, *, wrongs: FieldErrors | None = None, draft: Draft | None = None
) -> UpdatePage:
    state, reading = job.view.state, _reading(asked, job, form)
    boxes: dict[str, Box] = {}
    shelves = answered_sections(reading, wrongs or {}, boxes)
    fresh = "" in (wrongs or {}) or not asked.form.pairs
    return UpdatePage(
        frame=job_frame(asked, job, "Check in", Stage.CHECK_IN),
        number=job.view.card.number,
        submission=draft.id if draft else asked.shop.new_id() if fresh else asked.id,
        expected=state.entries,
        units=cookie_of(reading.choice),
        faults=faults_of(wrongs or {}, boxes),
        shelves=shelves,
        unread=tuple(LABELS[path] for path in unread(state.facts, reading.sheet)),
        saved=draft.by if draft else "",
    )


ROUTES = (
    get("/jobs/{number}/check-in", _show),
    post("/jobs/{number}/check-in", _record, most_bytes=LARGEST_UPLOAD),
    post("/jobs/{number}/check-in/save", _save, most_bytes=LARGEST_UPLOAD),
)
