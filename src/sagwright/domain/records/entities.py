"""What a workshop knows besides its jobs. Only a customer has a name; everything else knows the customer's id."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Customer:
    """Whom a unit belongs to, with one way to reach them; name and contact are empty once erased."""

    id: str
    name: str
    contact: str = ""
    erased: bool = False


@dataclass(frozen=True, slots=True)
class Bicycle:
    """A bike, and its geometry as text of the format bike/1; empty where nobody has it."""

    id: str
    customer: str
    name: str
    document: str = ""


@dataclass(frozen=True, slots=True)
class KnownUnit:
    """A fork or shock that was here before.

    Attributes
    ----------
    id : str
    serial : str
        As found on it; empty where there is none. Two units can carry the same.
    sheet : str
        Key of the sheet of its family, "specimen/t35".
    chassis : str
    customer : str
        Whose it was last.
    bicycle : str or None
        The bike it was last in.
    """

    id: str
    serial: str
    sheet: str
    chassis: str
    customer: str
    bicycle: str | None = None


@dataclass(frozen=True, slots=True)
class Visit:
    """One talk with a customer, about one unit or several; dates as year-month-day."""

    id: str
    customer: str
    arrived: datetime
    due: str | None = None


@dataclass(frozen=True, slots=True)
class SheetRevision:
    """A sheet as it was written, with everything it extends, so that it reads the same for ever.

    Attributes
    ----------
    id : str
        Digest of all texts; what entries and documents name.
    key : str
        "specimen/t35".
    revision : int
        As the sheet states it.
    text : str
    inputs : tuple of (str, str)
        The sheets it extends, by name, as they were.
    added : datetime
    by : str
    """

    id: str
    key: str
    revision: int
    text: str
    inputs: tuple[tuple[str, str], ...]
    added: datetime
    by: str


@dataclass(frozen=True, slots=True)
class SheetDifference:
    """One value of a sheet that two revisions write differently; None where one of them does not write it."""

    path: str
    before: str | None
    after: str | None


@dataclass(frozen=True, slots=True)
class Instrument:
    """A tool that made a reading: pump, wrench, gauge. `accuracy` is its class as written on it; the date of its last
    check is year-month-day, None where it never was."""

    id: str
    kind: str
    name: str
    accuracy: str = ""
    last_check: str | None = None
    retired: bool = False


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture that is kept: always a JPEG without anything about place or camera; sizes in pixels and bytes."""

    id: str
    width: int
    height: int
    size: int
    at: datetime
    by: str


@dataclass(frozen=True, slots=True)
class StoredDocument:
    """A text that was decided on, with the shape it has; its id is a digest of the text."""

    id: str
    shape: str
    text: str


@dataclass(frozen=True, slots=True)
class Draft:
    """A form half filled in, as it was typed; `id` is what its submission will have, `job` is None at check in."""

    id: str
    form: str
    text: str
    updated: datetime
    by: str
    job: str | None = None
