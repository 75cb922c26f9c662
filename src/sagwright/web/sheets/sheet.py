"""One sheet, readable: its spring leg, every value with its origin, items and torques, revisions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup
from starlette.responses import Response

from sagwright.domain.cutaway import Inside
from sagwright.domain.item import Act, Caution, Item
from sagwright.domain.records.entities import SheetRevision
from sagwright.domain.sheet import Sheet
from sagwright.drawing.cutaway.layout import ShownLeg
from sagwright.drawing.svg import Meaning
from sagwright.errors import NotThere
from sagwright.formats.sheet.catalogue import shipped_sheets
from sagwright.formats.sheet.load import load_sheet
from sagwright.phrases.labelled import LabelledLine
from sagwright.phrases.sheets import WrittenSection, sheet_lines, written_sections
from sagwright.phrases.steps import fluid_text, torque_text
from sagwright.phrases.tools_and_parts import tool_text
from sagwright.service.sheets import list_revisions, picture_of, read_revision
from sagwright.units import UnitChoice
from sagwright.web.drawings import cutaway_drawing
from sagwright.web.http.page import Cell, Page, respond
from sagwright.web.http.request import PageRequest, get


@dataclass(frozen=True, slots=True)
class ItemRow:
    """One item: its name, what must be off first, tools, torque on fitting, fluid, what is renewed; `unknown` where a
    torque is still to be found."""

    name: str
    covered_by: str
    tools: str
    torque: str
    unknown: bool
    fluid: str
    renew: str


@dataclass(frozen=True, slots=True)
class RevisionRow:
    """One kept revision: its number, who kept it and when, its address, and that of what it changed; empty for the
    first."""

    number: str
    by: str
    when: str
    href: str
    changes: str
    here: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPage(Page):
    """A sheet.

    Attributes
    ----------
    facts : tuple of LabelledLine
        Identity in a few lines.
    picture : Markup
        Its spring leg; empty where it has none.
    sections : tuple of WrittenSection
    items : tuple of ItemRow
    notices : tuple of Caution
        By signal word.
    revisions : tuple of RevisionRow
        That this workshop keeps, the newest first.
    edit_at : str
    """

    template: ClassVar[str] = "sheets/sheet.html"

    facts: tuple[LabelledLine, ...]
    picture: Markup
    sections: tuple[WrittenSection, ...]
    items: tuple[ItemRow, ...]
    notices: tuple[Caution, ...]
    revisions: tuple[RevisionRow, ...]
    edit_at: str


def newest(asked: PageRequest) -> Response:
    """The newest revision of a sheet: of this workshop, else as it was shipped."""
    key = asked.path["key"]
    kept = list_revisions(asked.shop.records, key)
    if kept:
        return _shown(asked, read_revision(asked.shop.records, kept[-1].id)[1], kept, kept[-1].id)
    if key not in shipped_sheets():
        raise NotThere(f"There is no sheet {key}.", remedy="Look it up among the sheets.")
    return _shown(asked, load_sheet(key, files=False), (), "")


def revision(asked: PageRequest) -> Response:
    """One revision that is kept."""
    found, sheet = read_revision(asked.shop.records, asked.path["id"])
    return _shown(asked, sheet, list_revisions(asked.shop.records, found.key), found.id)


def _shown(asked: PageRequest, sheet: Sheet, kept: tuple[SheetRevision, ...], here: str) -> Response:
    choice, leg = asked.choice, picture_of(sheet)
    block = (Cell("sheet", f"{sheet.name}, revision {sheet.revision}"), Cell("on", sheet.base or "nothing"))
    state = Cell("state", "kept in this workshop" if kept else "as shipped")
    page = SheetPage(
        frame=asked.frame(f"{sheet.maker} {sheet.model}", "Sheets", block=(*block, state)),
        facts=sheet_lines(sheet, choice),
        picture=_picture(leg, choice) if leg is not None else Markup(""),
        sections=written_sections(sheet, choice),
        items=tuple(_item(item, sheet, choice) for item in sheet.items),
        notices=sheet.notices,
        revisions=tuple(_revisions(kept, here)),
        edit_at=f"/sheets/edit/{sheet.name}",
    )
    return respond(page)


def _picture(leg: Inside, choice: UnitChoice) -> Markup:
    return cutaway_drawing((ShownLeg("longest travel", Meaning.FIRST, leg),), choice, "leg")


def _item(item: Item, sheet: Sheet, choice: UnitChoice) -> ItemRow:
    fitting = item.work(Act.ON) or item.work(Act.CHANGE)
    torque, fluid = (fitting.torque, fitting.fluid) if fitting else (None, None)
    works = [work for _, work in item.works]
    tools = dict.fromkeys(tool_text(tool) for work in works for tool in work.tools)
    return ItemRow(
        name=item.name,
        covered_by=", ".join(sheet.item(key).name for key in item.covered_by),
        tools=", ".join(tools),
        torque="" if torque is None else torque_text(torque, choice),
        unknown=torque is not None and torque.value is None,
        fluid="" if fluid is None else fluid_text(fluid, choice),
        renew=", ".join(f"{part.name} {part.size}".strip() for part in item.renew),
    )


def _revisions(kept: tuple[SheetRevision, ...], here: str) -> list[RevisionRow]:
    rows = []
    for place, one in enumerate(kept):
        before = kept[place - 1].id if place else ""
        changes = f"/sheets/changes/{before}/{one.id}" if before else ""
        when = one.added.date().isoformat()
        rows.append(RevisionRow(str(one.revision), one.by, when, f"/sheets/revision/{one.id}", changes, one.id == here))
    return rows[::-1]


ROUTES = (get("/sheets/of/{key:path}", newest), get("/sheets/revision/{id}", revision))
