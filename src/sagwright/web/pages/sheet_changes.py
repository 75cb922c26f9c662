"""What one revision of a sheet changed of another."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from starlette.responses import Response

from sagwright.service.sheets import difference
from sagwright.web.asked import Asked, get
from sagwright.web.frame import Cell, Page
from sagwright.web.render import respond


@dataclass(frozen=True, slots=True)
class Difference:
    """One value: its path in words, as it was and as it is; empty where one of them does not write it."""

    path: str
    before: str
    after: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangesPage(Page):
    """Two revisions beside each other.

    Attributes
    ----------
    before, after : str
        Which revisions.
    back : str
        Address of the newer one.
    differences : tuple of Difference
    """

    template: ClassVar[str] = "sheet_changes.html"

    before: str
    after: str
    back: str
    differences: tuple[Difference, ...]


def compare(asked: Asked) -> Response:
    """Every value that two revisions write differently."""
    old, new, written = difference(asked.shop.records, asked.path["before"], asked.path["after"])
    rows = tuple(
        Difference(one.path.replace(".", " › ").replace("_", " "), one.before or "", one.after or "") for one in written
    )
    page = ChangesPage(
        frame=asked.frame("Differences", "Sheets", block=(Cell("sheet", new.key),)),
        before=f"{old.key}, revision {old.revision}",
        after=f"{new.key}, revision {new.revision}",
        back=f"/sheets/revision/{new.id}",
        differences=rows,
    )
    return respond(page)


ROUTES = (get("/sheets/changes/{before}/{after}", compare),)
