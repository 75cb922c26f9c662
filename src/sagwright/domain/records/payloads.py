"""What an entry can say. Each kind is a value; their JSON is the shape entry/1.

A customer, bike, unit, photo, instrument or document stands here by its id. *Facts* are what is known for the intake,
as pairs of a path in the format intake/1 and the text as it was typed: ("as_found.charge.pressure", "78 ± 2 psi"). A
later fact replaces an earlier one; an empty text takes it back. *Tasks* are written as on the command line: "wipers".
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Literal

from sagwright.domain.records.stages import HoldReason
from sagwright.domain.value import Measured, Quantity

Facts = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Condition:
    """Something seen on a unit: what, the limit it was held against, and whether it is within it."""

    what: str
    limit: str = ""
    within: bool | None = None
    photos: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading as somebody took it.

    Attributes
    ----------
    key, what : str
        Its name in the sheet, and what was read, in words.
    as_typed : str
        As typed.
    quantity : Quantity or None
        None for a sighting.
    value, u : float or None
        SI, and its standard uncertainty.
    instrument : str or None
        Id of what it was read with.
    predicted : Measured or None
        What the plan said it would be, SI.
    within_limits : bool or None
        Whether it is within its limits; None where there are none.
    photo : str or None
    """

    key: str
    what: str
    as_typed: str
    quantity: Quantity | None = None
    value: float | None = None
    u: float | None = None
    instrument: str | None = None
    predicted: Measured | None = None
    within_limits: bool | None = None
    photo: str | None = None


@dataclass(frozen=True, slots=True)
class CheckedIn:
    """A job begins. `sheet` is the id of a sheet's revision, `complete` says that nothing more has to be read first,
    `comeback_of` names an earlier job, and `due` is a date, year-month-day."""

    customer: str
    unit: str
    visit: str
    sheet: str
    facts: Facts = ()
    bicycle: str | None = None
    symptoms: str = ""
    condition: tuple[Condition, ...] = ()
    tasks: tuple[str, ...] = ()
    photos: tuple[str, ...] = ()
    due: str | None = None
    complete: bool = True
    comeback_of: str | None = None
    kind: Literal["checked in"] = "checked in"


@dataclass(frozen=True, slots=True)
class IntakeUpdated:
    """What became known, or is wished otherwise; None leaves as it was."""

    facts: Facts = ()
    tasks: tuple[str, ...] | None = None
    symptoms: str | None = None
    condition: tuple[Condition, ...] = ()
    sheet: str | None = None
    bicycle: str | None = None
    photos: tuple[str, ...] = ()
    complete: bool = True
    kind: Literal["intake updated"] = "intake updated"


@dataclass(frozen=True, slots=True)
class Answered:
    """Someone answered what a finding asks; `when` is a date, year-month-day."""

    about: str
    who: str
    when: str
    answer: str
    kind: Literal["answered"] = "answered"


@dataclass(frozen=True, slots=True)
class Decided:
    """What is to be done, as it was decided.

    Attributes
    ----------
    work : str
        Id of the document with the plan.
    work_shape : str
        Of that document: "plan/1".
    program : str
        Name and version of what computed it.
    sheet : str
        Id of the sheet's revision.
    intake : str
        Id of the document with the intake, "" where there is none.
    bike : str or None
        Id of the document with the bike.
    steps : tuple of str
        Keys of the steps that are to be done from here on.
    facts : tuple of (str, str)
        What the choice added to the facts.
    """

    work: str
    work_shape: str
    program: str
    sheet: str
    intake: str = ""
    bike: str | None = None
    steps: tuple[str, ...] = ()
    facts: Facts = ()
    kind: Literal["decided"] = "decided"


@dataclass(frozen=True, slots=True)
class Prepared:
    """What of the tools and parts lies ready; `ready` when nothing is missing that the work needs."""

    ticked: tuple[str, ...] = ()
    ready: bool = False
    kind: Literal["prepared"] = "prepared"


