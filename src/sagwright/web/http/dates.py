"""Days and moments as a workshop says them, in the time of the machine that serves the pages."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

WEEK: Final = 7


@dataclass(frozen=True, slots=True)
class Due:
    """A due day in words, and whether it has passed."""

    text: str
    overdue: bool = False


def due_text(due: str | None, today: date) -> Due:
    """How a due day, year-month-day, lies to today; empty where nothing is due."""
    if not due:
        return Due("")
    try:
        day = date.fromisoformat(due)
    except ValueError:
        return Due(due)
    left = (day - today).days
    if left < 0:
        return Due(f"{_day(day, today)}, {_days(-left)} overdue", overdue=True)
    if left < 2:
        return Due("tomorrow" if left else "today")
    return Due(f"{_day(day, today)}, in {_days(left)}" if left < WEEK else _day(day, today))


def _days(number: int) -> str:
    return "1 day" if number == 1 else f"{number} days"


def _day(day: date, today: date) -> str:
    year = f" {day.year}" if day.year != today.year else ""
    return f"{day:%a} {day.day} {day:%b}{year}"


def moment(at: datetime, now: datetime) -> str:
    """A moment in the past: its time alone where it was today."""
    here, today = at.astimezone(), now.astimezone().date()
    if here.date() == today:
        return f"{here:%H:%M}"
    return f"{_day(here.date(), today)}, {here:%H:%M}"
