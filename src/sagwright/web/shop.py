"""What pages stand on besides what was asked: the workshop's records, the clock, and new ids."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from uuid import uuid4

from sagwright.service.workshop.records import Workshop


def _now() -> datetime:
    return datetime.now(UTC)


def _new_id() -> str:
    return uuid4().hex


@dataclass(frozen=True, slots=True)
class Shop:
    """The workshop's records, the clock, and where ids come from; all three are arguments of what is done."""

    records: Workshop
    now: Callable[[], datetime] = _now
    new_id: Callable[[], str] = _new_id
