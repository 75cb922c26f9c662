"""One line of a job's log, and what it points at."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sagwright.domain.records.payloads import Condition, Payload, Reading


@dataclass(frozen=True, slots=True)
class Submission:
    """What a person or a program hands in, besides what it says.

    Attributes
    ----------
    id : str
        Made once, where it was typed; handing in the same id again records nothing new.
    by : str
    at : datetime
        With its time zone.
    expected : int or None
        How many entries the job had where it was decided; None where nothing could be overlooked.
    note : str
        Why, in free words.
    """

    id: str
    by: str
    at: datetime
    expected: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Entry:
    """An entry, never changed.

    Attributes
    ----------
    id : str
        Of its submission.
    job : str
        The id of the job's first entry.
    ordinal : int
        Counted from 1 in each job, without gaps.
    at, by, note : datetime, str, str
    payload : Payload
    corrects : str or None
        The entry that this one stands in for.
    """

    id: str
    job: str
    ordinal: int
    at: datetime
    by: str
    payload: Payload
    note: str = ""
    corrects: str | None = None

    def is_resubmission_of(self, other: Entry) -> bool:
        """Whether it is the same submission handed in again, whenever that was."""
        mine = (self.id, self.job, self.by, self.payload, self.note, self.corrects)
        return mine == (other.id, other.job, other.by, other.payload, other.note, other.corrects)


def photos_in(payload: Payload) -> tuple[str, ...]:
    """Ids of all photos that an entry names, each once."""
    conditions: tuple[Condition, ...] = getattr(payload, "condition", ())
    readings: tuple[Reading, ...] = getattr(payload, "readings", ())
    named = [
        *getattr(payload, "photos", ()),
        *(photo for one in conditions for photo in one.photos),
        *(one.photo for one in readings if one.photo is not None),
    ]
    return tuple(dict.fromkeys(named))
