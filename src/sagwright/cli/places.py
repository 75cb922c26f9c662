"""Where things are kept on this machine."""

from __future__ import annotations

import os
import sys
from pathlib import Path

NAME = "sagwright"


def records_place() -> Path:
    """The file of the workshop's records in the user's data folder; the folder is made if it is not there."""
    folder = _data_folder() / NAME
    folder.mkdir(parents=True, exist_ok=True)
    return folder / f"{NAME}.sqlite"


def _data_folder() -> Path:
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Application Support"
    return Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")
