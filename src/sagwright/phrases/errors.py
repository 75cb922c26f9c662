"""Sentences for errors: what went wrong and what to do next."""

from __future__ import annotations

from sagwright.errors import Defect, SagwrightError
from sagwright.units import UnitChoice, worded

REPORT = (
    "Please report it together with the files that led to it; with SAGWRIGHT_TRACEBACK=1 the same command "
    "shows where it happened."
)


def error_sentence(error: SagwrightError, choice: UnitChoice | None = None) -> str:
    """What went wrong and what to do next, one line per fault, in the units asked for."""
    if isinstance(error, Defect):
        return f"A defect in Sagwright, not in what you wrote: {_closed(str(error))} {REPORT}"
    return str(worded(error, choice))


def _closed(text: str) -> str:
    return text if text.endswith((".", "!", "?")) else f"{text}."
