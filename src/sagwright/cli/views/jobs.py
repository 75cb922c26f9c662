"""Jobs as documents: one after something was recorded, one with everything, and lists."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from sagwright.cli.terminal.document import (
    Block,
    Heading,
    Paragraph,
    TextColumn,
    TextDocument,
    TextLine,
    TextRow,
    TextRows,
    TextTable,
    Tone,
)
from sagwright.domain.records.job import Difference, JobCard, JobView
from sagwright.phrases import quantities
from sagwright.phrases.entries import difference_text, entry_sentence

if TYPE_CHECKING:
    from sagwright.service.jobs.queries import OpenedJob, UnitHistory

NEXT_SHOWN = 5


def last_document(view: JobView) -> TextDocument:
    """Where a job stands after its last entry."""
    card, last = view.card, view.entries[-1]
    said = TextRow(f"entry {last.ordinal}", f"{entry_sentence(last.payload)} ({last.by})")
    rows = [TextRow(f"job {card.number}", stage_text(card), Tone.STRONG), said]
    if view.state.steps_left:
        shown = ", ".join(view.state.steps_left[:NEXT_SHOWN])
        rows.append(TextRow("next", shown + (" …" if len(view.state.steps_left) > NEXT_SHOWN else "")))
    return (TextRows(tuple(rows)),)


def job_document(opened: OpenedJob, difference: Difference | None) -> TextDocument:
    """A job with everything, and how its plan would be another one today."""
    view = opened.view
    note = () if difference is None else (Paragraph(difference_text(difference)),)
    return (*_head(opened), *note, Heading("Known"), *_known(view), Heading("Entries"), *entries_blocks(view))


def history_document(units: Sequence[UnitHistory], serial: str) -> TextDocument:
    """Units with all their jobs."""
    if not units:
        return (Paragraph(f"No unit with the serial number {serial} was ever here."),)
    return tuple(block for unit in units for block in _unit(unit))


def _unit(history: UnitHistory) -> Iterator[Block]:
    unit = history.unit
    yield TextRows(
        (TextRow("unit", f"{unit.serial}, {unit.sheet}, chassis {unit.chassis}", Tone.STRONG), TextRow("id", unit.id))
    )
    for view in history.jobs:
        yield Heading(f"Job {view.card.number}, {day(view.card.checked_in)}: {stage_text(view.card)}")
        yield from entries_blocks(view)


def cards_document(cards: Sequence[JobCard], none: str) -> TextDocument:
    """A list of jobs."""
    if not cards:
        return (Paragraph(none),)
    headings = ("job", "stage", "due", "holder", "serial", "sheet", "customer", "waits for")
    columns = tuple(TextColumn(text, right=False) for text in headings)
    return (TextTable(columns, tuple(TextLine(_cells(card)) for card in cards)),)


def _cells(card: JobCard) -> tuple[str, ...]:
    customer = card.customer_name or "(erased)"
    waits = str(card.on_hold or "")  # what exactly stands in `job show`
    about = (card.due or "", card.holder, card.serial, card.sheet, customer)
    return (str(card.number), card.stage.value, *about, waits)


def _head(opened: OpenedJob) -> Iterator[Block]:
    card = opened.view.card
    yield TextRows(
        (
            TextRow("job", f"{card.number}, checked in {day(card.checked_in)}, id {card.id}"),
            TextRow("stands at", stage_text(card), Tone.STRONG),
            TextRow("unit", f"{card.sheet}, chassis {card.chassis}, serial {card.serial or 'none'}, id {card.unit}"),
            TextRow(
                "customer",
                f"{card.customer_name or '(erased)'}, {opened.customer.contact or 'no contact'}, id {card.customer}",
            ),
            TextRow("bike", card.bicycle or "none"),
            *([TextRow("due", card.due)] if card.due else []),
            *([TextRow("holder", card.holder)] if card.holder else []),
            *([TextRow("comes back", f"from {card.comeback_of}")] if card.comeback_of else []),
        )
    )


def _known(view: JobView) -> Iterator[Block]:
    state = view.state
    rows = [TextRow(path, quantities.as_written(text)) for path, text in state.facts]
    rows += [TextRow("tasks", ", ".join(state.tasks))] if state.tasks else []
    rows += [TextRow("symptoms", state.symptoms)] if state.symptoms else []
    rows += [TextRow("steps left", ", ".join(state.steps_left))] if state.steps_left else []
    yield TextRows(tuple(rows)) if rows else Paragraph("Nothing yet.")


def entries_blocks(view: JobView) -> Iterator[Block]:
    """Every entry, and under it what corrects it."""
    rows = []
    for line in view.state.lines:
        struck = " (withdrawn)" if line.payload is None else " (corrected)" if line.corrections else ""
        for entry in (line.entry, *line.corrections):
            about = "↳ " if entry.corrects else ""
            said = f"{about}{entry_sentence(entry.payload)}{struck}"
            note = f" “{entry.note}”" if entry.note else ""
            rows.append(TextRow(f"{entry.ordinal}  {_moment(entry.at)}  {entry.by}", said + note))
            struck = ""
    yield TextRows(tuple(rows))


def stage_text(card: JobCard) -> str:
    """Where a job stands, and what it waits for."""
    waits = f", waits for {card.on_hold}: {card.on_hold_what}" if card.on_hold else ""
    return f"{card.stage}{waits}"


def day(at: datetime) -> str:
    """A date."""
    return f"{at:%Y-%m-%d}"


def _moment(at: datetime) -> str:
    """A date with its time, UTC."""
    return f"{at:%Y-%m-%d %H:%M}"
