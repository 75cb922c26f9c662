"""A small workshop for one test: one job, checked in; and how its forms are sent."""

from __future__ import annotations

import re
import tempfile
from datetime import UTC, datetime
from functools import cache
from html import unescape
from pathlib import Path
from typing import Final

from sagwright.domain.records.entry import Submission
from sagwright.service.jobs.actions import check_in
from sagwright.service.workshop.records import Workshop, open_workshop
from tests.support.workshops import ARRIVAL

NOW: Final = datetime(2026, 3, 4, 9, 30, tzinfo=UTC)
JOB: Final = 1001
NASTY: Final = (
    "<script>alert('x')</script> & \"sons\"",
    "\u202eمحمد بن سعيد\u202c abc",
    "🚲" * 40,
    "W" * 300,
    "Robert'); DROP TABLE customers;--",
    "{{ 7 * 7 }} %s ${x}",
)
_HIDDEN: Final = re.compile(r'<input type="hidden" name="([^"]+)" value="([^"]*)">')


@cache
def _made() -> bytes:
    """The file of that workshop, made once: the schema takes longest."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "workshop.sqlite"
        with open_workshop(path) as workshop:
            check_in(workshop, ARRIVAL, Submission("first-of-all", "Kim", NOW))
        return path.read_bytes()


def front(folder: Path) -> Workshop:
    """A workshop with one job."""
    path = folder / "workshop.sqlite"
    path.write_bytes(_made())
    return open_workshop(path)


def hidden_of(page: str) -> dict[str, str]:
    """What a page's forms carry besides what is typed."""
    return {name: unescape(value) for name, value in _HIDDEN.findall(page)}
