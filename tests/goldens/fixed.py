"""A folder of its own in which nothing varies: the clock, the ids, the zone, the width of the terminal and the paths.

What still varies is masked by `masked`, and by nothing else.
"""

from __future__ import annotations

import os
import re
import secrets
import shutil
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta, tzinfo
from pathlib import Path
from typing import Any, Final
from unittest.mock import patch

from sagwright.cli.commands.record_options import now

ROOT: Final = Path(__file__).parents[2]
START: Final = datetime(2026, 3, 9, 8, 0, tzinfo=UTC)
"""A week after the demo workshop's first day."""
ENVIRONMENT: Final = {
    "COLUMNS": "100",
    "LINES": "40",
    "TERM": "xterm-256color",
    "TZ": "UTC",
    "SAGWRIGHT_BY": "Kim",
}
UNSET: Final = ("NO_COLOR", "FORCE_COLOR", "COLORTERM", "SAGWRIGHT_WORKSHOP", "SAGWRIGHT_TRACEBACK")

MASKS: Final[tuple[tuple[re.Pattern[str], str], ...]] = (
    (re.compile(r"/assets/[0-9a-f]{12}"), "/assets/DIGEST"),  # changes with every style and script
    (re.compile(r"(data:font/otf;base64,)[A-Za-z0-9+/=]+"), r"\1LETTERS"),  # as the library of fonts writes them
    (re.compile(r"\b([Ss]agwright) \d+\.\d+\.\d+\w*"), r"\1 VERSION"),
    (re.compile(r"[\d.]+ [GMT]B free"), "SPACE free"),  # on the disk, by `doctor`
    (re.compile(r'("work\W+)[0-9a-f]{32}'), r"\1DOCUMENT"),  # the digest of a document that holds long numbers
    (re.compile(r'^(sha256  |  "sha256": ")[0-9a-f]{64}', re.MULTILINE), r"\1DIGEST"),  # of a backup's pages
)


LONG_NUMBER: Final = re.compile(r"(?<![\w.:])-?\d+(?:\.\d{6,}(?:e[+-]?\d+)?|(?:\.\d+)?e[+-]?\d+)(?![\w.])")
DIGITS: Final = 9


def masked(text: str) -> str:
    """The text without what differs from run to run or from release to release; the only place where that is done.

    Masked are: the folder it ran in, the digest in the address of styles and scripts, the letters that a drawing
    carries, the program's version, the free space on the disk, the digest of a backup's bytes, which depend on the
    version of SQLite, and that of a decided work. Numbers with many decimals are shortened as in `shortened`.
    """
    text = text.replace(str(Path.cwd()), "FOLDER")
    for pattern, instead in MASKS:
        text = pattern.sub(instead, text)
    return shortened(text)


def shortened(text: str) -> str:
    """The text with long numbers to nine digits: the last digits of a sum depend on the processor it ran on."""
    return LONG_NUMBER.sub(lambda found: f"{float(found[0]):.{DIGITS}g}", text)


class Clock:
    """Moves on a minute each time it is read."""

    def __init__(self) -> None:
        self.read = 0

    def now(self, zone: tzinfo | None = None) -> datetime:
        """The next moment."""
        self.read += 1
        return (START + timedelta(minutes=self.read)).astimezone(zone)


def numbered_ids(word: str) -> Callable[..., str]:
    """What gives "id-0001", "id-0002" and so on in the place of chance, for the word "id"."""
    made = 0

    def next_id(_length: int = 0) -> str:
        nonlocal made
        made += 1
        return f"{word}-{made:04}"

    return next_id


@contextmanager
def fixed_folder() -> Iterator[Path]:
    """A new folder with the examples in it, to work in: clock and ids begin anew there."""
    before, environment = Path.cwd(), dict(os.environ)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name).resolve()
        shutil.copytree(ROOT / "examples", folder / "examples")
        globals_of_now: dict[str, Any] = now.__globals__
        os.environ.update(ENVIRONMENT | {"XDG_DATA_HOME": str(folder / "data"), "HOME": str(folder)})
        for variable in UNSET:
            os.environ.pop(variable, None)
        time.tzset()
        os.chdir(folder)
        try:
            with (
                patch.dict(globals_of_now, {"datetime": Clock()}),
                patch.object(secrets, "token_hex", numbered_ids("id")),
            ):
                yield folder
        finally:
            os.chdir(before)
            os.environ.clear()
            os.environ.update(environment)
            time.tzset()
