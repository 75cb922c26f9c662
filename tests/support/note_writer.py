"""Records entries almost as fast as it can and tells each one that is recorded; run as a process of its own.

It pauses for a moment after each, as whoever writes them by hand would: SQLite does not hand out its lock in turn, and
writers that never pause can keep another one out for longer than it waits.

`python note_writer.py WHERE JOBS NAME FIRST COUNT`: entries NAME-FIRST and so on, each to one of the jobs, which are
ids with commas between them; every seventh is handed in twice.
"""

from __future__ import annotations

import sys
import time
from datetime import UTC, datetime
from typing import Final

from sagwright.domain.records.entry import Submission
from sagwright.domain.records.payloads import Noted
from sagwright.service.jobs.actions import record
from sagwright.service.workshop.records import open_workshop

PAUSE: Final = 0.002  # s


def write(where: str, jobs: list[str], name: str, numbers: range) -> None:
    """Record one entry for each number."""
    at = datetime(2026, 3, 2, tzinfo=UTC)
    with open_workshop(where) as store:
        for number in numbers:
            said = Submission(f"{name}-{number}", name, at)
            job = jobs[number % len(jobs)]
            for _ in range(2 if number % 7 == 0 else 1):
                record(store, job, said, what=Noted(f"{number}"))
            sys.stdout.write(f"{said.id}\n")
            sys.stdout.flush()
            time.sleep(PAUSE)


if __name__ == "__main__":
    write(
        sys.argv[1], sys.argv[2].split(","), sys.argv[3], range(int(sys.argv[4]), int(sys.argv[4]) + int(sys.argv[5]))
    )
