"""Measure a unit: a thin sheet from a base sheet, in the order in which one measures, in five minutes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from starlette.responses import Response

from sagwright.domain.value import Quantity
from sagwright.errors import InputError, MissingValue, OutOfRange
from sagwright.formats.sheet.measured import key_for, thin_sheet, typical_of
from sagwright.service.sheets import add_sheet, check_draft, list_revisions
from sagwright.web.http.form import Form, Pick, pick_buttons
from sagwright.web.http.number_field import sentence_of
from sagwright.web.http.page import Cell, Page, respond
from sagwright.web.http.request import PageRequest, get, post, to
from sagwright.web.sheets.measurements import (
    BASE_KINDS,
    MEASURE_GROUPS,
    MEASURE_WORDS,
    NEEDED,
    Measure,
    by_field,
    groups_of,
    measured_of,
    written_values,
)


@dataclass(frozen=True, slots=True)
class _Box:
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
    boxes: tuple[_Box, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasurePage(Page):
    """A unit to be measured.

    Attributes
    ----------
    kinds : tuple of Pick
    base : str
    sections : tuple of Section
    problems : tuple of str
        What is wrong and stands in no field.
    submission, by, by_wrong : str
        What is wrong with who measured it; empty if nothing is.
    """

    template: ClassVar[str] = "sheets/measure.html"

    kinds: tuple[Pick, ...]
    base: str
    sections: tuple[Section, ...]
    problems: tuple[str, ...]
    submission: str
    by: str
    by_wrong: str


def _show(asked: PageRequest) -> Response:
    """Empty fields for one base sheet."""
    return _page(asked, _base(asked.query), {}, 200)


def _save(asked: PageRequest) -> Response:
    """Keep what was measured as a sheet; where something is wrong it stands beside its field and nothing is lost."""
    measured = measured_of(asked.form, _base(asked.form), asked.choice)
    key = key_for(measured.facts.get("maker", ""), measured.facts.get("model", ""))
    text = thin_sheet(measured.base, written_values(measured))
    faults = by_field(measured, (*_not_there(asked, key), *check_draft(asked.shop.records, key or "new", text).faults))
    if not asked.by:
        faults["by"] = MissingValue("must be given", remedy="Write your name, so that the sheet says who measured.")
    if faults:
        return _page(asked, measured.base, faults, 422)
    made = add_sheet(asked.shop.records, key, text, asked.submission())
    return to(f"/sheets/revision/{made.id}?done=Saved.")


def _not_there(asked: PageRequest, key: str) -> tuple[InputError, ...]:
    """A fault if there is a sheet of that name already, which a thin one must not replace."""
    if not key or not list_revisions(asked.shop.records, key):
        return ()
    remedy = "Edit that sheet, or name this one otherwise, as by its year."
    return (OutOfRange("is described by a sheet already", field="model", value=key, remedy=remedy),)


def _base(form: Form) -> str:
    named = form.text("base")
    return named if named in MEASURE_GROUPS else next(iter(MEASURE_GROUPS))


# What is shown


def _page(asked: PageRequest, base: str, faults: Mapping[str, InputError], status: int) -> Response:
    sections = tuple(
        Section(heading, tuple(_box(asked, one, base, faults.get(one.name)) for one in measures))
        for heading, measures in groups_of(base)
    )
    page = MeasurePage(
        frame=asked.frame("Measure a unit", "Sheets", block=(Cell("on", base), Cell("state", "not saved"))),
        kinds=pick_buttons(BASE_KINDS, base),
        base=base,
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


def _box(asked: PageRequest, measure: Measure, base: str, fault: InputError | None) -> _Box:
    plain = measure.name in MEASURE_WORDS or measure.quantity is Quantity.COUNT
    return _Box(
        name=measure.name,
        label=measure.label,
        how=measure.how,
        unit="" if plain else asked.choice.unit(measure.quantity),
        text=asked.form.text(measure.name),
        typical=typical_of(base, measure.paths[0]),
        wrong=_wrong(fault),
        needed=measure.name in NEEDED,
    )


ROUTES = (get("/sheets/measure", _show), post("/sheets/measure", _save))
