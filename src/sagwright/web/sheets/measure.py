"""Measure a unit: a thin sheet from an architecture, in the order in which one measures, in five minutes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from starlette.responses import Response

from sagwright.domain.value import Quantity
from sagwright.errors import InputError, MissingValue, OutOfRange
from sagwright.formats.sheet.measured import key_for, thin_sheet, typical_of
from sagwright.service.sheets import add_sheet, check_sheet, list_revisions
from sagwright.web.http.form import Form, Pick, picks
from sagwright.web.http.number_field import sentence_of
from sagwright.web.http.page import Cell, Page, respond
from sagwright.web.http.request import Asked, get, post, to
from sagwright.web.sheets.measurements import (
    GROUPS,
    KINDS,
    NEEDED,
    WORDS,
    Measure,
    by_field,
    groups_of,
    measured_of,
    written,
)


@dataclass(frozen=True, slots=True)
class Box:
    """A field: its name, what it is and how one gets it, its unit, what stands in it, what is typical, what is
    wrong, and whether nothing typical can stand for it."""

    name: str
    label: str
    how: str
    unit: str
    text: str
    typical: str
    wrong: str
    needed: bool


@dataclass(frozen=True, slots=True)
class Section:
    """What is measured while the unit is in one state."""

    heading: str
    boxes: tuple[Box, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasurePage(Page):
    """A unit to be measured.

    Attributes
    ----------
    kinds : tuple of Pick
    architecture : str
    sections : tuple of Section
    problems : tuple of str
        What is wrong and stands in no field.
    submission, by, by_wrong : str
        What is wrong with who measured it; empty if nothing is.
    """

    template: ClassVar[str] = "sheets/measure.html"

    kinds: tuple[Pick, ...]
    architecture: str
    sections: tuple[Section, ...]
    problems: tuple[str, ...]
    submission: str
    by: str
    by_wrong: str


def look(asked: Asked) -> Response:
    """Empty fields for one architecture."""
    return _page(asked, _architecture(asked.query), {}, 200)


def keep(asked: Asked) -> Response:
    """Keep what was measured as a sheet; where something is wrong it stands beside its field and nothing is lost."""
    measured = measured_of(asked.form, _architecture(asked.form), asked.choice)
    key = key_for(measured.facts.get("maker", ""), measured.facts.get("model", ""))
    text = thin_sheet(measured.architecture, written(measured))
    faults = by_field(measured, (*_not_there(asked, key), *check_sheet(asked.shop.records, key or "new", text).faults))
    if not asked.by:
        faults["by"] = MissingValue("must be there", remedy="Write your name, so that the sheet says who measured.")
    if faults:
        return _page(asked, measured.architecture, faults, 422)
    made = add_sheet(asked.shop.records, key, text, asked.submission())
    return to(f"/sheets/revision/{made.id}?done=Kept.")


def _not_there(asked: Asked, key: str) -> tuple[InputError, ...]:
    """A fault if there is a sheet of that name already, which a thin one must not replace."""
    if not key or not list_revisions(asked.shop.records, key):
        return ()
    remedy = "Edit that sheet, or name this one otherwise, as by its year."
    return (OutOfRange("is described by a sheet already", field="model", value=key, remedy=remedy),)


def _architecture(form: Form) -> str:
    named = form.text("architecture")
    return named if named in GROUPS else next(iter(GROUPS))


# What is shown


def _page(asked: Asked, architecture: str, faults: Mapping[str, InputError], status: int) -> Response:
    sections = tuple(
        Section(heading, tuple(_box(asked, one, architecture, faults.get(one.name)) for one in measures))
        for heading, measures in groups_of(architecture)
    )
    page = MeasurePage(
        frame=asked.frame("Measure a unit", "Sheets", block=(Cell("on", architecture), Cell("state", "not kept"))),
        kinds=picks(KINDS, architecture),
        architecture=architecture,
        sections=sections,
        problems=(_elsewhere(faults[""]),) if "" in faults else (),
        submission=asked.form.text("submission") or asked.shop.new_id(),
        by=asked.form.text("by") or asked.by,
        by_wrong=_wrong(faults.get("by")),
    )
    return respond(page, status=status)


def _wrong(fault: InputError | None) -> str:
    return sentence_of(fault, fault.value) if fault else ""


def _elsewhere(fault: InputError) -> str:
    """What is wrong in no field: it names what the sheet calls it, not a file that nobody wrote."""
    return str(InputError(fault.rule, value=fault.value, remedy=fault.remedy, field=fault.field))


def _box(asked: Asked, measure: Measure, architecture: str, fault: InputError | None) -> Box:
    plain = measure.name in WORDS or measure.quantity is Quantity.COUNT
    return Box(
        name=measure.name,
        label=measure.label,
        how=measure.how,
        unit="" if plain else asked.choice.unit(measure.quantity),
        text=asked.form.text(measure.name),
        typical=typical_of(architecture, measure.paths[0]),
        wrong=_wrong(fault),
        needed=measure.name in NEEDED,
    )


ROUTES = (get("/sheets/measure", look), post("/sheets/measure", keep))
