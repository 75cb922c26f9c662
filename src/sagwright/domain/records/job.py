"""A job folded from its entries, and a job as a row of a list."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sagwright.domain.records.entry import Entry
from sagwright.domain.records.payloads import (
    Answered,
    Condition,
    Decided,
    FinalChecked,
    HandedOver,
    Payload,
    ProblemFound,
    Reading,
    WorkRefused,
)
from sagwright.domain.records.stages import CLOSED, OnHold, Stage


@dataclass(frozen=True, slots=True)
class EntryLine:
    """An entry with what it says by now: `payload` is that of the last correction, None if it was withdrawn."""

    entry: Entry
    payload: Payload | None
    corrections: tuple[Entry, ...] = ()


@dataclass(frozen=True, slots=True)
class JobState:
    """Everything a job's entries come to. Ids stand for people and things.

    Attributes
    ----------
    facts : tuple of (str, str)
        What is known for the intake, sorted by path.
    decision : Decided or None
        The last one.
    decided_at : int
        Ordinal of its entry, 0 for none.
    steps_left : tuple of str
        Keys of its steps that are not done yet.
    done : tuple of str
        Keys of all steps that were done, in their order, over all decisions.
    readings : tuple of Reading
        Of all steps, in their order.
    ended : HandedOver, WorkRefused or None
    lines : tuple of EntryLine
        Every entry that corrects nothing, each with its corrections.
    entries : int
        How many there are, corrections included.
    """

    id: str
    customer: str
    unit: str
    visit: str
    sheet: str
    stage: Stage
    checked_in: datetime
    updated: datetime
    entries: int
    facts: tuple[tuple[str, str], ...] = ()
    bicycle: str | None = None
    symptoms: str = ""
    condition: tuple[Condition, ...] = ()
    tasks: tuple[str, ...] = ()
    photos: tuple[str, ...] = ()
    due: str | None = None
    comeback_of: str | None = None
    on_hold: OnHold | None = None
    holder: str = ""
    answers: tuple[Answered, ...] = ()
    decision: Decided | None = None
    decided_at: int = 0
    steps_left: tuple[str, ...] = ()
    done: tuple[str, ...] = ()
    ticked: tuple[str, ...] = ()
    ready: bool = False
    started: bool = False
    findings: tuple[ProblemFound, ...] = ()
    readings: tuple[Reading, ...] = ()
    final_checks: tuple[FinalChecked, ...] = ()
    ended: HandedOver | WorkRefused | None = None
    lines: tuple[EntryLine, ...] = ()

    @property
    def closed(self) -> bool:
        """Whether the unit has left the workshop's hands."""
        return self.stage in CLOSED

    def fact(self, path: str) -> str | None:
        """What is known at one path, as typed; None if nothing is."""
        return dict(self.facts).get(path)


@dataclass(frozen=True, slots=True)
class Difference:
    """What this program computes otherwise than it was decided, from the same sheet, intake and bike.

    Attributes
    ----------
    decided_by, computed_by : str
        Name and version of what computed the one and the other.
    parts : tuple of str
        Which parts differ: "target", "steps"; empty where nothing can be computed from them any more.
    """

    decided_by: str
    computed_by: str
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class JobCard:
    """A job as one line of a list: what the store keeps beside the entries, and can always make again from them.

    `on_hold` is the reason and what for, in words; `customer_name` is empty once erased.
    """

    id: str
    number: int
    visit: str
    customer: str
    customer_name: str
    unit: str
    serial: str
    sheet: str
    chassis: str
    bicycle: str
    stage: Stage
    on_hold: str
    on_hold_what: str
    holder: str
    due: str | None
    checked_in: datetime
    updated: datetime
    entries: int
    comeback_of: str | None


@dataclass(frozen=True, slots=True)
class JobView:
    """A job as one opens it."""

    card: JobCard
    state: JobState
    entries: tuple[Entry, ...]