@dataclass(frozen=True, slots=True)
class Started:
    """Work at the stand begins, or goes on, in the hands of whoever wrote this."""

    kind: Literal["started"] = "started"


@dataclass(frozen=True, slots=True)
class PassedOn:
    """Somebody else has the job; nobody if `to` is empty."""

    to: str
    kind: Literal["passed on"] = "passed on"


@dataclass(frozen=True, slots=True)
class StepDone:
    """A step was done, with what it asks to write down, and how long it took [s]."""

    step: str
    readings: tuple[Reading, ...] = ()
    seconds: float | None = None
    photos: tuple[str, ...] = ()
    kind: Literal["step done"] = "step done"


@dataclass(frozen=True, slots=True)
class ProblemFound:
    """Something is not as planned.

    Attributes
    ----------
    what : str
        In words.
    step : str or None
        Where it showed.
    failed : tuple of str
        Keys of criteria and records that were not met.
    found : tuple of (str, float or str)
        Settings as they really were inside, by field, SI or a name.
    photos : tuple of str
    """

    what: str
    step: str | None = None
    failed: tuple[str, ...] = ()
    found: tuple[tuple[str, float | str], ...] = ()
    photos: tuple[str, ...] = ()
    kind: Literal["problem found"] = "problem found"


@dataclass(frozen=True, slots=True)
class PutOnHold:
    """Nothing goes on until something comes; `amount` is what it would cost, in words, and `tasks` are extras that a
    yes adds to the work."""

    reason: HoldReason
    what: str
    amount: str = ""
    tasks: tuple[str, ...] = ()
    kind: Literal["put on hold"] = "put on hold"


@dataclass(frozen=True, slots=True)
class Resumed:
    """What was waited for is here: who said what and when (year-month-day); `yes` where it was a question."""

    answer: str = ""
    who: str = ""
    when: str = ""
    yes: bool | None = None
    kind: Literal["resumed"] = "resumed"


@dataclass(frozen=True, slots=True)
class FinalChecked:
    """Readings as left, and whether they prove the plan."""

    readings: tuple[Reading, ...] = ()
    passed: bool = False
    kind: Literal["final check"] = "final check"


@dataclass(frozen=True, slots=True)
class HandedOver:
    """The unit went back; whether the customer accepted, and how ("in person", "by telephone")."""

    accepted: bool
    how: str = ""
    checks: str = ""
    come_back: str | None = None
    document: str | None = None
    kind: Literal["handed over"] = "handed over"


@dataclass(frozen=True, slots=True)
class WorkRefused:
    """No work, or no more, is done on the unit: refused, or not fit to be used again."""

    reason: str
    scrapped: bool = False
    photos: tuple[str, ...] = ()
    kind: Literal["refused"] = "refused"


@dataclass(frozen=True, slots=True)
class DueDateSet:
    """A new date for the customer, year-month-day; None takes it back."""

    due: str | None
    kind: Literal["due date"] = "due date"


@dataclass(frozen=True, slots=True)
class Noted:
    """Words and pictures that change nothing."""

    text: str = ""
    photos: tuple[str, ...] = ()
    kind: Literal["noted"] = "noted"


@dataclass(frozen=True, slots=True)
class Withdrawn:
    """The entry it corrects was a mistake and holds no longer."""

    reason: str
    kind: Literal["withdrawn"] = "withdrawn"


Payload = (
    CheckedIn
    | IntakeUpdated
    | Answered
    | Decided
    | Prepared
    | Started
    | PassedOn
    | StepDone
    | ProblemFound
    | PutOnHold
    | Resumed
    | FinalChecked
    | HandedOver
    | WorkRefused
    | DueDateSet
    | Noted
    | Withdrawn
)


def kind_name(kind: type[Payload]) -> str:
    """What a kind of entry is called in the log: "handed over"."""
    return next(str(one.default) for one in fields(kind) if one.name == "kind")
