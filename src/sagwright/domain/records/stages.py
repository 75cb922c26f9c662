"""Where a job can stand."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Final


class Stage(StrEnum):
    """What is being done on a job, or how it ended."""

    TAKE_IN = "take in"
    CHOOSE = "choose"
    PREPARE = "prepare"
    BENCH = "bench"
    PROVE = "prove"
    HAND_OVER = "hand over"
    HANDED_OVER = "handed over"
    REFUSED = "refused"
    SCRAPPED = "scrapped"


OPEN: Final = (Stage.TAKE_IN, Stage.CHOOSE, Stage.PREPARE, Stage.BENCH, Stage.PROVE, Stage.HAND_OVER)
CLOSED: Final = (Stage.HANDED_OVER, Stage.REFUSED, Stage.SCRAPPED)


class WaitFor(StrEnum):
    """What a job can wait for."""

    OWNER = "owner"
    PARTS = "parts"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Waiting:
    """What a job waits for, since when, what it would cost, in words, and the tasks that a yes adds."""

    reason: WaitFor
    what: str
    since: datetime
    amount: str = ""
    tasks: tuple[str, ...] = ()
