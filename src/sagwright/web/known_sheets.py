"""The sheets that can be chosen: those the workshop keeps, before those that come with the program."""

from __future__ import annotations

from functools import lru_cache

from sagwright.domain.records.entities import SheetRevision
from sagwright.domain.sheet import Sheet
from sagwright.formats.sheet.catalogue import shipped_sheets
from sagwright.formats.sheet.load import load_sheet, sheet_of
from sagwright.service.sheets import list_sheets, read_revision
from sagwright.service.workshop.records import Workshop


def sheets_by_key(workshop: Workshop) -> dict[str, Sheet]:
    """Every sheet by its key, in its newest revision."""
    kept = {revision.key: sheet_of(revision) for revision in list_sheets(workshop)}
    return {**{name: _shipped(name) for name in shipped_sheets()}, **kept}


@lru_cache(maxsize=200)
def revision_named(workshop: Workshop, revision: str) -> tuple[SheetRevision, Sheet]:
    """A revision by its id, and the sheet it says; neither ever changes.

    Raises
    ------
    NotThere
    """
    return read_revision(workshop, revision)


@lru_cache
def _shipped(name: str) -> Sheet:
    return load_sheet(name, files=False)
