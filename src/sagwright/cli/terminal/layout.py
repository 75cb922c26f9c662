"""A document as lines of a width. Text is wrapped; a number is never cut, so a narrow table runs over."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import zip_longest

from sagwright.cli.terminal.document import (
    Banner,
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
    visible,
)

GAP = "  "
_NARROWEST = 8  # characters beside what is not wrapped
NO_BREAK = "\N{NO-BREAK SPACE}"
BEFORE_UNIT = re.compile(r"(?<=[\d_]) (?=\S{1,3}(?![^\s.,;:)]))")  # or before another short word
COLOURED_THROUGHOUT = frozenset({Tone.STRONG, Tone.FOUND, Tone.TARGET, Tone.REFUSE})


@dataclass(frozen=True, slots=True)
class _Span:
    """A piece of a line."""

    text: str
    tone: Tone = Tone.PLAIN


Spans = tuple[_Span, ...]


def laid_out(document: TextDocument, *, width: int) -> Iterator[Spans]:
    """The lines of a document, none with blanks at its end."""
    for block in document:
        for line in _lines(block, width):
            yield _trimmed(line)


def _trimmed(line: Spans) -> Spans:
    kept = list(line)
    while kept and not kept[-1].text.strip():
        kept.pop()
    return (*kept[:-1], _Span(kept[-1].text.rstrip(), kept[-1].tone)) if kept else ()


def _lines(block: Block, width: int) -> Iterator[Spans]:
    match block:
        case Heading(text):
            title = f"{visible(text).upper()} "
            yield from ((), (_Span(title, Tone.STRONG), _Span("─" * (width - len(title)), Tone.SOFT)))
        case Paragraph(text, tone):
            yield from ((_Span(line, tone),) for line in _wrapped(text, width))
        case Banner():
            yield from _banner(block, width)
        case TextRows():
            yield from _rows(block, width)
        case TextTable():
            yield from _table(block, width)


def _wrapped(text: str, width: int) -> list[str]:
    """Text as lines, no number parted from its unit; at least one, so that an empty text takes its place."""
    kept = BEFORE_UNIT.sub(NO_BREAK, visible(text))
    lines = textwrap.wrap(kept, max(width, _NARROWEST), break_on_hyphens=False) or [""]
    return [line.replace(NO_BREAK, " ") for line in lines]


def _banner(banner: Banner, width: int) -> Iterator[Spans]:
    yield ()
    lead, asides = banner.lead + GAP, (_Span(banner.mark, Tone.STRONG), _Span(GAP + banner.aside, Tone.SOFT))
    room = width - len(lead) - sum(len(aside.text) for aside in asides)
    first, *others = _wrapped(banner.text, room - len(GAP))
    yield _Span(lead, Tone.SOFT), _Span(f"{first:<{room}}", Tone.STRONG), *asides
    for other in others:
        yield _Span(" " * len(lead)), _Span(other, Tone.STRONG)


def _rows(block: TextRows, width: int) -> Iterator[Spans]:
    leads = max(block.lead_width, *(len(visible(row.lead)) for row in block.rows), 0)
    for row in block.rows:
        yield from _row(row, " " * block.indent, leads, width)


def _row(row: TextRow, margin: str, leads: int, width: int) -> Iterator[Spans]:
    tone = row.tone if row.tone in COLOURED_THROUGHOUT else Tone.PLAIN
    lead = visible(row.lead)
    for text in _wrapped(row.text, width - len(margin) - leads - len(GAP)):
        yield _Span(margin), _Span(lead, row.tone), _Span(" " * (leads - len(lead)) + GAP), _Span(text, tone)
        lead = ""


def _table(table: TextTable, width: int) -> Iterator[Spans]:
    headings = [column.heading.split("\n") for column in table.columns]
    deepest = max(map(len, headings))
    above = [[""] * (deepest - len(heading)) + heading for heading in headings]
    lines = [*(TextLine(cells, Tone.SOFT) for cells in zip(*above, strict=True)), *table.lines]
    widths = _column_widths(table.columns, lines, width)
    for line in lines:
        yield from _table_line(line, table.columns, widths)


def _column_widths(columns: Sequence[TextColumn], lines: Sequence[TextLine], width: int) -> list[int]:
    """Each as wide as its widest cell, the last no wider than what is left if it is text."""
    texts = zip(*(line.cells for line in lines), strict=True)
    widths = [max(len(visible(cell)) for cell in column) for column in texts]
    if not columns[-1].right:
        left = width - sum(widths[:-1]) - len(GAP) * (len(widths) - 1)
        widths[-1] = min(widths[-1], max(left, _NARROWEST))
    return widths


def _table_line(line: TextLine, columns: Sequence[TextColumn], widths: Sequence[int]) -> Iterator[Spans]:
    *cells, last = line.cells
    wrapped = [last] if columns[-1].right else _wrapped(last, widths[-1])
    for parts in zip_longest(*([cell] for cell in cells), wrapped, fillvalue=""):
        padded = (_cell(*each) for each in zip(parts, widths, columns, strict=True))
        yield (_Span(GAP.join(padded), line.tone),)


def _cell(cell: str, width: int, column: TextColumn) -> str:
    return f"{visible(cell):>{width}}" if column.right else f"{visible(cell):<{width}}"
