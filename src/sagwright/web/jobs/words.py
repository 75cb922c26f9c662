"""What is known of a job and what was recorded, in words and in this browser's units."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from itertools import groupby

from sagwright.domain.records.entry import Entry, photos_in
from sagwright.domain.records.job import JobState, Line
from sagwright.domain.records.payloads import Facts
from sagwright.domain.value import Value
from sagwright.errors import InputError
from sagwright.formats.intake.facts import as_typed, quantity_of, read_fact
from sagwright.phrases import quantities
from sagwright.phrases.entries import EntryText, Telling, entry_text
from sagwright.phrases.intake_labels import group, label, place
from sagwright.units import Choice
from sagwright.web.http.dates import moment


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing that is known: what it is called, what was typed, and the same in this browser's units."""

    name: str
    text: str
    shown: str


@dataclass(frozen=True, slots=True)
class FactGroup:
    """Facts that belong together, under their heading."""

    heading: str
    facts: tuple[Fact, ...]


@dataclass(frozen=True, slots=True)
class Said:
    """One entry as it was written: the entry, when, in words, and its photos by their ids."""

    entry: Entry
    at: str
    text: EntryText
    photos: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Written:
    """An entry, whether it still holds as written, and what corrects it, the last of which holds."""

    said: Said
    stands: bool
    corrections: tuple[Said, ...]


def known(facts: Facts, choice: Choice) -> tuple[FactGroup, ...]:
    """Facts under their headings, in the order in which they are asked."""
    ordered = sorted((fact for fact in facts if fact[0] != "unit.serial"), key=lambda fact: place(fact[0]))
    return tuple(
        FactGroup(heading, tuple(_fact(path, text, choice) for path, text in some))
        for heading, some in groupby(ordered, key=lambda fact: group(fact[0]))
    )


def _fact(path: str, text: str, choice: Choice) -> Fact:
    return Fact(label(path), quantities.as_written(as_typed(text, choice)), _elsewise(path, text, choice))


def _elsewise(path: str, text: str, choice: Choice) -> str:
    """A recorded number in this browser's unit, where it was typed in another one; what was typed stays.

    The air's own pressure is left as it is: nobody reads a barometer in a gauge's unit.
    """
    if path.endswith("air_pressure"):
        return ""
    try:
        quantity, value = quantity_of(path), read_fact(path, text)
    except InputError:
        return ""
    if quantity is None or not isinstance(value, Value) or not (unit := choice.unit(quantity)) or unit in text:
        return ""
    shown = quantities.number(value.si, quantity, choice)
    return "" if shown == as_typed(text, choice) else shown


def written(state: JobState, now: datetime, telling: Telling) -> tuple[Written, ...]:
    """Every entry with its corrections beside it, the newest first."""
    return tuple(line_written(line, now, telling) for line in reversed(state.lines))


def line_written(line: Line, now: datetime, telling: Telling) -> Written:
    """One entry with its corrections."""
    corrections = tuple(_said(entry, now, telling) for entry in line.corrections)
    return Written(_said(line.entry, now, telling), not corrections, corrections)


def _said(entry: Entry, now: datetime, telling: Telling) -> Said:
    return Said(entry, moment(entry.at, now), entry_text(entry.payload, telling), photos_in(entry.payload))
