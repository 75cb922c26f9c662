"""What is measured on a unit to make a sheet of it, in the order of the work; what was typed, and what is wrong."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from sagwright.domain.value import Quantity
from sagwright.errors import InputError, MissingValue, OutOfRange
from sagwright.formats.fields.values import read_value
from sagwright.formats.sheet.measured import WrittenValues, key_for
from sagwright.units import UnitChoice, split
from sagwright.web.http.form import Form

NAMED: Final = "{chassis}"

CHASSIS: Final = "standard"
_LONGEST: Final = 100  # characters of a field
NEEDED: Final = {"maker": "Specimen", "model": "T35", "longest": "150 mm"}
"""What has no typical value, with an example."""
ENDS: Final = {"low_pressure": "high_pressure", "high_pressure": "low_pressure"}


@dataclass(frozen=True, slots=True)
class Measure:
    """One thing to measure.

    Attributes
    ----------
    name : str
        Of its field.
    label, how : str
        What it is, and how one gets it.
    paths : tuple of str
        Where it stands in a sheet; the first says what is typical.
    quantity : Quantity
    """

    name: str
    label: str
    how: str
    paths: tuple[str, ...]
    quantity: Quantity = Quantity.LENGTH


Group = tuple[str, tuple[Measure, ...]]

_OUTSIDE: Final[Group] = (
    "From outside, free of load",
    (
        Measure("axle_to_crown", "axle to crown", "Axle to the lower bearing seat, along the steerer.",
                (f"chassis.{NAMED}.axle_to_crown",)),
        Measure("stanchion", "stanchion, outside", "Caliper, below the worn part; both legs are taken as alike.",
                ("legs.spring.stanchion", "legs.damper.stanchion")),
        Measure("low_pressure", "lowest pressure permitted", "From its sticker or its manual.",
                ("spring.pressure",), Quantity.PRESSURE),
        Measure("high_pressure", "highest pressure permitted", "From its sticker or its manual.",
                ("spring.pressure",), Quantity.PRESSURE),
    ),
)  # fmt: skip
LOWERS: Final[Group] = (
    "With the lowers off",
    (
        Measure("shaft", "air shaft", "Caliper on the shaft where it is not scratched.",
                ("spring.shaft", "legs.spring.rod")),
        Measure("rod", "damper rod", "Caliper, as above.", ("damper.rod", "legs.damper.rod")),
        Measure("spring_oil", "lower-leg oil, spring side", "From its manual; else as typical.",
                ("legs.spring.lower_leg_oil",), Quantity.VOLUME),
        Measure("damper_oil", "lower-leg oil, damper side", "From its manual; else as typical.",
                ("legs.damper.lower_leg_oil",), Quantity.VOLUME),
    ),
)  # fmt: skip
SPRING: Final = (
    Measure("bore", "bore of the air tube", "Inside caliper, a hand's width in from the end.", ("spring.bore",)),
    Measure("volume_spacer", "one volume spacer", "Drop it into water in a measuring glass.",
            ("spring.positive.volume_spacer",), Quantity.VOLUME),
    Measure("most_volume_spacers", "most volume spacers", "How many the cap takes.",
            ("spring.positive.most_volume_spacers",), Quantity.COUNT),
    Measure("negative_length", "negative chamber", "Piston to seal head, topped out, without travel spacers.",
            ("spring.negative.length",)),
)  # fmt: skip
STACK: Final = (
    Measure("height", "one travel spacer, height", "Caliper.", ("mechanism.travel_spacers.height",)),
    Measure("outside", "one travel spacer, outside", "Caliper.", ("mechanism.travel_spacers.outside",)),
    Measure("most", "most travel spacers", "How many fit on the shaft.", ("mechanism.travel_spacers.most",),
            Quantity.COUNT),
    Measure("positions", "positions of the transfer port", "Count them; 1 where it cannot be moved.",
            ("transfer_port.positions",),
            Quantity.COUNT),
    Measure("positive_length", "positive chamber, bottomed out", "Cap to piston, fork pushed in, no volume spacers.",
            ("spring.positive.length_bottomed",)),
)  # fmt: skip
_TOPPED_OUT: Final = (
    Measure("positive_length", "positive chamber, topped out", "Cap to piston, fork drawn out, no volume spacers.",
            ("spring.positive.length_topped_out",)),
)  # fmt: skip
CAN: Final = (
    Measure("shaft", "body that the can slides on", "Caliper, where it is not scratched.", ("spring.shaft",)),
    Measure("positive_length", "positive chamber, topped out", "Far end of the can to the piston, shock drawn out, "
            "no volume spacers.", ("spring.positive.length_topped_out",)),
)  # fmt: skip
AIR_OUT: Final = "With the air spring out"

IDENTITY: Final = (
    Measure("maker", "maker", "As on the unit.", ("maker",), Quantity.COUNT),
    Measure("model", "model", "As on the unit, with its year if it says so.", ("model",), Quantity.COUNT),
)  # fmt: skip
MEASURE_WORDS: Final = frozenset(one.name for one in IDENTITY)
"""Fields that are no numbers."""
LONGEST_TRAVEL: Final = Measure("longest", "longest travel", "As its castings permit, with nothing in it that shortens "
                                "it.", (f"chassis.{NAMED}.longest",))  # fmt: skip
_STROKE: Final = Measure("longest", "stroke", "How far the shaft goes in, eye to eye: length free of load less length "
                        "pushed in to the stop.", (f"chassis.{NAMED}.longest",))  # fmt: skip
A_RANGE: Final = (
    Measure("travels", "travels permitted", "A range, or a list with commas; left out, only the longest.",
            (f"chassis.{NAMED}.travels",)),
    Measure("every", "steps of that range", "Where travels is a range.", (f"chassis.{NAMED}.every",)),
)  # fmt: skip
A_LIST: Final = (
    Measure("travels", "travels there are shafts for", "A list with commas; left out, only the longest.",
            (f"chassis.{NAMED}.travels",)),
)  # fmt: skip
TRAVELS: Final = {
    "air-fork/spacer-stack": (LONGEST_TRAVEL, *A_RANGE),
    "air-fork/shaft-per-travel": (LONGEST_TRAVEL, *A_LIST),
    "air-fork/fixed": (LONGEST_TRAVEL,),
    "rear-air-shock": (_STROKE,),
}
"""What is asked about travel, by base sheet: one that cannot be changed is one number."""

MEASURE_GROUPS: Final[dict[str, tuple[Group, ...]]] = {
    "air-fork/spacer-stack": (_OUTSIDE, LOWERS, (AIR_OUT, (*STACK, *SPRING))),
    "air-fork/shaft-per-travel": (_OUTSIDE, LOWERS, (AIR_OUT, (*_TOPPED_OUT, *SPRING))),
    "air-fork/fixed": (_OUTSIDE, LOWERS, (AIR_OUT, (*_TOPPED_OUT, *SPRING))),
    "rear-air-shock": (("From outside, free of load", _OUTSIDE[1][2:]), ("With the air can off", (*CAN, *SPRING))),
}
"""What is measured, by base sheet."""

BASE_KINDS: Final = {
    "air-fork/spacer-stack": "Fork: travel set by spacers under the piston",
    "air-fork/shaft-per-travel": "Fork: one air shaft per travel",
    "air-fork/fixed": "Fork: travel cannot be changed",
    "rear-air-shock": "Rear air shock, service of the can",
}
"""What a base sheet is, to somebody who holds a unit in hand."""


def groups_of(base: str) -> tuple[Group, ...]:
    """Everything that is asked for one base sheet, in the order in which one gets at it."""
    return (("What it says on it", (*IDENTITY, *TRAVELS[base])), *MEASURE_GROUPS[base])


def measures_of(base: str) -> tuple[Measure, ...]:
    """The same without headings."""
    return tuple(one for _, measures in groups_of(base) for one in measures)


def ranges(base: str) -> bool:
    """Whether its travels may be a range."""
    return any(one in A_RANGE for one in TRAVELS[base])


@dataclass(frozen=True, slots=True)
class Measured:
    """What was typed for one base sheet.

    Attributes
    ----------
    base : str
    facts : dict of str to str
        What a sheet would write, by field: with a decimal point, and with the unit beside the field unless it has one.
    """

    base: str
    facts: dict[str, str]


def measured_of(form: Form, base: str, choice: UnitChoice) -> Measured:
    """The fields of a form that somebody typed into."""
    typed = (one for one in measures_of(base) if form.text(one.name))
    return Measured(base, {one.name: _fact(form.text(one.name)[:_LONGEST], one, choice) for one in typed})


def _fact(text: str, measure: Measure, choice: UnitChoice) -> str:
    if measure.name in MEASURE_WORDS:
        return text
    if choice.decimal == "," and measure.name != "travels":
        text = text.replace(",", ".")
    last = text.replace("..", "±").rpartition("±")[2]
    unit = choice.unit(measure.quantity)
    return text if not unit or split(last)[1] else f"{text} {unit}"


def paths_of(measure: Measure) -> tuple[str, ...]:
    """Where it stands in the sheet that is made."""
    return tuple(path.replace(NAMED, CHASSIS) for path in measure.paths)


def written_values(measured: Measured) -> dict[str, WrittenValues]:
    """What the sheet says, by path."""
    facts = measured.facts
    said: dict[str, WrittenValues] = {}
    for one in measures_of(measured.base):
        if one.name in facts and one.name not in ENDS:
            said |= dict.fromkeys(paths_of(one), facts[one.name])
    return said | _pressures(facts) | _travels(measured)


def _pressures(facts: dict[str, str]) -> dict[str, WrittenValues]:
    low, high = facts.get("low_pressure", ""), facts.get("high_pressure", "")
    return {"spring.pressure": f"{low} .. {high}"} if low and high else {}


def _travels(measured: Measured) -> dict[str, WrittenValues]:
    """Travels as a list where there is a list; and the shafts or the fixed travel that go with them."""
    longest, text = measured.facts.get("longest", ""), measured.facts.get("travels", "")
    if not longest:
        return {}
    unit = split(longest)[1]
    named = [one.strip() for one in text.split(",")] if text else [longest.partition("±")[0].strip()]
    listed = [one if split(one)[1] else f"{one} {unit}" for one in named if one]
    said: dict[str, WrittenValues] = {} if ".." in text else {f"chassis.{CHASSIS}.travels": listed}
    match measured.base:
        case "air-fork/shaft-per-travel":
            said["mechanism.shafts"] = [{"travel": one, "most_volume_spacers": "3"} for one in listed]
        case "air-fork/fixed":
            said["mechanism.fixed.travel"] = listed[0]
        case "rear-air-shock":
            said["mechanism.shafts"] = [{"travel": listed[0], "most_volume_spacers": "4"}]
    return said


# What is wrong


def measure_faults(measured: Measured) -> tuple[InputError, ...]:
    """What is wrong with the fields by themselves; the field of each is the name of the one that is wrong."""
    return (*_missing(measured.facts), *_misread(measured), *_unnamed(measured.facts), *_unlisted(measured))


def _missing(facts: dict[str, str]) -> Iterator[InputError]:
    for name, example in NEEDED.items():
        if name not in facts:
            yield MissingValue("must be given", field=name, remedy=f"Write it, like {example}.")
    for name, other in ENDS.items():
        if name not in facts and other in facts:
            yield MissingValue("must be given beside the other end", field=name, remedy="Write both ends, or neither.")


def _misread(measured: Measured) -> Iterator[InputError]:
    for one in measures_of(measured.base):
        if one.name in measured.facts and one.name not in {*MEASURE_WORDS, "travels"}:
            try:
                read_value(measured.facts[one.name], one.quantity)
            except InputError as error:
                yield error.at(file=None, line=None, field=one.name)


def _unnamed(facts: dict[str, str]) -> Iterator[InputError]:
    for name in sorted(MEASURE_WORDS & set(facts)):
        if not key_for(facts[name], facts[name]):
            yield OutOfRange("must have a letter or a digit in it", field=name, value=facts[name])


def _unlisted(measured: Measured) -> Iterator[InputError]:
    text = measured.facts.get("travels", "")
    if ".." in text and not ranges(measured.base):
        remedy = "There is one air shaft for each: write them all."
        yield OutOfRange("must be a list with commas, like 120, 140, 150", field="travels", value=text, remedy=remedy)


def _field_of(measured: Measured, fault: InputError) -> str:
    """The field at which a fault of the sheet is put right; empty where there is none."""
    path = fault.field or ""
    measures = measures_of(measured.base)
    if path in {one.name for one in measures}:
        return path
    if path.startswith(("mechanism.shafts", "mechanism.fixed", f"chassis.{CHASSIS}.travels")):
        return "travels" if "travels" in measured.facts else "longest"
    exact = (one.name for one in measures if path in paths_of(one))
    inside = (one.name for one in measures if any(each.startswith(f"{path}.") for each in paths_of(one)))
    return next(exact, "") or next(inside, "")


def by_field(measured: Measured, of_sheet: tuple[InputError, ...]) -> dict[str, InputError]:
    """The first fault of each field, under "" one that has none; what only follows from a wrong field is not told."""
    own = measure_faults(measured)
    found = {one.field or "": one for one in reversed(own)}
    for one in of_sheet:
        name = _field_of(measured, one)
        if not own or (name in measured.facts and not _sharing(measured, one) & set(found)):
            found.setdefault(name, one)
    return found


def _sharing(measured: Measured, fault: InputError) -> set[str]:
    """The fields that a value of the sheet is made from."""
    return {one.name for one in measures_of(measured.base) if fault.field in paths_of(one)}
