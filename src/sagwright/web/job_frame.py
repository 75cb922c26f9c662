"""What stands around every page of a job: its stages, the other open jobs one touch away, the title block."""

from __future__ import annotations

from typing import Final

from sagwright.domain.records.job import JobCard, JobState
from sagwright.domain.records.stages import OPEN, Stage as At
from sagwright.phrases.entries import WAITS_FOR
from sagwright.domain.records.stages import WaitFor
from sagwright.service.looking import OpenedJob, board, open_job_numbered
from sagwright.web.asked import Asked
from sagwright.web.frame import Cell, Frame, Stage, Tab

MOST_TABS: Final = 12
PAGES: Final = {At.TAKE_IN: "take-in", At.CHOOSE: "choose", At.PREPARE: "prepare"}
"""Stages that have a page."""
NAMES: Final = {stage: stage.value.capitalize() for stage in At}


def job_address(number: int, page: str = "") -> str:
    """Where a job is, or one of its pages."""
    return f"/jobs/{number}/{page}".rstrip("/")


def opened(asked: Asked) -> OpenedJob:
    """The job that the address names.

    Raises
    ------
    NotThere
    """
    return open_job_numbered(asked.workshop, int(asked.path["number"]))


def job_frame(asked: Asked, job: OpenedJob, title: str, *, at: str = "") -> Frame:
    """The frame of a page of a job; `at` is the page it is, as in `PAGES`."""
    return asked.frame(
        title,
        "Board" if not at else "",
        block=_block(job),
        stages=_stages(job.view.card, at),
        tabs=_tabs(asked, job.view.card),
    )


def unit_text(card: JobCard) -> str:
    """A unit in a few words: its sheet, its chassis, its serial number."""
    name = card.sheet.rpartition("/")[2].upper()
    serial = f", no. {card.serial}" if card.serial else ""
    return f"{name} {card.chassis}{serial}"


def waits_for(reason: str, what: str) -> str:
    """What a job waits for in words; empty if it waits for nothing."""
    return f"{WAITS_FOR[WaitFor(reason)]}: {what}" if reason else ""


def wish_text(state: JobState) -> str:
    """What is wished, in a few words."""
    travel = state.fact("wish.travel")
    return ", ".join([*([f"{travel} of travel"] if travel else []), *state.tasks]) or "nothing yet"


def _block(job: OpenedJob) -> tuple[Cell, ...]:
    card = job.view.card
    return (
        Cell("unit", unit_text(card)),
        Cell("owner", card.owner_name or "erased"),
        Cell("wish", wish_text(job.view.state)),
        Cell("job", str(card.number)),
        Cell("sheet", card.sheet),
        Cell("state", card.stage.value + (", waiting" if card.waiting else "")),
    )


def _stages(card: JobCard, at: str) -> tuple[Stage, ...]:
    stands = OPEN.index(card.stage) if card.stage in OPEN else len(OPEN)
    return tuple(
        Stage(
            NAMES[stage],
            job_address(card.number, PAGES[stage]) if stage in PAGES and number <= stands else "",
            _state(number, stands, here=PAGES.get(stage) == at),
        )
        for number, stage in enumerate(OPEN)
    )


def _state(number: int, stands: int, *, here: bool) -> str:
    if here:
        return "now"
    return "done" if number < stands else "stands" if number == stands else "ahead"


def _tabs(asked: Asked, card: JobCard) -> tuple[Tab, ...]:
    """The open jobs nearest to hand: this one, those of whoever is at this device, those touched last."""
    jobs = board(asked.workshop)
    near = sorted(jobs, key=lambda one: (one.id != card.id, one.holder != asked.who, -one.updated.timestamp()))
    shown = sorted(near[:MOST_TABS], key=lambda one: one.number)
    return tuple(Tab(one.number, unit_text(one), _stands(one), here=one.id == card.id) for one in shown)


def _stands(card: JobCard) -> str:
    return "waits" if card.waiting else card.stage.value
