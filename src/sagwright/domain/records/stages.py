"""Where a job can stand."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Final


class Stage(StrEnum):
    """What is being done on a job, or how it ended."""

    CHECK_IN = "check in"
    PLAN = "plan"
    PREPARE = "prepare"
    BENCH = "bench"
    FINAL_CHECK = "final check"
    HAND_OVER = "hand over"
    HANDED_OVER = "handed over"
    REFUSED = "refused"
    SCRAPPED = "scrapped"


OPEN: Final = (Stage.CHECK_IN, Stage.PLAN, Stage.PREPARE, Stage.BENCH, Stage.FINAL_CHECK, Stage.HAND_OVER)
CLOSED: Final = (Stage.HANDED_OVER, Stage.REFUSED, Stage.SCRAPPED)


class HoldReason(StrEnum):
    """What a job can wait for."""

    CUSTOMER = "customer"
    PARTS = "parts"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class OnHold:
    """What a job waits for, since when, what it would cost, in words, and the tasks that a yes adds."""

    reason: HoldReason
    what: str
    since: datetime
    amount: str = ""
    tasks: tuple[str, ...] = ()
