"""The most memory of a process that shows, searches, backs up and exports a whole workshop, in MiB.

python -m benchmarks.memory WORKSHOP
"""

from __future__ import annotations

import re
import resource
import sys
from datetime import UTC, datetime
from pathlib import Path

from sagwright.service.jobs.queries import board, open_job_numbered, search_jobs
from sagwright.service.workshop.maintenance import exported, write_backup_of
from sagwright.service.workshop.records import open_workshop


def use_everything(workshop: str) -> None:
    """What a day at the workshop asks of the records."""
    with open_workshop(workshop) as store:
        board(store)
        search_jobs(store, "brenn")
        open_job_numbered(store, 2002)
        write_backup_of(store, f"{workshop}.memory", now=datetime(2026, 1, 1, tzinfo=UTC))
        sum(len(line) for line in exported(store))


def most_memory() -> float:
    """[MiB]; `ru_maxrss` starts with what the process that began this one had, `VmHWM` does not."""
    status = Path("/proc/self/status")
    found = re.search(r"VmHWM:\s*(\d+)", status.read_text("utf-8")) if status.exists() else None
    return (int(found[1]) if found else resource.getrusage(resource.RUSAGE_SELF).ru_maxrss) / 1024


if __name__ == "__main__":
    use_everything(sys.argv[1])
    print(most_memory())
