"""Entries of a job in words, with what corrects them beside them."""

from __future__ import annotations

from dataclasses import dataclass

from sagwright.domain.records.entry import Entry
from sagwright.domain.records.job import JobState, Line
from sagwright.domain.records.payloads import (
    Answered,
    Decided,
    FoundWrong,
    HandedOver,
    Payload,
    Proved,
    Reading,
    Recorded,
    Resumed,
    TurnedAway,
    Waits,
    Withdrawn,
)
from sagwright.phrases import figures
from sagwright.units import Choice


@dataclass(frozen=True, slots=True)
class Told:
    """One entry: its place, when, by whom, what kind, and what it says."""

    ordinal: int
    at: str
    by: str
    kind: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LineTold:
    """An entry, whether it stands as written, and its corrections, the last of which holds."""

    first: Told
    stands: bool
    corrections: tuple[Told, ...]


def lines_told(state: JobState, choice: Choice) -> tuple[LineTold, ...]:
    """Every entry of a job, the newest first."""
    return tuple(line_told(line, choice) for line in reversed(state.lines))


def line_told(line: Line, choice: Choice) -> LineTold:
    """One entry with its corrections."""
    corrections = tuple(told(entry, choice) for entry in line.corrections)
    return LineTold(told(line.entry, choice), not corrections, corrections)


def told(entry: Entry, choice: Choice) -> Told:
    """An entry in words."""
    lines = (*said(entry.payload, choice), *([entry.note] if entry.note else []))
    return Told(entry.ordinal, entry.at.strftime("%Y-%m-%d %H:%M"), entry.by, entry.payload.kind, lines)


def said(payload: Payload, choice: Choice) -> tuple[str, ...]:
    """What a payload says, a line each."""
    match payload:
        case Recorded():
            return (payload.step, *(reading_text(one, choice) for one in payload.readings))
        case Proved():
            proven = "proven" if payload.proven else "not proven yet"
            return (*(reading_text(one, choice) for one in payload.readings), proven)
        case FoundWrong():
            return (payload.what, *(f"{name.replace('_', ' ')}: {value:g}" for name, value in payload.found))
        case Decided():
            return (f"{len(payload.steps)} steps are left", payload.program)
        case _:
            return tuple(filter(None, (*_asked(payload), *_ended(payload))))


def _asked(payload: Payload) -> tuple[str, ...]:
    """What was asked of somebody, and what they said."""
    match payload:
        case Waits():
            return f"for {payload.reason}: {payload.what}", payload.amount
        case Resumed():
            yes = {True: "yes", False: "no", None: ""}[payload.yes]
            return payload.who, payload.when, payload.answer, yes
        case Answered():
            return f"{payload.about}: {payload.answer}", f"{payload.who}, {payload.when}"
        case _:
            return ()


def _ended(payload: Payload) -> tuple[str, ...]:
    match payload:
        case HandedOver():
            return "accepted" if payload.accepted else "not accepted", payload.how
        case TurnedAway():
            return ("scrapped" if payload.scrapped else "refused", payload.reason)
        case Withdrawn():
            return (payload.reason,)
        case _:
            return ()


def reading_text(reading: Reading, choice: Choice) -> str:
    """A reading beside its prediction where it has one."""
    what = reading.what.removesuffix(".")
    if reading.value is None or reading.quantity is None:
        return f"{what}: {reading.said}"
    shown = figures.number(reading.value, reading.quantity, choice)
    if reading.predicted is None:
        return f"{what}: {shown}"
    predicted = figures.number(reading.predicted, reading.quantity, choice)
    verdict = "as planned" if reading.passes else "outside"
    return f"{what}: {shown}, predicted {predicted}: {verdict}"
