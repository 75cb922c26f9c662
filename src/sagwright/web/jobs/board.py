"""Every open job at a glance, and the search for any job."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from starlette.responses import Response

from sagwright.domain.records.job import JobCard
from sagwright.domain.records.stages import OPEN
from sagwright.service.jobs.queries import board, search_jobs
from sagwright.web.http.dates import Due, due_text
from sagwright.web.http.page import Page, respond
from sagwright.web.http.request import PageRequest, get
from sagwright.web.job_frame import unit_text, waits_for


@dataclass(frozen=True, slots=True)
class _Row:
    """One job: its card; unit, what it waits for and what day it is due for, in words."""

    card: JobCard
    unit: str
    waits: str
    due_text: Due


@dataclass(frozen=True, slots=True)
class _Shelf:
    """The jobs at one stage: its name, its rows."""

    name: str
    rows: tuple[_Row, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardPage(Page):
    """Jobs by stage, or those that a search found.

    Attributes
    ----------
    query : str
        What is searched for; empty for the whole board.
    shelves : tuple of Shelf
        Of the board; empty while searching.
    found : tuple of Row
        What the search found, the newest first.
    summary : str
        How many jobs there are, and what is the matter with them, in a sentence.
    """

    template: ClassVar[str] = "jobs/board.html"

    query: str
    shelves: tuple[_Shelf, ...]
    found: tuple[_Row, ...]
    summary: str


def _show(asked: PageRequest) -> Response:
    """The board, or what a search found."""
    query = asked.query.text("q")
    cards = search_jobs(asked.shop.records, query) if query else board(asked.shop.records)
    today = asked.shop.now().astimezone().date()
    page = BoardPage(
        frame=asked.frame("Board", "Board"),
        query=query,
        shelves=() if query else _shelves(cards, today),
        found=tuple(_row(card, today) for card in cards) if query else (),
        summary=_found(len(cards), query) if query else _standing(cards, today),
    )
    return respond(page)


def _shelves(cards: tuple[JobCard, ...], today: date) -> tuple[_Shelf, ...]:
    rows = {stage: tuple(_row(card, today) for card in cards if card.stage is stage) for stage in OPEN}
    return tuple(_Shelf(stage.value, some) for stage, some in rows.items())


def _row(card: JobCard, today: date) -> _Row:
    return _Row(card, unit_text(card), waits_for(card.on_hold, card.on_hold_what), due_text(card.due, today))


def _standing(cards: Iterable[JobCard], today: date) -> str:
    """How things stand: "14 open jobs, 3 waiting, 2 overdue"."""
    jobs = tuple(cards)
    if not jobs:
        return "No open jobs. Take one in."
    counted = (
        (len(jobs), "open job" if len(jobs) == 1 else "open jobs"),
        (sum(bool(card.on_hold) for card in jobs), "waiting"),
        (sum(due_text(card.due, today).overdue for card in jobs), "overdue"),
    )
    return ", ".join(f"{number} {what}" for number, what in counted if number)


def _found(number: int, query: str) -> str:
    jobs = "1 job" if number == 1 else f"{number} jobs"
    return f'{jobs if number else "No job"} for "{query}", open or closed'


ROUTES = (get("/", _show),)
