"""Measure a unit: a thin sheet from an architecture, in the order in which one measures, in five minutes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Final

from starlette.responses import Response

from sagwright.domain.value import Quantity
from sagwright.errors import InputError, InputErrors, OutOfRange
from sagwright.formats.thin_sheet import Written, key_for, thin_sheet, typical_of
from sagwright.service.drafting import check_sheet
from sagwright.service.sheets import add_sheet, list_revisions
from sagwright.units import split
from sagwright.web.asked import Asked, get, post
from sagwright.web.form import Form
from sagwright.web.frame import Cell, Page
from sagwright.web.measures import GROUPS, KINDS, NAMED, Measure
from sagwright.web.render import respond
from sagwright.web.typed import sentence_of

CHASSIS: Final = "standard"
LONGEST: Final = 100  # characters of a field


@dataclass(frozen=True, slots=True)
class Kind:
    """An architecture to start from: its name, what it is, whether it is chosen."""

    name: str
    text: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class Box:
    """A field: its name, what it is and how one gets it, its unit, what stands in it, what is typical, what is
    wrong."""

    name: str
    label: str
    how: str
    unit: str
    text: str
    typical: str
    wrong: str


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
    kinds : tuple of Kind
    architecture : str
    sections : tuple of Section
    problems : tuple of str
        What is wrong and stands in no field.
    submission, by : str
    """

    template: ClassVar[str] = "measure.html"

    kinds: tuple[Kind, ...]
    architecture: str
    sections: tuple[Section, ...]
    problems: tuple[str, ...]
    submission: str
    by: str


def look(asked: Asked) -> Response:
    """Empty fields for one architecture."""
    return _measured(asked, _architecture(asked.query), (), 200)


def keep(asked: Asked) -> Response:
    """Keep what was measured as a sheet; where something is wrong it stands beside its field and nothing is lost."""
    architecture, form = _architecture(asked.form), asked.form
    key = key_for(form.text("maker"), form.text("model"))
    text = thin_sheet(architecture, _written(asked, architecture))
    faults = check_sheet(asked.shop.records, key or "new", text).faults
    faults = (
        *(fault for name in ("maker", "model") if (fault := _unnamed(form, name))),
        *_not_there(asked, key),
        *faults,
    )
    if not faults:
        try:
            made = add_sheet(asked.shop.records, key, text, asked.submission())
        except (InputError, InputErrors) as error:
            faults = error.errors if isinstance(error, InputErrors) else (error,)
        else:
            return asked.done(f"/sheets/revision/{made.id}?done=Kept.")
    return _measured(asked, architecture, faults, 422)


def _unnamed(form: Form, name: str) -> InputError | None:
    text = form.text(name)
    if not text or key_for(text, text):
        return None
    return OutOfRange("must have a letter or a digit in it", field=name, value=text)


def _not_there(asked: Asked, key: str) -> tuple[InputError, ...]:
    """A fault if there is a sheet of that name already, which a thin one must not replace."""
    if not key or not list_revisions(asked.shop.records, key):
        return ()
    remedy = "Edit that sheet, or name this one otherwise, as by its year."
    return (OutOfRange("is described by a sheet already", field="model", value=key, remedy=remedy),)


def _architecture(form: Form) -> str:
    named = form.text("architecture")
    return named if named in GROUPS else next(iter(GROUPS))


IDENTITY: Final = (
    Measure("maker", "maker", "As on the unit.", ("maker",), Quantity.COUNT),
    Measure("model", "model", "As on the unit, with its year if it says so.", ("model",), Quantity.COUNT),
    Measure("longest", "longest travel", "As its castings permit, with nothing in it that shortens it.",
            (f"chassis.{NAMED}.longest",)),
    Measure("travels", "travels permitted", "A range, or a list with commas; left out, only the longest.",
            (f"chassis.{NAMED}.travels",)),
    Measure("every", "steps of that range", "Where travels is a range.", (f"chassis.{NAMED}.every",)),
)  # fmt: skip
WORDS: Final = frozenset({"maker", "model"})


def _groups(architecture: str) -> tuple[tuple[str, tuple[Measure, ...]], ...]:
    return (("What it says on it", IDENTITY), *GROUPS[architecture])


