"""What stands around the pages of a job."""

from __future__ import annotations

from typing import Final

from sagwright.domain.records.stages import OPEN, Stage
from sagwright.errors import NotThere
from sagwright.service.looking import OpenedJob, open_job_numbered
from sagwright.web.asked import Asked
from sagwright.web.frame import Cell, Frame
from sagwright.web.frame import Stage as Mark


def job_of(asked: Asked) -> OpenedJob:
    """The job that an address names by its number.

    Raises
    ------
    NotThere
        If there is none.
    """
    number = asked.path["number"]
    if not (number.isascii() and number.isdigit() and len(number) < 10):
        raise NotThere(f"There is no job {number}.")
    return open_job_numbered(asked.shop.records, int(number))


PAGES: Final[dict[Stage, str]] = {
    Stage.CHOOSE: "choose",
    Stage.BENCH: "bench",
    Stage.PROVE: "prove",
    Stage.HAND_OVER: "hand-over",
}
"""The pages that stages have so far, by the last part of their address."""


def job_frame(asked: Asked, job: OpenedJob, title: str, on: Stage, *, sheet: str = "") -> Frame:
    """Navigation, stages and title block of one page of a job; `sheet` is the revision it stands on, in words."""
    return asked.frame(title, "Board", block=_block(job, sheet), stages=tuple(_marks(job, on)))


def _marks(job: OpenedJob, on: Stage) -> list[Mark]:
    reached = job.view.card.stage
    place = OPEN.index(reached) if reached in OPEN else len(OPEN)
    marks = []
    for number, stage in enumerate(OPEN):
        state = "now" if stage is on else "done" if number < place else "ahead"
        may = stage in PAGES and number <= place
        address = f"/jobs/{job.view.card.number}/{PAGES[stage]}" if may else ""
        marks.append(Mark(stage.value.capitalize(), address, state))
    return marks


def _block(job: OpenedJob, sheet: str) -> tuple[Cell, ...]:
    card, state = job.view.card, job.view.state
    serial = f"no. {job.unit.serial}" if job.unit.serial else "no serial number"
    cells = [
        Cell("unit", f"{card.sheet} · chassis {job.unit.chassis} · {serial}"),
        Cell("owner", job.owner.name or "erased"),
        Cell("job", str(card.number)),
        Cell("wish", _wish(dict(state.facts), state.tasks)),
        Cell("state", card.stage.value + (f", waits for {card.waiting_what or card.waiting}" if card.waiting else "")),
    ]
    if sheet:
        cells.insert(4, Cell("sheet", sheet))
    if card.promised:
        cells.insert(3, Cell("promised", card.promised))
    return tuple(cells)


def _wish(facts: dict[str, str], tasks: tuple[str, ...]) -> str:
    """The wish in a few words, as it was typed."""
    travel = facts.get("wish.travel")
    return f"{travel} of travel" if travel else ", ".join(tasks) or "not said yet"
