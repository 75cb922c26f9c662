"""What is slow the first time, done before somebody waits for it."""

from __future__ import annotations

from sagwright.formats.lookup import shipped_sheets
from sagwright.formats.sheet import load_sheet


def warm() -> None:
    """Read a sheet, so that the shapes of the format are built."""
    load_sheet(shipped_sheets()[0], files=False)
