"""A sheet that has no faults, as a document."""

from __future__ import annotations

from sagwright.cli.document import Document, Paragraph, Row, Rows
from sagwright.domain.sheet import Sheet
from sagwright.phrases.sheets import sheet_lines
from sagwright.units import Choice


def sheet_document(sheet: Sheet) -> Document:
    """What was read, and that nothing is wrong with it."""
    rows = tuple(Row(label, text) for label, text in sheet_lines(sheet, Choice()))
    return Rows(rows), Paragraph(""), Paragraph("No faults.")
