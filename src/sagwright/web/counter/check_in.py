"""A unit comes in: whose it is, how it is, what is wished. Half a form is kept, and offered again."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar, Final
from urllib.parse import quote

from starlette.responses import Response

from sagwright.errors import InputError, InputErrors, NotThere, RecordError, StoreFailed
from sagwright.service.jobs.actions import check_in
from sagwright.service.jobs.queries import open_job, open_job_numbered
from sagwright.service.sheets import sheets_by_key
from sagwright.service.workshop.records import forget_draft, list_drafts, read_draft, save_draft
from sagwright.units import UnitChoice
from sagwright.web.counter.answers import arrival_of, family_of
from sagwright.web.counter.sections import Shelf, matches_of, sections_of
from sagwright.web.files import LARGEST_UPLOAD, with_photos
from sagwright.web.http.dates import moment
from sagwright.web.http.form import Box, Fault, FieldErrors, Form, FormReading, faults_of, field_errors_of, form_of
from sagwright.web.http.page import Page, respond
from sagwright.web.http.preferences import choice_of, cookie_of
from sagwright.web.http.request import PageRequest, get, post, to
from sagwright.web.job_frame import job_address

_FORM: Final = "check in"
_CHART: Final = "bicycle.document"
UNSAVED_FIELDS: Final = frozenset({"by", "customer.name", "bicycle.name", "unit.chassis", "unit.serial"})
_UNKEPT: Final = frozenset({"submission", "by"})


@dataclass(frozen=True, slots=True)
class SavedDraft:
    """A form half filled in: where it goes on, and what it is about."""

    id: str
    about: str
    when: str
    who: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckInPage(Page):
    """Everything that is asked at the counter.

    Attributes
    ----------
    submission : str
        Id of the form, its photos and its draft.
    units : str
        The units that stand beside the fields, kept with what is typed.
    halves : tuple of SavedDraft
        Other forms that were begun.
    faults : tuple of Fault
    visit, visit_says : str
        The visit that this unit comes with; empty for a new one.
    matches : tuple of Box
        Customers, bikes and units that may be meant.
    shelves : tuple of Shelf
        The fields, in their sections.
    saved : str
        When what was typed was last kept; empty if it was not yet.
    """

    template: ClassVar[str] = "counter/check_in.html"

    submission: str
    units: str
    halves: tuple[SavedDraft, ...]
    faults: tuple[Fault, ...]
    visit: str
    visit_says: str
    matches: tuple[Box, ...]
    shelves: tuple[Shelf, ...]
    saved: str


def _show(asked: PageRequest) -> Response:
    """An empty form, one that was begun, or one for another unit of a visit."""
    draft = asked.query.text("draft")
    if not draft:
        return respond(_page(asked, _beside(asked), asked.shop.new_id()))
    if taken := _taken(asked, draft):
        return to(taken)
    typed = read_draft(asked.shop.records, draft)
    if typed is None:
        return respond(_page(asked, Form(), asked.shop.new_id()))
    return respond(_page(asked, form_of(typed), draft, kept=True))


def _taken(asked: PageRequest, submission: str) -> str:
    """Where the job is that a form became; empty while it is only a form."""
    try:
        return job_address(open_job(asked.shop.records, submission).view.card.number)
    except NotThere:
        return ""


def _beside(asked: PageRequest) -> Form:
    """What another unit of the same visit has in common with the first."""
    number = asked.query.text("with")
    if not (number.isascii() and number.isdigit() and len(number) < 10):
        return Form()
    job = open_job_numbered(asked.shop.records, int(number))
    bicycle = job.bicycle.id if job.bicycle else "none"
    customer = {"customer.pick": job.customer.id, "customer.name": job.customer.name}
    return form_of({"visit": job.visit.id, "bike.pick": bicycle, **customer})


def _save(asked: PageRequest) -> Response:
    """Keep what is typed so far, photos too, and go on with it; what was checked in meanwhile is a job."""
    if taken := _taken(asked, asked.id):
        return to(taken)
    try:
        form = with_photos(asked)
    except (InputError, InputErrors) as error:
        return respond(_page(asked, asked.form, asked.id, wrongs=field_errors_of(error, asked.choice)), status=422)
    save_draft(asked.shop.records, _FORM, _typed(form), replace(asked.submission(), id=asked.id))
    place = asked.form.text("at")
    return to(f"/check-in?draft={asked.id}{f'#{quote(place)}' if place else ''}")


def forget(asked: PageRequest) -> Response:
    """Give a half-filled form up."""
    forget_draft(asked.shop.records, asked.form.text("draft"))
    return to("/check-in?done=The half-filled form was thrown away.")


def _check_in_unit(asked: PageRequest) -> Response:
    """Take the unit in."""
    form = asked.form
    try:
        said = asked.submission()
        form = with_photos(asked)
        reading = _reading(asked, form)
        arrival = arrival_of(reading)
        if reading.wrongs:
            return respond(_page(asked, form, asked.id, wrongs=reading.wrongs), status=422)
        job = check_in(asked.shop.records, arrival, said)
    except StoreFailed:
        raise
    except (InputError, InputErrors) as error:
        return respond(_page(asked, form, asked.id, wrongs=_placed(field_errors_of(error, asked.choice))), status=422)
    except RecordError as error:
        return respond(_page(asked, form, asked.shop.new_id(), wrongs={"": str(error)}), status=409)
    return to(f"{job_address(job.card.number)}?done=Checked in.")


def _placed(wrongs: dict[str, str]) -> dict[str, str]:
    """What is wrong with a bike's text stands beside that text, with the place in it."""
    placed: dict[str, str] = {}
    for name, text in wrongs.items():
        ours = not name or name in UNSAVED_FIELDS or name.startswith("photo.")
        key, words = (name, text) if ours else (_CHART, f"{name}: {text}")
        placed[key] = f"{placed[key]} {words}" if key in placed else words
    return placed


