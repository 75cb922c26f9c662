"""What is known of a job and what was recorded, in words and in this browser's units."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from itertools import groupby

from sagwright.domain.records.entry import Entry, photos_in
from sagwright.domain.records.job import EntryLine, JobState
from sagwright.domain.records.payloads import Facts
from sagwright.domain.value import Value
from sagwright.errors import InputError
from sagwright.formats.intake.facts import as_typed, quantity_of_fact, read_fact
from sagwright.phrases import quantities
from sagwright.phrases.entries import EntryText, EntryWording, entry_text
from sagwright.phrases.intake_labels import fact_label, fact_order, group
from sagwright.units import UnitChoice
from sagwright.web.http.dates import moment


@dataclass(frozen=True, slots=True)
class _Fact:
    """One thing that is known: what it is called, what was typed, and the same in this browser's units."""

    name: str
    text: str
    shown: str


@dataclass(frozen=True, slots=True)
class FactGroup:
    """Facts that belong together, under their heading."""

    heading: str
    facts: tuple[_Fact, ...]


@dataclass(frozen=True, slots=True)
class EntryWords:
    """One entry as it was written: the entry, when, in words, and its photos by their ids."""

    entry: Entry
    at: str
    text: EntryText
    photos: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class EntryView:
    """An entry, whether it still holds as written, and what corrects it, the last of which holds."""

    words: EntryWords
    stands: bool
    corrections: tuple[EntryWords, ...]


def known_facts(facts: Facts, choice: UnitChoice) -> tuple[FactGroup, ...]:
    """Facts under their headings, in the order in which they are asked."""
    ordered = sorted((fact for fact in facts if fact[0] != "unit.serial"), key=lambda fact: fact_order(fact[0]))
    return tuple(
        FactGroup(heading, tuple(_fact(path, text, choice) for path, text in some))
        for heading, some in groupby(ordered, key=lambda fact: group(fact[0]))
    )


def _fact(path: str, text: str, choice: UnitChoice) -> _Fact:
    return _Fact(fact_label(path), quantities.as_written(as_typed(text, choice)), _elsewise(path, text, choice))


def _elsewise(path: str, text: str, choice: UnitChoice) -> str:
    """A recorded number in this browser's unit, where it was typed in another one; what was typed stays.

    The air's own pressure is left as it is: nobody reads a barometer in a gauge's unit.
    """
    if path.endswith("air_pressure"):
        return ""
    try:
        quantity, value = quantity_of_fact(path), read_fact(path, text)
    except InputError:
        return ""
    if quantity is None or not isinstance(value, Value) or not (unit := choice.unit(quantity)) or unit in text:
        return ""
    shown = quantities.number_text(value.si, quantity, choice)
    return "" if shown == as_typed(text, choice) else shown


def entry_views(state: JobState, now: datetime, telling: EntryWording) -> tuple[EntryView, ...]:
    """Every entry with its corrections beside it, the newest first."""
    return tuple(entry_line(line, now, telling) for line in reversed(state.lines))


def entry_line(line: EntryLine, now: datetime, telling: EntryWording) -> EntryView:
    """One entry with its corrections."""
    corrections = tuple(_said(entry, now, telling) for entry in line.corrections)
    return EntryView(_said(line.entry, now, telling), not corrections, corrections)


def _said(entry: Entry, now: datetime, telling: EntryWording) -> EntryWords:
    return EntryWords(entry, moment(entry.at, now), entry_text(entry.payload, telling), photos_in(entry.payload))