# What was typed → what a sheet says


def _written(asked: Asked, architecture: str) -> dict[str, Written]:
    typed = {
        one.name: _fact(asked, one)
        for _, measures in _groups(architecture)
        for one in measures
        if asked.form.text(one.name)
    }
    written: dict[str, Written] = {}
    for _, measures in _groups(architecture):
        for one in measures:
            if one.name in typed and one.name not in {"low_pressure", "high_pressure"}:
                written |= {path.replace(NAMED, CHASSIS): typed[one.name] for path in one.paths}
    return written | _pressures(typed) | _travels(typed, architecture)


def _fact(asked: Asked, measure: Measure) -> str:
    """A number as a sheet writes it: with a decimal point, and with the unit beside the field unless it has one."""
    text = asked.form.text(measure.name)[:LONGEST]
    if measure.name in WORDS:
        return text
    if asked.choice.decimal == "," and measure.name != "travels":
        text = text.replace(",", ".")
    last = text.replace("..", "±").rpartition("±")[2]
    unit = asked.choice.unit(measure.quantity)
    return text if not unit or split(last)[1] else f"{text} {unit}"


def _pressures(typed: dict[str, str]) -> dict[str, Written]:
    low, high = typed.get("low_pressure", ""), typed.get("high_pressure", "")
    return {"spring.pressure": f"{low} .. {high}"} if low or high else {}


def _travels(typed: dict[str, str], architecture: str) -> dict[str, Written]:
    """Travels as a list where there is a list; and the shafts or the fixed travel that go with them."""
    longest, text = typed.get("longest", ""), typed.get("travels", "")
    if not longest:
        return {}
    unit = split(longest.partition("±")[0])[1]
    named = [one.strip() for one in text.split(",")] if text else [longest.partition("±")[0].strip()]
    listed = [one if split(one)[1] else f"{one} {unit}" for one in named if one]
    written: dict[str, Written] = {} if ".." in text else {f"chassis.{CHASSIS}.travels": listed}
    if architecture == "air-fork/shaft-per-travel" and ".." not in text:
        written["mechanism.shafts"] = [{"travel": one, "most_volume_spacers": "3"} for one in listed]
    if architecture == "air-fork/fixed":
        written["mechanism.fixed.travel"] = longest
    if architecture == "rear-air-shock":
        written["mechanism.shafts"] = [{"travel": longest, "most_volume_spacers": "4"}]
    return written


# What is shown


def _measured(asked: Asked, architecture: str, faults: tuple[InputError, ...], status: int) -> Response:
    told: dict[str, str] = {}
    sections = tuple(
        Section(heading, tuple(_box(asked, one, architecture, faults, told) for one in measures))
        for heading, measures in _groups(architecture)
    )
    others = (one for one in faults if (one.field or "") not in told)
    page = MeasurePage(
        frame=asked.frame("Measure a unit", "Sheets", block=(Cell("on", architecture), Cell("state", "not kept"))),
        kinds=tuple(Kind(name, text, name == architecture) for name, text in KINDS.items()),
        architecture=architecture,
        sections=sections,
        problems=tuple(str(one.at(file=None, line=None, field=None)) for one in others),
        submission=asked.form.text("submission") or asked.shop.new_id(),
        by=asked.form.text("by") or asked.by,
    )
    return respond(page, status=status)


def _box(
    asked: Asked, measure: Measure, architecture: str, faults: tuple[InputError, ...], told: dict[str, str]
) -> Box:
    paths = tuple(path.replace(NAMED, CHASSIS) for path in measure.paths)
    mine = [one for one in faults if one.field in paths or one.field == measure.name]
    told |= {one.field or "": measure.name for one in mine}
    plain = measure.name in WORDS or measure.quantity is Quantity.COUNT
    return Box(
        name=measure.name,
        label=measure.label,
        how=measure.how,
        unit="" if plain else asked.choice.unit(measure.quantity),
        text=asked.form.text(measure.name),
        typical=typical_of(architecture, measure.paths[0]),
        wrong=sentence_of(mine[0], mine[0].value) if mine else "",
    )


ROUTES = (get("/sheets/measure", look), post("/sheets/measure", keep))
