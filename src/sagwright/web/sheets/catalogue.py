"""Pages of all spec sheets, and of what one revision of a sheet changed of another."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache
from typing import ClassVar

from starlette.responses import Response

from sagwright.domain.records.entities import SheetDifference, SheetRevision
from sagwright.domain.sheet import Sheet
from sagwright.formats.sheet.catalogue import shipped_sheets
from sagwright.formats.sheet.load import load_sheet, sheet_of
from sagwright.phrases import quantities
from sagwright.phrases import sheets as words
from sagwright.service.sheets import list_sheets, sheet_difference
from sagwright.units import UnitChoice
from sagwright.web.http.page import Cell, Page, respond
from sagwright.web.http.request import PageRequest, get


@dataclass(frozen=True, slots=True)
class _Row:
    """One sheet, with its chassis and what sets its travel in words."""

    sheet: Sheet
    chassis: tuple[str, ...]
    mechanism: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetsPage(Page):
    """The sheets, those of the workshop before those that come with the program.

    Attributes
    ----------
    own, shipped : tuple of Row
    """

    template: ClassVar[str] = "sheets/catalogue.html"

    own: tuple[_Row, ...]
    shipped: tuple[_Row, ...]


def browse(asked: PageRequest) -> Response:
    """All sheets."""
    kept = tuple(_of_revision(one, asked.choice) for one in list_sheets(asked.shop.records))
    own = {row.sheet.name for row in kept}
    shipped = tuple(row for row in _shipped(asked.choice) if row.sheet.name not in own)
    return respond(SheetsPage(frame=asked.frame("Sheets", "Sheets"), own=kept, shipped=shipped))


@lru_cache(maxsize=256)
def _of_revision(revision: SheetRevision, choice: UnitChoice) -> _Row:
    """A revision never changes, so that its row is made once."""
    return _row(sheet_of(revision), choice)


@cache
def _shipped(choice: UnitChoice) -> tuple[_Row, ...]:
    return tuple(_row(load_sheet(name, files=False), choice) for name in shipped_sheets())


def _row(sheet: Sheet, choice: UnitChoice) -> _Row:
    chassis = tuple(words.chassis_text(one, choice) for one in sheet.chassis)
    return _Row(sheet, chassis, words.mechanism_text(sheet, choice))


ROUTES = (get("/sheets", browse),)


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangesPage(Page):
    """Two revisions beside each other.

    Attributes
    ----------
    before, after : str
        Which revisions.
    back : str
        Address of the newer one.
    differences : tuple of SheetDifference
    """

    template: ClassVar[str] = "sheets/changes.html"

    before: str
    after: str
    back: str
    differences: tuple[SheetDifference, ...]


def _compare(asked: PageRequest) -> Response:
    """Every value that two revisions write differently."""
    old, new, written = sheet_difference(asked.shop.records, asked.path["before"], asked.path["after"])
    page = ChangesPage(
        frame=asked.frame("Differences", "Sheets", block=(Cell("sheet", new.key),)),
        before=f"{old.key}, revision {old.revision}",
        after=f"{new.key}, revision {new.revision}",
        back=f"/sheets/revision/{new.id}",
        differences=tuple(SheetDifference(one.path, _shown(one.before), _shown(one.after)) for one in written),
    )
    return respond(page)


def _shown(written: str | None) -> str | None:
    return written and quantities.as_written(written)


CHANGES_ROUTES = (get("/sheets/changes/{before}/{after}", _compare),)
