"""What was typed while a unit was measured: as a thin sheet writes it, and what is wrong with it, field by field."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from sagwright.errors import InputError, MissingValue, OutOfRange
from sagwright.formats.fields.values import read_value
from sagwright.formats.sheet.measured import Written, key_for
from sagwright.units import Choice, split
from sagwright.web.form import Form
from sagwright.web.measures import NAMED, WORDS, Measure, measures_of, ranges

CHASSIS: Final = "standard"
LONGEST: Final = 100  # characters of a field
NEEDED: Final = {"maker": "Specimen", "model": "T35", "longest": "150 mm"}
"""What has no typical value, with an example."""
ENDS: Final = {"low_pressure": "high_pressure", "high_pressure": "low_pressure"}


@dataclass(frozen=True, slots=True)
class Measured:
    """What was typed for one architecture.

    Attributes
    ----------
    architecture : str
    facts : dict of str to str
        What a sheet would write, by field: with a decimal point, and with the unit beside the field unless it has one.
    """

    architecture: str
    facts: dict[str, str]


def measured_of(form: Form, architecture: str, choice: Choice) -> Measured:
    """The fields of a form that somebody typed into."""
    typed = (one for one in measures_of(architecture) if form.text(one.name))
    return Measured(architecture, {one.name: _fact(form.text(one.name)[:LONGEST], one, choice) for one in typed})


def _fact(text: str, measure: Measure, choice: Choice) -> str:
    if measure.name in WORDS:
        return text
    if choice.decimal == "," and measure.name != "travels":
        text = text.replace(",", ".")
    last = text.replace("..", "±").rpartition("±")[2]
    unit = choice.unit(measure.quantity)
    return text if not unit or split(last)[1] else f"{text} {unit}"


def paths_of(measure: Measure) -> tuple[str, ...]:
    """Where it stands in the sheet that is made."""
    return tuple(path.replace(NAMED, CHASSIS) for path in measure.paths)


def written(measured: Measured) -> dict[str, Written]:
    """What the sheet says, by path."""
    facts = measured.facts
    said: dict[str, Written] = {}
    for one in measures_of(measured.architecture):
        if one.name in facts and one.name not in ENDS:
            said |= dict.fromkeys(paths_of(one), facts[one.name])
    return said | _pressures(facts) | _travels(measured)


def _pressures(facts: dict[str, str]) -> dict[str, Written]:
    low, high = facts.get("low_pressure", ""), facts.get("high_pressure", "")
    return {"spring.pressure": f"{low} .. {high}"} if low and high else {}


def _travels(measured: Measured) -> dict[str, Written]:
    """Travels as a list where there is a list; and the shafts or the fixed travel that go with them."""
    longest, text = measured.facts.get("longest", ""), measured.facts.get("travels", "")
    if not longest:
        return {}
    unit = split(longest)[1]
    named = [one.strip() for one in text.split(",")] if text else [longest.partition("±")[0].strip()]
    listed = [one if split(one)[1] else f"{one} {unit}" for one in named if one]
    said: dict[str, Written] = {} if ".." in text else {f"chassis.{CHASSIS}.travels": listed}
    match measured.architecture:
        case "air-fork/shaft-per-travel":
            said["mechanism.shafts"] = [{"travel": one, "most_volume_spacers": "3"} for one in listed]
        case "air-fork/fixed":
            said["mechanism.fixed.travel"] = listed[0]
        case "rear-air-shock":
            said["mechanism.shafts"] = [{"travel": listed[0], "most_volume_spacers": "4"}]
    return said


# What is wrong


def own_faults(measured: Measured) -> tuple[InputError, ...]:
    """What is wrong with the fields by themselves; the field of each is the name of the one that is wrong."""
    return (*_missing(measured.facts), *_misread(measured), *_unnamed(measured.facts), *_unlisted(measured))


def _missing(facts: dict[str, str]) -> Iterator[InputError]:
    for name, example in NEEDED.items():
        if name not in facts:
            yield MissingValue("must be there", field=name, remedy=f"Write it, like {example}.")
    for name, other in ENDS.items():
        if name not in facts and other in facts:
            yield MissingValue("must be there beside the other end", field=name, remedy="Write both ends, or neither.")


def _misread(measured: Measured) -> Iterator[InputError]:
    for one in measures_of(measured.architecture):
        if one.name in measured.facts and one.name not in {*WORDS, "travels"}:
            try:
                read_value(measured.facts[one.name], one.quantity)
            except InputError as error:
                yield error.at(file=None, line=None, field=one.name)


def _unnamed(facts: dict[str, str]) -> Iterator[InputError]:
    for name in sorted(WORDS & set(facts)):
        if not key_for(facts[name], facts[name]):
            yield OutOfRange("must have a letter or a digit in it", field=name, value=facts[name])


def _unlisted(measured: Measured) -> Iterator[InputError]:
    text = measured.facts.get("travels", "")
    if ".." in text and not ranges(measured.architecture):
        remedy = "There is one air shaft for each: write them all."
        yield OutOfRange("must be a list with commas, like 120, 140, 150", field="travels", value=text, remedy=remedy)


def field_of(measured: Measured, fault: InputError) -> str:
    """The field at which a fault of the sheet is put right; empty where there is none."""
    path = fault.field or ""
    measures = measures_of(measured.architecture)
    if path in {one.name for one in measures}:
        return path
    if path.startswith(("mechanism.shafts", "mechanism.fixed", f"chassis.{CHASSIS}.travels")):
        return "travels" if "travels" in measured.facts else "longest"
    exact = (one.name for one in measures if path in paths_of(one))
    inside = (one.name for one in measures if any(each.startswith(f"{path}.") for each in paths_of(one)))
    return next(exact, "") or next(inside, "")


def by_field(measured: Measured, of_sheet: tuple[InputError, ...]) -> dict[str, InputError]:
    """The first fault of each field, under "" one that has none; what only follows from a wrong field is not told."""
    own = own_faults(measured)
    found = {one.field or "": one for one in reversed(own)}
    for one in of_sheet:
        name = field_of(measured, one)
        if not own or (name in measured.facts and not _sharing(measured, one) & set(found)):
            found.setdefault(name, one)
    return found


def _sharing(measured: Measured, fault: InputError) -> set[str]:
    """The fields that a value of the sheet is made from."""
    return {one.name for one in measures_of(measured.architecture) if fault.field in paths_of(one)}
