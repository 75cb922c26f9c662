"""How long the records check in a workshop of 10,000 jobs and 400,000 entries, beside plain sqlite3."""

from __future__ import annotations

import itertools
import sqlite3
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path
from typing import Final

from benchmarks.timing import Timed, benchmark
from benchmarks.workshop import BEGINS, FIRST, JOBS, OPEN, as_read, large
from sagwright.domain.records.entry import Submission
from sagwright.domain.records.job import JobCard
from sagwright.domain.records.payloads import Noted
from sagwright.domain.records.text import folded
from sagwright.formats.records.entries import payload_to_text
from sagwright.service.jobs.actions import record
from sagwright.service.jobs.queries import board, open_job_numbered
from sagwright.service.jobs.queries import search_jobs as search
from sagwright.service.workshop.maintenance import write_backup_of
from sagwright.service.workshop.records import open_workshop

OPENED: Final = FIRST + JOBS - OPEN // 2
WORDS: Final = "brenn trail"

Listed = list[tuple[int, str, str, str]]

LISTS: Final = """
    SELECT jobs.number, jobs.stage, customers.name, units.serial FROM jobs
    JOIN visits ON visits.id = jobs.visit JOIN customers ON customers.id = visits.customer
    JOIN units ON units.id = jobs.unit
"""


def plain() -> sqlite3.Connection:
    """The file as somebody opens it who knows sqlite3 well."""
    connection = sqlite3.connect(large(), isolation_level=None)
    for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON"):
        connection.execute(f"PRAGMA {pragma}")
    return connection


def listed(cards: tuple[JobCard, ...]) -> Listed:
    """Cards as the baseline has them."""
    return [(card.number, card.stage.value, card.customer_name, card.serial) for card in cards]


@benchmark("open_a_job")
def open_a_job() -> Timed[tuple[str, list[str]]]:
    """Row, people, things and 40 entries, checked and folded; the baseline reads rows and JSON, and folds nothing."""
    store, connection = open_workshop(large()), plain()

    def work() -> tuple[str, list[str]]:
        opened = open_job_numbered(store, OPENED)
        return opened.customer.name, [entry.payload.kind for entry in opened.view.entries]

    def baseline() -> tuple[str, list[str]]:
        customer = connection.execute(f"{LISTS} WHERE jobs.number = ?", (OPENED,)).fetchone()[2]
        wanted = "SELECT payload FROM entries JOIN jobs ON jobs.id = entries.job WHERE number = ? ORDER BY ordinal"
        return customer, [as_read(text) for (text,) in connection.execute(wanted, (OPENED,))]

    return Timed(work=work, baseline=baseline)


@benchmark("board_of_200")
def board_of_200() -> Timed[Listed]:
    """Every open job, in the board's order."""
    store, connection = open_workshop(large()), plain()
    closed = "('handed over', 'refused', 'scrapped')"
    query = f"{LISTS} WHERE jobs.stage NOT IN {closed} ORDER BY jobs.stage, jobs.due, jobs.number"
    return Timed(work=lambda: listed(board(store)), baseline=lambda: connection.execute(query).fetchall())


@benchmark("search_jobs")
def search_jobs() -> Timed[Listed]:
    """A part of a name and of a bike among all 10,000, the newest 100."""
    store, connection = open_workshop(large()), plain()
    one = "(jobs.search LIKE ? OR customers.search LIKE ?)"
    query = f"{LISTS} WHERE {one} AND {one} ORDER BY jobs.updated DESC, jobs.number DESC LIMIT 100"
    likes = [f"%{word}%" for word in folded(WORDS).split() for _ in range(2)]
    return Timed(
        work=lambda: listed(search(store, WORDS)), baseline=lambda: connection.execute(query, likes).fetchall()
    )


@benchmark("record_an_entry")
def record_an_entry() -> Timed[bool]:
    """Checked against its job's 40 entries, and on disk; the baseline inserts a row and syncs it."""
    store, connection = open_workshop(large()), plain()
    numbers, text = itertools.count(), payload_to_text(Noted("x"))

    def work() -> bool:
        number = next(numbers)
        job = f"j{JOBS - number % OPEN}"
        return record(store, job, Submission(f"work-{number}", "Kim", BEGINS), what=Noted("x")).entries[-1].by == "Kim"

    def baseline() -> bool:
        number = next(numbers)
        values = (f"plain-{number}", f"j{1 + number % 1000}", 1000 + number)
        row = f"(?, ?, ?, '2024-01-08T08:00:00.000000+00:00', 'Kim', 'noted', '{text}', '', NULL)"
        connection.execute(f"INSERT INTO entries VALUES {row}", values)
        return True

    return Timed(work=work, baseline=baseline, above=True)


@benchmark("back_up_everything")
def back_up_everything() -> Timed[int]:
    """One moment, copied, examined, packed and read again; the baseline copies and packs, and examines nothing."""
    store, connection = open_workshop(large()), plain()
    folder = Path(tempfile.mkdtemp(dir=large().parent))
    numbers = itertools.count()

    def work() -> int:
        return write_backup_of(store, folder / f"{next(numbers)}.backup", now=BEGINS).counts["jobs"]

    def baseline() -> int:
        to = folder / f"{next(numbers)}.sqlite"
        copy = sqlite3.connect(to)
        connection.backup(copy)
        with zipfile.ZipFile(to.with_suffix(".zip"), "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
            archive.write(to, to.name)
        count: int = copy.execute("SELECT count(*) FROM jobs").fetchone()[0]
        copy.close()
        return count

    return Timed(work=work, baseline=baseline, runs=1)


@benchmark("memory_of_everything")
def memory_of_everything() -> Timed[float]:
    """The most memory of a process that shows, searches, backs up and exports all of it."""

    def work() -> float:
        done = subprocess.run(
            [sys.executable, "-m", "benchmarks.memory", str(large())], check=True, capture_output=True, text=True
        )
        Path(f"{large()}.memory").unlink()
        return float(done.stdout)

    return Timed(work=work, reads=True)
