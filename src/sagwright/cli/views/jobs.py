"""Jobs as documents: one after something was recorded, one with everything, and lists."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from sagwright.cli.terminal.document import Block, Column, Document, Heading, Line, Paragraph, Row, Rows, Table, Tone
from sagwright.domain.records.job import Difference, JobCard, JobView
from sagwright.phrases import quantities
from sagwright.phrases.entries import difference_text, entry_sentence

if TYPE_CHECKING:
    from sagwright.service.jobs.queries import OpenedJob, UnitHistory

NEXT_SHOWN = 5


def last_document(view: JobView) -> Document:
    """Where a job stands after its last entry."""
    card, last = view.card, view.entries[-1]
    said = Row(f"entry {last.ordinal}", f"{entry_sentence(last.payload)} ({last.by})")
    rows = [Row(f"job {card.number}", stage_text(card), Tone.STRONG), said]
    if view.state.left:
        shown = ", ".join(view.state.left[:NEXT_SHOWN])
        rows.append(Row("next", shown + (" …" if len(view.state.left) > NEXT_SHOWN else "")))
    return (Rows(tuple(rows)),)


def job_document(opened: OpenedJob, difference: Difference | None) -> Document:
    """A job with everything, and how its plan would be another one today."""
    view = opened.view
    note = () if difference is None else (Paragraph(difference_text(difference)),)
    return (*_head(opened), *note, Heading("Known"), *_known(view), Heading("Entries"), *entries_blocks(view))


def history_document(units: Sequence[UnitHistory], serial: str) -> Document:
    """Units with all their jobs."""
    if not units:
        return (Paragraph(f"No unit with the serial number {serial} was ever here."),)
    return tuple(block for unit in units for block in _unit(unit))


def _unit(history: UnitHistory) -> Iterator[Block]:
    unit = history.unit
    yield Rows((Row("unit", f"{unit.serial}, {unit.sheet}, chassis {unit.chassis}", Tone.STRONG), Row("id", unit.id)))
    for view in history.jobs:
        yield Heading(f"Job {view.card.number}, {day(view.card.taken_in)}: {stage_text(view.card)}")
        yield from entries_blocks(view)


def cards_document(cards: Sequence[JobCard], none: str) -> Document:
    """A list of jobs."""
    if not cards:
        return (Paragraph(none),)
    headings = ("job", "stage", "promised", "holder", "serial", "sheet", "owner", "waits for")
    columns = tuple(Column(text, right=False) for text in headings)
    return (Table(columns, tuple(Line(_cells(card)) for card in cards)),)


def _cells(card: JobCard) -> tuple[str, ...]:
    owner = card.owner_name or "(erased)"
    waits = str(card.waiting or "")  # what exactly stands in `job show`
    about = (card.promised or "", card.holder, card.serial, card.sheet, owner)
    return (str(card.number), card.stage.value, *about, waits)


def _head(opened: OpenedJob) -> Iterator[Block]:
    card = opened.view.card
    yield Rows(
        (
            Row("job", f"{card.number}, taken in {day(card.taken_in)}, id {card.id}"),
            Row("stands at", stage_text(card), Tone.STRONG),
            Row("unit", f"{card.sheet}, chassis {card.chassis}, serial {card.serial or 'none'}, id {card.unit}"),
            Row("owner", f"{card.owner_name or '(erased)'}, {opened.owner.contact or 'no contact'}, id {card.owner}"),
            Row("bike", card.bicycle or "none"),
            *([Row("promised", card.promised)] if card.promised else []),
            *([Row("holder", card.holder)] if card.holder else []),
            *([Row("comes back", f"from {card.comeback_of}")] if card.comeback_of else []),
        )
    )


def _known(view: JobView) -> Iterator[Block]:
    state = view.state
    rows = [Row(path, quantities.as_written(text)) for path, text in state.facts]
    rows += [Row("tasks", ", ".join(state.tasks))] if state.tasks else []
    rows += [Row("symptoms", state.symptoms)] if state.symptoms else []
    rows += [Row("steps left", ", ".join(state.left))] if state.left else []
    yield Rows(tuple(rows)) if rows else Paragraph("Nothing yet.")


def entries_blocks(view: JobView) -> Iterator[Block]:
    """Every entry, and under it what corrects it."""
    rows = []
    for line in view.state.lines:
        struck = " (withdrawn)" if line.payload is None else " (corrected)" if line.corrections else ""
        for entry in (line.entry, *line.corrections):
            about = "↳ " if entry.corrects else ""
            said = f"{about}{entry_sentence(entry.payload)}{struck}"
            note = f" “{entry.note}”" if entry.note else ""
            rows.append(Row(f"{entry.ordinal}  {moment(entry.at)}  {entry.by}", said + note))
            struck = ""
    yield Rows(tuple(rows))


def stage_text(card: JobCard) -> str:
    """Where a job stands, and what it waits for."""
    waits = f", waits for {card.waiting}: {card.waiting_what}" if card.waiting else ""
    return f"{card.stage}{waits}"


def day(at: datetime) -> str:
    """A date."""
    return f"{at:%Y-%m-%d}"


def moment(at: datetime) -> str:
    """A date with its time, UTC."""
    return f"{at:%Y-%m-%d %H:%M}"
