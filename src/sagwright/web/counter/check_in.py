"""A unit comes in: whose it is, how it is, what is wished. Half a form is kept, and offered again."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar, Final
from urllib.parse import quote

from starlette.responses import Response

from sagwright.errors import InputError, InputErrors, NotThere, RecordError, StoreFailed
from sagwright.service.jobs.actions import take_in
from sagwright.service.jobs.queries import open_job, open_job_numbered
from sagwright.service.sheets import sheets_by_key
from sagwright.service.workshop.records import forget_draft, keep_draft, list_drafts, read_draft
from sagwright.units import Choice
from sagwright.web.counter.answers import arrival_of, family_of
from sagwright.web.counter.sections import Shelf, matches_of, sections_of
from sagwright.web.files import MOST_BYTES, with_photos
from sagwright.web.http.dates import moment
from sagwright.web.http.form import Box, Fault, Form, Reading, Wrongs, faults_of, form_of, wrongs_of
from sagwright.web.http.page import Page, respond
from sagwright.web.http.preferences import choice_of, cookie_of
from sagwright.web.http.request import Asked, get, post, to
from sagwright.web.job_frame import job_address

FORM: Final = "take in"
CHART: Final = "bicycle.document"
OURS: Final = frozenset({"by", "owner.name", "bicycle.name", "unit.chassis", "unit.serial"})
UNKEPT: Final = frozenset({"submission", "by"})


@dataclass(frozen=True, slots=True)
class Half:
    """A form half filled in: where it goes on, and what it is about."""

    id: str
    about: str
    when: str
    who: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeInPage(Page):
    """Everything that is asked at the counter.

    Attributes
    ----------
    submission : str
        Id of the form, its photos and its draft.
    units : str
        The units that stand beside the fields, kept with what is typed.
    halves : tuple of Half
        Other forms that were begun.
    faults : tuple of Fault
    visit, visit_says : str
        The visit that this unit comes with; empty for a new one.
    matches : tuple of Box
        Owners, bikes and units that may be meant.
    shelves : tuple of Shelf
        The fields, in their sections.
    kept : str
        When what was typed was last kept; empty if it was not yet.
    """

    template: ClassVar[str] = "counter/check_in.html"

    submission: str
    units: str
    halves: tuple[Half, ...]
    faults: tuple[Fault, ...]
    visit: str
    visit_says: str
    matches: tuple[Box, ...]
    shelves: tuple[Shelf, ...]
    kept: str


def look(asked: Asked) -> Response:
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


def _taken(asked: Asked, submission: str) -> str:
    """Where the job is that a form became; empty while it is only a form."""
    try:
        return job_address(open_job(asked.shop.records, submission).view.card.number)
    except NotThere:
        return ""


def _beside(asked: Asked) -> Form:
    """What another unit of the same visit has in common with the first."""
    number = asked.query.text("with")
    if not (number.isascii() and number.isdigit() and len(number) < 10):
        return Form()
    job = open_job_numbered(asked.shop.records, int(number))
    bicycle = job.bicycle.id if job.bicycle else "none"
    owner = {"owner.pick": job.owner.id, "owner.name": job.owner.name}
    return form_of({"visit": job.visit.id, "bike.pick": bicycle, **owner})


def keep(asked: Asked) -> Response:
    """Keep what is typed so far, photos too, and go on with it; what was taken in meanwhile is a job."""
    if taken := _taken(asked, asked.id):
        return to(taken)
    try:
        form = with_photos(asked)
    except (InputError, InputErrors) as error:
        return respond(_page(asked, asked.form, asked.id, wrongs=wrongs_of(error, asked.choice)), status=422)
    keep_draft(asked.shop.records, FORM, _typed(form), replace(asked.submission(), id=asked.id))
    place = asked.form.text("at")
    return to(f"/take-in?draft={asked.id}{f'#{quote(place)}' if place else ''}")


def forget(asked: Asked) -> Response:
    """Give a half-filled form up."""
    forget_draft(asked.shop.records, asked.form.text("draft"))
    return to("/take-in?done=The half-filled form was thrown away.")


def take(asked: Asked) -> Response:
    """Take the unit in."""
    form = asked.form
    try:
        said = asked.submission()
        form = with_photos(asked)
        reading = _reading(asked, form)
        arrival = arrival_of(reading)
        if reading.wrongs:
            return respond(_page(asked, form, asked.id, wrongs=reading.wrongs), status=422)
        job = take_in(asked.shop.records, arrival, said)
    except StoreFailed:
        raise
    except (InputError, InputErrors) as error:
        return respond(_page(asked, form, asked.id, wrongs=_placed(wrongs_of(error, asked.choice))), status=422)
    except RecordError as error:
        return respond(_page(asked, form, asked.shop.new_id(), wrongs={"": str(error)}), status=409)
    return to(f"{job_address(job.card.number)}?done=Taken in.")


def _placed(wrongs: dict[str, str]) -> dict[str, str]:
    """What is wrong with a bike's text stands beside that text, with the place in it."""
    placed: dict[str, str] = {}
    for name, text in wrongs.items():
        ours = not name or name in OURS or name.startswith("photo.")
        key, words = (name, text) if ours else (CHART, f"{name}: {text}")
        placed[key] = f"{placed[key]} {words}" if key in placed else words
    return placed


def _reading(asked: Asked, form: Form) -> Reading:
    key, _ = family_of(form)
    return Reading(form, _units(asked, form), sheets_by_key(asked.shop.records).get(key))


def _units(asked: Asked, form: Form) -> Choice:
    return choice_of(form.text("units")) if form.text("units") else asked.choice


def _typed(form: Form) -> dict[str, str]:
    return {name: text for name, text in form.pairs if name not in UNKEPT and text}


def _page(asked: Asked, form: Form, submission: str, *, wrongs: Wrongs | None = None, kept: bool = False) -> TakeInPage:
    reading = _reading(asked, form)
    boxes: dict[str, Box] = {}
    shelves = sections_of(reading, wrongs or {}, boxes, sheets_by_key(asked.shop.records))
    now = asked.shop.now()
    drafts = list_drafts(asked.shop.records, FORM)
    return TakeInPage(
        frame=asked.frame("Take in", "Take in"),
        submission=submission,
        units=cookie_of(reading.choice),
        halves=tuple(
            Half(one.id, _about(read_draft(asked.shop.records, one.id) or {}), moment(one.updated, now), one.by)
            for one in drafts
            if one.id != submission
        ),
        faults=faults_of(wrongs or {}, boxes),
        visit=form.text("visit"),
        visit_says=form.text("owner.name") if form.text("visit") else "",
        matches=matches_of(asked.shop.records, form),
        shelves=shelves,
        kept=next((moment(one.updated, now) for one in drafts if one.id == submission), "") if kept else "",
    )


def _about(typed: dict[str, str]) -> str:
    told = (typed.get(name) for name in ("owner.name", "unit.family", "unit.serial"))
    return ", ".join(filter(None, told)) or "no name yet"


ROUTES = (
    get("/take-in", look),
    post("/take-in", take, most_bytes=MOST_BYTES),
    post("/take-in/keep", keep, most_bytes=MOST_BYTES),
    post("/take-in/forget", forget),
)
