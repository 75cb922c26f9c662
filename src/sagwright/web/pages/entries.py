"""Every entry of a job, and one of them to be corrected: a correction is a new entry that stands beside it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from starlette.responses import Response

from sagwright.domain.records.job import Line
from sagwright.domain.records.payloads import Proved, Reading, Recorded, TakenIn, Withdrawn
from sagwright.domain.records.stages import OPEN, Stage
from sagwright.errors import MissingValue, NotThere
from sagwright.phrases import figures
from sagwright.phrases.entries import Telling
from sagwright.service.looking import OpenedJob
from sagwright.service.stepping import correct_step
from sagwright.web.asked import Asked, get, post
from sagwright.web.bench_frame import address, frame_of
from sagwright.web.decided import telling_of
from sagwright.web.frame import Page
from sagwright.web.job_frame import job_of
from sagwright.web.job_words import Written, line_written, written
from sagwright.web.render import respond
from sagwright.web.step_fields import read_si


@dataclass(frozen=True, slots=True)
class Correctable:
    """A reading that may be corrected: its field's name, what it is, what holds now, and its unit."""

    name: str
    what: str
    now: str
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EntriesPage(Page):
    """Every entry of a job.

    Attributes
    ----------
    lines : tuple of Written
    base : str
        Where each is, before its number.
    """

    template: ClassVar[str] = "entries.html"

    lines: tuple[Written, ...]
    base: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryPage(Page):
    """One entry, to look at and to correct.

    Attributes
    ----------
    line : Written
    readings : tuple of Correctable
    may_withdraw : bool
    action, all, bench : str
        Where the forms go, where all entries are, and where the work goes on.
    by, submission, other : str
        Who is there, and the ids that a correction and a withdrawal would have.
    """

    template: ClassVar[str] = "entry.html"

    line: Written
    readings: tuple[Correctable, ...]
    may_withdraw: bool
    action: str
    all: str
    bench: str
    by: str
    submission: str
    other: str


def look(asked: Asked) -> Response:
    """All of them."""
    job = job_of(asked)
    page = EntriesPage(
        frame=frame_of(asked, job, "Entries", _stage(job)),
        lines=written(job.view.state, asked.shop.now(), _telling(asked, job)),
        base=address(job, "entries"),
    )
    return respond(page)


def _telling(asked: Asked, job: OpenedJob) -> Telling:
    return telling_of(asked.shop.records, job.view.state, asked.choice)


def _stage(job: OpenedJob) -> Stage:
    return job.view.card.stage if job.view.card.stage in OPEN else OPEN[-1]


def _line(asked: Asked, job: OpenedJob) -> Line:
    """The entry that the address names.

    Raises
    ------
    NotThere
    """
    for line in job.view.state.lines:
        if str(line.entry.ordinal) == asked.path["ordinal"]:
            return line
    raise NotThere(f"The job has no entry {asked.path['ordinal']} that is not itself a correction.")


def look_at_one(asked: Asked) -> Response:
    """One of them."""
    job = job_of(asked)
    line = _line(asked, job)
    payload = line.payload
    readings = payload.readings if isinstance(payload, Recorded | Proved) else ()
    page = EntryPage(
        frame=frame_of(asked, job, f"Entry {line.entry.ordinal}", _stage(job)),
        line=line_written(line, asked.shop.now(), _telling(asked, job)),
        readings=tuple(_correctable(asked, number, one) for number, one in enumerate(readings)),
        may_withdraw=payload is not None and not isinstance(payload, TakenIn),
        action=address(job, f"entries/{line.entry.ordinal}"),
        all=address(job, "entries"),
        bench=address(job, "bench"),
        by=asked.by,
        submission=asked.shop.new_id(),
        other=asked.shop.new_id(),
    )
    return respond(page)


def _correctable(asked: Asked, number: int, reading: Reading) -> Correctable:
    if reading.value is None or reading.quantity is None:
        return Correctable(f"r{number}", reading.what, reading.said, "")
    shown = figures.number(reading.value, reading.quantity, asked.choice)
    return Correctable(f"r{number}", reading.what, shown, asked.choice.unit(reading.quantity))


def correct(asked: Asked) -> Response:
    """A correction, or a withdrawal."""
    job = job_of(asked)
    line = _line(asked, job)
    said = replace(asked.submission(), note=asked.form.text("note"))
    reason = asked.form.text("reason")
    if asked.form.has("reason"):
        if not reason:
            raise MissingValue("must be there", field="reason", remedy="Say why it does not hold.")
        what: Recorded | Proved | Withdrawn = Withdrawn(reason)
    elif isinstance(line.payload, Recorded | Proved):
        what = replace(line.payload, readings=_corrected(asked, line.payload.readings))
    else:
        raise NotThere("This entry has no reading to correct.", remedy="Withdraw it, and record anew what holds.")
    correct_step(asked.shop.records, job.view.card.id, said, entry=line.entry.id, what=what)
    return asked.done(address(job, f"entries/{line.entry.ordinal}"))


def _corrected(asked: Asked, readings: tuple[Reading, ...]) -> tuple[Reading, ...]:
    return tuple(_new(asked, f"r{number}", one) for number, one in enumerate(readings))


def _new(asked: Asked, name: str, reading: Reading) -> Reading:
    """A reading as it was corrected; an empty field leaves it."""
    if not asked.form.text(name):
        return reading
    if reading.quantity is None or reading.value is None:
        return replace(reading, said=asked.form.text(name))
    value, said = read_si(asked.form, name, reading.quantity, asked.choice)
    return replace(reading, value=value, said=said)


ROUTES = (
    get("/jobs/{number}/entries", look),
    get("/jobs/{number}/entries/{ordinal}", look_at_one),
    post("/jobs/{number}/entries/{ordinal}", correct),
)
