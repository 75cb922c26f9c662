"""What a step asks to write down, as fields of a form that start empty, and what came back from them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from sagwright.domain.item import Criterion, Record
from sagwright.domain.records.evidence import BAD, GOOD, NO, YES, inspected, planned_value, reading_of
from sagwright.domain.records.payloads import Reading
from sagwright.domain.step import Step
from sagwright.domain.value import Quantity
from sagwright.errors import InputError, InputErrors, OutOfRange
from sagwright.phrases import quantities
from sagwright.phrases.steps import criterion_text
from sagwright.units import UnitChoice, amount_in, parse
from sagwright.web.http.form import Form
from sagwright.web.http.number_field import NumberField, read_number

_STEPS: Final = {
    Quantity.PRESSURE: {"psi": "1", "bar": "0.1", "kPa": "5"},
    Quantity.LENGTH: {"mm": "1", "in": "0.05"},
    Quantity.COUNT: {"": "1"},
    Quantity.VOLUME: {"ml": "1", "fl oz": "0.1", "in³": "0.1"},
    Quantity.FORCE: {"N": "5", "lbf": "1", "kgf": "0.5"},
}
"""How far one press of a stepper goes, by unit."""
_WORDS: Final = ".words"
_LONGEST: Final = 500


@dataclass(frozen=True, slots=True)
class Preset:
    """A value that one touch puts into a field; an empty one empties it, to be typed."""

    text: str
    value: str


@dataclass(frozen=True, slots=True)
class NumberReading:
    """A number to read: its field, its presets, and the limits it must keep, in words and in the field's unit."""

    field: NumberField
    presets: tuple[Preset, ...]
    limits: str
    least: str
    most: str


@dataclass(frozen=True, slots=True)
class SightReading:
    """Something to see: its record, whether it was seen, and words about it; or only what was told in words."""

    record: Record
    chosen: str
    words: str
    wrong: str


@dataclass(frozen=True, slots=True)
class InspectionReading:
    """Something to inspect: what to look for with its limit, its name, what was chosen."""

    what: str
    name: str
    chosen: str
    wrong: str


@dataclass(frozen=True, slots=True)
class StepReadings:
    """Everything that a step asks."""

    numbers: tuple[NumberReading, ...]
    sights: tuple[SightReading, ...]
    looks: tuple[InspectionReading, ...]


def step_readings_of(
    step: Step, choice: UnitChoice, form: Form | None = None, wrong: dict[str, str] | None = None
) -> StepReadings:
    """The fields of a step, empty, or as they were typed with what is wrong beside them."""
    typed, faults = form or Form(), wrong or {}
    return StepReadings(
        numbers=tuple(_number(one, choice, typed, faults) for one in step.records if one.quantity is not None),
        sights=tuple(
            SightReading(
                record=one,
                chosen=typed.text(one.key),
                words=typed.text(one.key + _WORDS),
                wrong=faults.get(one.key, ""),
            )
            for one in step.records
            if one.quantity is None
        ),
        looks=tuple(_look(one, choice, typed, faults) for one in step.inspect),
    )


def _look(criterion: Criterion, choice: UnitChoice, typed: Form, faults: dict[str, str]) -> InspectionReading:
    key = criterion.key
    return InspectionReading(criterion_text(criterion, choice), key, typed.text(key), faults.get(key, ""))


def _number(record: Record, choice: UnitChoice, typed: Form, faults: dict[str, str]) -> NumberReading:
    quantity = record.quantity or Quantity.COUNT
    return NumberReading(
        field=number_field((record.key, record.what, quantity), choice, typed=typed, wrong=faults.get(record.key, "")),
        presets=tuple(_presets(record, quantity, choice)),
        limits=quantities.span(record.low, record.high, quantity, choice),
        least=_plain(record.low, quantity, choice),
        most=_plain(record.high, quantity, choice),
    )


def number_field(asking: tuple[str, str, Quantity], choice: UnitChoice, *, typed: Form, wrong: str = "") -> NumberField:
    """A field for a reading, by its name, what it is and its quantity; empty unless it was typed in."""
    name, label, quantity = asking
    unit = choice.unit(quantity)
    return NumberField(
        name=name,
        label=label,
        text=typed.text(name),
        unit=unit,
        wrong=wrong,
        step=_STEPS.get(quantity, {}).get(unit, ""),
        hint="read it",
        mark=choice.decimal,
    )


def _presets(record: Record, quantity: Quantity, choice: UnitChoice) -> list[Preset]:
    planned = planned_value(record)
    presets = []
    if record.low is None and record.high is not None and quantity is Quantity.PRESSURE:
        presets.append(Preset("zero", "0"))
    if planned is not None:
        presets.append(Preset("as planned", quantities.bare(planned, quantity, choice)))
    return [*presets, Preset("differs", "")] if presets else []


def _plain(value: float | None, quantity: Quantity, choice: UnitChoice) -> str:
    return "" if value is None else f"{amount_in(choice, value, quantity):.6g}"


def readings_of_step(step: Step, form: Form, choice: UnitChoice, photo: str | None) -> tuple[Reading, ...]:
    """What was read and seen; what was left empty is left out.

    Raises
    ------
    InputErrors
        If something is no number, each with the record's key as `field`.
    """
    read: list[Reading] = []
    faults: list[InputError] = []
    for record in step.records:
        try:
            found = _reading(record, form, choice)
        except InputError as error:
            faults.append(error)
            continue
        if found is not None:
            read.append(found)
    if faults:
        raise InputErrors(tuple(faults))
    looked = [inspected(one, form.text(one.key)) for one in step.inspect if form.text(one.key) in (GOOD, BAD)]
    read += looked
    if photo and not read and step.records:
        read.append(Reading("photo", "Photo", "photo", photo=photo))
    return tuple(read)


def _reading(record: Record, form: Form, choice: UnitChoice) -> Reading | None:
    if record.quantity is None:
        answer, words = form.text(record.key), form.text(record.key + _WORDS)[:_LONGEST]
        said = NO if answer == NO else (f"{answer}: {words}" if answer and words else words or answer)
        return reading_of(record, said, None) if said in (YES, NO) or said.strip() else None
    value, said = read_si(form, record.key, record.quantity, choice)
    return None if value is None else reading_of(record, said, value)


def read_si(form: Form, name: str, quantity: Quantity, choice: UnitChoice) -> tuple[float | None, str]:
    """A number's value and how it was typed; None where nothing was.

    Raises
    ------
    OutOfRange
        If it is no number.
    """
    typed = read_number(form, name, quantity, choice)
    if typed.wrong:
        raise OutOfRange("must be a number", field=name, value=typed.text, remedy=typed.wrong)
    return (None, "") if not typed.fact else (parse(typed.fact, quantity), typed.fact)
