"""What stands around the pages of a job: its stages, the other open jobs one touch away, the title block."""

from __future__ import annotations

from typing import Final

from sagwright.domain.records.job import JobCard, JobState
from sagwright.domain.records.stages import OPEN, HoldReason, Stage
from sagwright.errors import NotThere
from sagwright.phrases.entries import WAITS_FOR
from sagwright.service.jobs.queries import OpenedJob, board, open_job_numbered
from sagwright.web.http.page import Cell, PageFrame, Tab
from sagwright.web.http.page import StageTab as Mark
from sagwright.web.http.request import PageRequest

STAGE_PAGES: Final[dict[Stage, str]] = {
    Stage.CHECK_IN: "check-in",
    Stage.PLAN: "plan",
    Stage.PREPARE: "prepare",
    Stage.BENCH: "bench",
    Stage.FINAL_CHECK: "final-check",
    Stage.HAND_OVER: "hand-over",
}
"""The pages that stages have so far, by the last part of their address."""
MOST_TABS: Final = 12
LONGEST_NUMBER: Final = 9


def job_address(number: int, page: str = "") -> str:
    """Where a job is, or one of its pages."""
    return f"/jobs/{number}/{page}".rstrip("/")


def job_of(asked: PageRequest) -> OpenedJob:
    """The job that the address names.

    Raises
    ------
    NotThere
    """
    number = asked.path["number"]
    if not (number.isascii() and number.isdigit() and len(number) <= LONGEST_NUMBER):
        raise NotThere(f"There is no job {number}.", remedy="Search for its customer, serial or number.")
    return open_job_numbered(asked.shop.records, int(number))


def job_frame(asked: PageRequest, job: OpenedJob, title: str, on: Stage | None, *, sheet: str = "") -> PageFrame:
    """Navigation, stages and title block of one page of a job; `sheet` is the revision it stands on, in words."""
    card = job.view.card
    return asked.frame(
        title,
        "Board",
        block=_block(job, sheet),
        stages=tuple(_marks(card, on)),
        tabs=_tabs(asked, card),
        job=job_address(card.number),
    )


def unit_text(card: JobCard) -> str:
    """A unit in a few words: its sheet, its chassis, its serial number."""
    name = card.sheet.rpartition("/")[2].upper()
    serial = f", no. {card.serial}" if card.serial else ""
    return f"{name} {card.chassis}{serial}"


def waits_for(reason: str, what: str) -> str:
    """What a job waits for in words; empty if it waits for nothing."""
    return f"{WAITS_FOR[HoldReason(reason)]}: {what}" if reason else ""


def wish_cell(state: JobState) -> str:
    """The wish in a few words, as it was typed."""
    travel = state.fact("wish.travel")
    return ", ".join([*([f"{travel} of travel"] if travel else []), *state.tasks]) or "not recorded"


def _marks(card: JobCard, on: Stage | None) -> list[Mark]:
    place = OPEN.index(card.stage) if card.stage in OPEN else len(OPEN)
    marks = []
    for number, stage in enumerate(OPEN):
        state = "done" if number < place else "stands" if number == place else "ahead"
        may = stage in STAGE_PAGES and (number <= place or (stage is Stage.BENCH and card.stage is Stage.PREPARE))
        address = job_address(card.number, STAGE_PAGES[stage]) if may else ""
        marks.append(Mark(stage.value.capitalize(), address, "now" if stage is on else state))
    return marks


def _block(job: OpenedJob, sheet: str) -> tuple[Cell, ...]:
    card = job.view.card
    serial = f"no. {job.unit.serial}" if job.unit.serial else "no serial number"
    cells = [
        Cell("unit", f"{card.sheet} · chassis {job.unit.chassis} · {serial}"),
        Cell("customer", job.customer.name or "erased"),
        Cell("job", str(card.number)),
        Cell("wish", wish_cell(job.view.state)),
        Cell("state", card.stage.value + (f", waits for {card.on_hold_what or card.on_hold}" if card.on_hold else "")),
    ]
    if sheet:
        cells.insert(4, Cell("sheet", sheet))
    if card.due:
        cells.insert(3, Cell("due", card.due))
    return tuple(cells)


def _tabs(asked: PageRequest, card: JobCard) -> tuple[Tab, ...]:
    """The open jobs nearest to hand: this one first, those of whoever is at this browser, those touched last."""
    jobs = board(asked.shop.records)
    near = sorted(jobs, key=lambda one: (one.id != card.id, one.holder != asked.by, -one.updated.timestamp()))
    shown = sorted(near[:MOST_TABS], key=lambda one: (one.id != card.id, one.number))
    return tuple(Tab(one.number, _in_short(one), _stands(one), here=one.id == card.id) for one in shown)


def _in_short(card: JobCard) -> str:
    """A unit where there is little room: its sheet, and the serial number that tells it from others of its kind."""
    return f"{card.sheet.rpartition('/')[2].upper()} {card.serial or card.chassis}"


def _stands(card: JobCard) -> str:
    return "waits" if card.on_hold else card.stage.value
