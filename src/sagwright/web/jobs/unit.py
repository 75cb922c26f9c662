"""The history of a unit: everything that happened to it, across customers, and its settings over time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from starlette.responses import Response

from sagwright.domain.records.job import JobState, JobView
from sagwright.domain.records.payloads import ProblemFound, StepDone, WorkRefused
from sagwright.phrases import quantities
from sagwright.phrases.entries import value_text
from sagwright.service.jobs.queries import life_of
from sagwright.units import UnitChoice
from sagwright.web.http.page import Cell, Page, respond
from sagwright.web.http.request import PageRequest, get


@dataclass(frozen=True, slots=True)
class _Visit:
    """One job on the unit.

    Attributes
    ----------
    href, number, at, customer, stage, wish : str
    before : str
        The job it came back from; empty for none.
    travel, pressure_found, pressure_left, clicks : str
        Settings over time, as read; empty where nobody did.
    bar : str
        The pressure as left in kPa, for the drawing; empty where nobody read it.
    found : tuple of str
    entries : str
        Where its entries are, each of which may be corrected.
    """

    href: str
    number: str
    at: str
    customer: str
    stage: str
    wish: str
    before: str
    travel: str
    pressure_found: str
    pressure_left: str
    clicks: str
    bar: str
    found: tuple[str, ...]
    entries: str


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitPage(Page):
    """A unit's life.

    Attributes
    ----------
    unit : str
    visits : tuple of Visit
        Oldest first.
    most : str
        The end of the scale of the drawing, in kPa.
    """

    template: ClassVar[str] = "jobs/unit.html"

    unit: str
    visits: tuple[_Visit, ...]
    most: str


def _show(asked: PageRequest) -> Response:
    """Everything that happened to a unit."""
    life, customers = life_of(asked.shop.records, asked.path["id"])
    numbers = {view.card.id: view.card.number for view in life.jobs}
    visits = tuple(
        _visit(view, customer.name or "erased", numbers, asked.choice)
        for view, customer in zip(life.jobs, customers, strict=True)
    )
    serial = f"no. {life.unit.serial}" if life.unit.serial else "no serial number"
    bars = [float(one.bar) for one in visits if one.bar]
    page = UnitPage(
        frame=asked.frame("History of a unit", "Board", block=(Cell("unit", f"{life.unit.sheet}, {serial}"),)),
        unit=f"{life.unit.sheet}, chassis {life.unit.chassis}, {serial}",
        visits=visits,
        most=f"{1.2 * max(bars, default=1.0):.0f}",
    )
    return respond(page)


def _visit(view: JobView, customer: str, numbers: dict[str, int], choice: UnitChoice) -> _Visit:
    state, card = view.state, view.card
    read = {one.key: one for line in state.lines if isinstance(line.payload, StepDone) for one in line.payload.readings}
    left = read.get("pressure_left")
    travel, was, charged = (
        quantities.as_written(state.fact(path) or "")
        for path in ("wish.travel", "as_found.travel", "as_found.charge.pressure")
    )
    clicks = [one.as_typed for one in (read.get("rebound_left"), read.get("compression_left")) if one is not None]
    return _Visit(
        href=f"/jobs/{card.number}/{'hand-over' if state.closed else 'bench'}",
        number=str(card.number),
        at=card.checked_in.strftime("%Y-%m-%d"),
        customer=customer,
        stage=": ".join((card.stage.value, *_why_away(state))),
        wish=f"{travel} of travel" if travel else ", ".join(state.tasks),
        before=str(numbers.get(card.comeback_of or "", "")),
        travel=" → ".join(filter(None, (was, travel))),
        pressure_found=value_text(read.get("pressure_found"), choice) or charged,
        pressure_left=value_text(left, choice),
        clicks=", ".join(clicks),
        bar=f"{left.value / 1e3:.1f}" if left is not None and left.value is not None else "",
        entries=f"/jobs/{card.number}/log",
        found=tuple(line.payload.what for line in state.lines if isinstance(line.payload, ProblemFound)),
    )


def _why_away(state: JobState) -> list[str]:
    """Why it was refused or scrapped, if it was."""
    return [line.payload.reason for line in state.lines if isinstance(line.payload, WorkRefused)][-1:]


ROUTES = (get("/units/{id}", _show),)
