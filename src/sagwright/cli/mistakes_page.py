"""How mistakes show, as a page."""

from __future__ import annotations

from collections.abc import Iterator

from sagwright.cli.document import Block, Column, Document, Heading, Line, Paragraph, Row, Rows, Table, Tone
from sagwright.domain.diagnosis import Diagnosis, Explanation, Signs
from sagwright.domain.sheet import Sheet
from sagwright.domain.value import Quantity
from sagwright.phrases import quantities
from sagwright.phrases.diagnosis import SHOWS, mistake_text
from sagwright.units import Choice

MEANING = (
    "Slow forces, and the stroke's force at 95 % of travel; friction left out. Leaks are examples, of a seal that lets "
    "1 mm³ a second pass. What tells them apart is common practice, no source. Nothing here proves a fork empty."
)
COLUMNS = (
    ("travel", "travel", Quantity.LENGTH),
    ("exposed", "ex-\nposed", Quantity.LENGTH),
    ("off_top", "off the\ntop", Quantity.FORCE),
    ("sag", "sag", Quantity.LENGTH),
    ("end", "at\n95 %", Quantity.FORCE),
    ("valve_gauge", "gauge", Quantity.PRESSURE),
    ("cycled_gauge", "after\ncycling", Quantity.PRESSURE),
)


def mistakes_document(sheet: Sheet, diagnosis: Diagnosis, choice: Choice) -> Document:
    """Every mistake beside how it should be."""
    return tuple(_blocks(sheet, diagnosis, choice))


def _blocks(sheet: Sheet, diagnosis: Diagnosis, choice: Choice) -> Iterator[Block]:
    yield Rows((Row("sheet", f"{sheet.maker} {sheet.model}, {sheet.name}, revision {sheet.revision}"),))
    heads = (Column(f"{head}\n{choice.unit(quantity)}") for _, head, quantity in COLUMNS)
    lines = tuple(
        Line((mistake_text(one.mistake, choice), *_cells(one.signs, choice)), _tone(one))
        for one in diagnosis.explanations
    )
    yield Heading("How mistakes show")
    yield Table((Column("", right=False), *heads), lines)
    yield Heading("What tells them apart")
    yield Rows(
        tuple(
            Row(mistake_text(one.mistake, choice), SHOWS[one.mistake.kind] + _later(one.signs, choice))
            for one in diagnosis.explanations
            if one.mistake is not None
        )
    )
    yield Paragraph(MEANING, Tone.SOFT)


def _tone(one: Explanation) -> Tone:
    return Tone.TARGET if one.mistake is None else Tone.PLAIN


def _cells(signs: Signs, choice: Choice) -> Iterator[str]:
    for field, _, quantity in COLUMNS:
        yield quantities.in_column(getattr(signs, field), quantity, choice)


def _later(signs: Signs, choice: Choice) -> str:
    """Where it is, and what the gauge reads, over time."""
    if not signs.over_time:
        return ""
    texts = (
        f"{moment.time / 3600.0:g} h: {quantities.number(moment.compression, Quantity.LENGTH, choice)} at "
        f"{quantities.number(moment.valve_gauge, Quantity.PRESSURE, choice)}"
        for moment in signs.over_time
    )
    return f" (under its load after {'; '.join(texts)})"
