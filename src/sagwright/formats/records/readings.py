"""Readings as typed at the stand, held against what the decided plan asks for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from sagwright.domain.item import Record
from sagwright.domain.records.evidence import inspected, reading_of
from sagwright.domain.records.payloads import Reading
from sagwright.domain.step import Step
from sagwright.domain.value import Measured, Quantity
from sagwright.errors import InputError, OutOfRange
from sagwright.formats.fields.values import read_value
from sagwright.units import nearest


@dataclass(frozen=True, slots=True)
class RequiredReading:
    """A reading that a step asks for, and what it should be where the plan says so [SI]."""

    record: Record
    predicted: float | None


def required_readings(step: Step) -> dict[str, RequiredReading]:
    """Every reading that a step asks for, by its key."""
    return {
        one.key: RequiredReading(one, step.pressure_gauge if one.quantity is Quantity.PRESSURE else None)
        for one in step.records
    }


@dataclass(frozen=True, slots=True)
class TypedReading:
    """What was typed for a reading: its text, and where it is a number its value and uncertainty [SI]."""

    as_typed: str
    value: float | None = None
    u: float | None = None


def typed_readings(typed: Iterable[str], asked: Mapping[str, Quantity | None]) -> dict[str, TypedReading]:
    """Readings written as "pressure_left=88 psi", by their keys.

    Parameters
    ----------
    typed : iterable of str
    asked : mapping of str to Quantity or None
        What may be read, by key; None for what is looked at or described in words.

    Raises
    ------
    InputError
        If one names no reading that is asked for, or is no number with a unit of its quantity.
    """
    return dict(_typed(one, asked) for one in typed)


def _typed(typed: str, asked: Mapping[str, Quantity | None]) -> tuple[str, TypedReading]:
    key, _, said = (part.strip() for part in typed.partition("="))
    if key not in asked:
        near = nearest(key, list(asked))
        remedy = f"{f'Did you mean {near}? ' if near else ''}There are: {', '.join(asked) or 'none'}."
        raise OutOfRange("must be a reading that is asked for", value=key, field="reading", remedy=remedy)
    if not said:
        raise OutOfRange("must say what was read", value=typed, field=key, remedy=f"Write {key}=…")
    quantity = asked[key]
    if quantity is None:
        return key, TypedReading(said)
    try:
        value = read_value(said, quantity)
    except InputError as error:
        raise error.at(file=None, line=None, field=key) from error
    return key, TypedReading(said, value.si, value.u)


def readings_from_text(typed: Iterable[str], step: Step, *, instrument: str | None = None) -> tuple[Reading, ...]:
    """Readings of a step, written as "pressure_left=88 psi" and "scored=good", held against what it asks for.

    Raises
    ------
    InputError
        As `typed_readings`, and if something inspected is neither good nor not good.
    """
    asked, criteria = required_readings(step), {one.key: one for one in step.inspect}
    quantities = {key: one.record.quantity for key, one in asked.items()} | dict.fromkeys(criteria)
    return tuple(
        inspected(criteria[key], one.as_typed) if key in criteria else _held_against(asked[key], one, instrument)
        for key, one in typed_readings(typed, quantities).items()
    )


def _held_against(asked: RequiredReading, typed: TypedReading, instrument: str | None) -> Reading:
    reading = reading_of(asked.record, typed.as_typed, typed.value)
    predicted = None if asked.predicted is None else Measured(asked.predicted)
    return replace(reading, u=typed.u, instrument=instrument, predicted=predicted)