def _reading(asked: PageRequest, form: Form) -> FormReading:
    key, _ = family_of(form)
    return FormReading(form, _units(asked, form), sheets_by_key(asked.shop.records).get(key))


def _units(asked: PageRequest, form: Form) -> UnitChoice:
    return choice_of(form.text("units")) if form.text("units") else asked.choice


def _typed(form: Form) -> dict[str, str]:
    return {name: text for name, text in form.pairs if name not in _UNKEPT and text}


def _page(
    asked: PageRequest, form: Form, submission: str, *, wrongs: FieldErrors | None = None, kept: bool = False
) -> CheckInPage:
    reading = _reading(asked, form)
    boxes: dict[str, Box] = {}
    shelves = sections_of(reading, wrongs or {}, boxes, sheets_by_key(asked.shop.records))
    now = asked.shop.now()
    drafts = list_drafts(asked.shop.records, _FORM)
    return CheckInPage(
        frame=asked.frame("Check in", "Check in"),
        submission=submission,
        units=cookie_of(reading.choice),
        halves=tuple(
            SavedDraft(one.id, _about(read_draft(asked.shop.records, one.id) or {}), moment(one.updated, now), one.by)
            for one in drafts
            if one.id != submission
        ),
        faults=faults_of(wrongs or {}, boxes),
        visit=form.text("visit"),
        visit_says=form.text("customer.name") if form.text("visit") else "",
        matches=matches_of(asked.shop.records, form),
        shelves=shelves,
        saved=next((moment(one.updated, now) for one in drafts if one.id == submission), "") if kept else "",
    )


def _about(typed: dict[str, str]) -> str:
    told = (typed.get(name) for name in ("customer.name", "unit.family", "unit.serial"))
    return ", ".join(filter(None, told)) or "no name yet"


ROUTES = (
    get("/check-in", _show),
    post("/check-in", _check_in_unit, most_bytes=LARGEST_UPLOAD),
    post("/check-in/save", _save, most_bytes=LARGEST_UPLOAD),
    post("/check-in/forget", forget),
)
