"""Every sheet there is."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import ClassVar

from starlette.responses import Response

from sagwright.formats.lookup import shipped_sheets
from sagwright.formats.sheet import load_sheet
from sagwright.phrases import sheets as words
from sagwright.units import Choice
from sagwright.web.asked import Asked, get
from sagwright.web.frame import Page
from sagwright.web.render import respond


@dataclass(frozen=True, slots=True)
class Row:
    """One sheet: its address, name, what it describes, revision, its chassis and what sets its travel."""

    href: str
    name: str
    describes: str
    revision: str
    chassis: tuple[str, ...]
    mechanism: str
    architecture: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetsPage(Page):
    """The sheets, those of the workshop before those that come with the program.

    Attributes
    ----------
    shipped : tuple of Row
    """

    template: ClassVar[str] = "sheets.html"

    shipped: tuple[Row, ...]


def browse(asked: Asked) -> Response:
    """All sheets."""
    return respond(SheetsPage(frame=asked.frame("Sheets", "Sheets"), shipped=_shipped(asked.choice)))


@cache
def _shipped(choice: Choice) -> tuple[Row, ...]:
    return tuple(_row(name, choice) for name in shipped_sheets())


def _row(name: str, choice: Choice) -> Row:
    sheet = load_sheet(name, files=False)
    return Row(
        href=f"/sheets/{name}",
        name=name,
        describes=f"{sheet.maker} {sheet.model}",
        revision=str(sheet.revision),
        chassis=tuple(words.chassis_text(chassis, choice) for chassis in sheet.chassis),
        mechanism=words.mechanism_text(sheet, choice),
        architecture=sheet.architecture,
    )


ROUTES = (get("/sheets", browse),)
