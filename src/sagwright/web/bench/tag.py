"""The tag that hangs on a unit that is not rideable, to print."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from starlette.responses import Response

from sagwright.domain.item import Act
from sagwright.domain.records.payloads import StepDone
from sagwright.domain.records.stages import OPEN, Stage
from sagwright.errors import InputError, NotThere
from sagwright.phrases.steps import title
from sagwright.service.bench.state import bench_state
from sagwright.service.jobs.queries import OpenedJob
from sagwright.web.http.page import Page, respond
from sagwright.web.http.request import PageRequest, get
from sagwright.web.job_frame import job_frame, job_of


@dataclass(frozen=True, slots=True, kw_only=True)
class TagPage(Page):
    """What the tag says.

    Attributes
    ----------
    word : str
        "Not rideable", or how the job ended.
    number, unit, state : str
    last : str
        The last step that is done, by whom and when.
    charged : str
        Whether gas is in it, by what is written.
    """

    template: ClassVar[str] = "bench/tag.html"

    word: str
    number: str
    unit: str
    state: str
    last: str
    charged: str


_WORDS = {Stage.SCRAPPED: "Scrap: do not use", Stage.HANDED_OVER: "Handed over", Stage.REFUSED: "Do not ride"}


def _show(asked: PageRequest) -> Response:
    """The tag."""
    job = job_of(asked)
    card = job.view.card
    serial = f", no. {job.unit.serial}" if job.unit.serial else ""
    page = TagPage(
        frame=job_frame(asked, job, "Tag", card.stage if card.stage in OPEN else Stage.HAND_OVER),
        word=_WORDS.get(card.stage, "Not rideable"),
        number=str(card.number),
        unit=f"{card.sheet} {job.unit.chassis}{serial}",
        state=card.stage.value + (f", waits for {card.on_hold_what}" if card.on_hold else ""),
        last=_last(asked, job),
        charged=_charged(job),
    )
    return respond(page)


def _last(asked: PageRequest, job: OpenedJob) -> str:
    lines = [line for line in job.view.state.lines if isinstance(line.payload, StepDone)]
    if not lines:
        return "no step is done yet"
    entry, payload = lines[-1].entry, lines[-1].payload
    key = payload.step if isinstance(payload, StepDone) else ""
    try:
        work = bench_state(asked.shop.records, job.view.card.id)
        name = next((title(step, work.sheet) for step in work.done if step.key == key), key)
    except (InputError, NotThere):
        name = key
    return f"{name}; {entry.by}, {entry.at:%Y-%m-%d %H:%M}"


def _charged(job: OpenedJob) -> str:
    """What is written of its charge. It is read again whatever it says."""
    last = ""
    for key in job.view.state.done:
        act = key.split(":")[0]
        if act == Act.CHARGE:
            last = "written as charged"
        elif key.startswith(f"{Act.OFF}:air_charge"):
            last = "written as confirmed empty"
    return f"{last or 'as it was found: take it for charged'}. Read it again before anything else."


ROUTES = (get("/jobs/{number}/tag", _show),)
