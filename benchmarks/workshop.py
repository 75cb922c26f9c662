"""A large workshop, written fast but row by row as the program itself writes them; the same for the same numbers."""

from __future__ import annotations

import atexit
import json
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Final

from sagwright.domain.records.entry import Entry
from sagwright.domain.records.fold import job_state
from sagwright.domain.records.payloads import (
    CheckedIn,
    Decided,
    Facts,
    FinalChecked,
    HandedOver,
    Noted,
    Payload,
    Prepared,
    Reading,
    Started,
    StepDone,
    WorkRefused,
)
from sagwright.domain.records.text import folded
from sagwright.domain.value import Quantity
from sagwright.formats.records.entries import payload_to_text
from sagwright.service.jobs.actions import check_in, decide, record
from sagwright.service.jobs.decision import propose
from sagwright.service.workshop.records import Workshop, open_workshop
from sagwright.store.jobs import projection
from tests.support.web.example_workshop import fill
from tests.support.workshops import ARRIVAL, FACTS, Person

JOBS: Final = 10_000
ENTRIES: Final = 400_000
OPEN: Final = 200
FIRST: Final = 2000
"""What the number of a job is above its place; the jobs made one by one come before."""
BEGINS: Final = datetime(2024, 1, 8, 8, tzinfo=UTC)
_FIRST: Final = ("Ada", "Bela", "Chima", "Dov", "Elin", "Faru", "Gesa", "Hiro", "Ilse", "Jorn")
_LAST: Final = ("Abrow", "Brenn", "Cotter", "Dahl", "Ennis", "Fosk", "Garro", "Hulm", "Ivers", "Jessel", "Korr")


@dataclass(frozen=True)
class Pattern:
    """A kind of job: what its entries say, as texts in which "{n}" stands for its number, and its row."""

    texts: tuple[tuple[str, str], ...]
    row: dict[str, object]


@cache
def large() -> Path:
    """A file with 10,000 jobs, 200 of them open, and 400,000 entries; made once in a process, gone with it."""
    folder = Path(tempfile.mkdtemp(prefix="sagwright-benchmark-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    path = folder / "large.sqlite"
    make(path, jobs=JOBS, entries=ENTRIES, still_open=OPEN)
    return path


@cache
def with_every_face() -> Path:
    """The same, with a job for each face of a page before them, as the tests of the pages have them."""
    path = large().with_name("faces.sqlite")
    with open_workshop(path) as store:
        fill(store)
    make(path, jobs=JOBS, entries=ENTRIES, still_open=OPEN)
    return path


def make(path: Path, *, jobs: int, entries: int, still_open: int) -> None:
    """Add so many jobs and entries to a workshop, the same number for each job, the open ones last."""
    each = entries // jobs
    with open_workshop(path) as store:
        first = _decided(store)
    done, begun = pattern(first, each, closed=True), pattern(first, each, closed=False)
    with sqlite3.connect(path, isolation_level=None) as connection:
        connection.execute("PRAGMA foreign_keys=ON")
        connection.execute("BEGIN")
        for number in range(1, jobs + 1):
            _put(connection, done if number <= jobs - still_open else begun, number)
        connection.execute("COMMIT")
    connection.close()


def _decided(store: Workshop) -> Decided:
    """What a decision names, kept for all jobs; the job it comes from is turned away."""
    says = Person("Ada")
    job = check_in(store, replace(ARRIVAL, facts=FACTS[:2], tasks=("set-pressure=80psi", "lower-legs")), says()).card.id
    view = decide(store, propose(store, job), says())
    record(store, job, says(), what=WorkRefused("made for its decision"))
    if view.state.decision is None:
        raise ValueError("it was decided")
    return view.state.decision


def pattern(decided: Decided, size: int, *, closed: bool) -> Pattern:
    """A job of so many entries."""
    payloads = [*_payloads(decided, size - 2 if closed else size)]
    if closed:
        payloads += [FinalChecked(_readings(9), passed=True), HandedOver(accepted=True, how="in person")]
    made = [
        Entry(f"e{{n}}-{ordinal}" if ordinal > 1 else "j{n}", "j{n}", ordinal, BEGINS, "Kim", payload)
        for ordinal, payload in enumerate(payloads, 1)
    ]
    row = projection(job_state(made))
    return Pattern(tuple((one.payload.kind, payload_to_text(one.payload)) for one in made), row)


def _payloads(decided: Decided, size: int) -> Iterator[Payload]:
    facts: Facts = (("unit.chassis", "mid"), ("unit.serial", "S{n}"))
    yield CheckedIn("o{n}", "u{n}", "v{n}", decided.sheet, facts, "b{n}", "harsh", tasks=("lower-legs",))
    yield decided
    yield Prepared(ready=True)
    yield Started()
    steps = decided.steps[: size - 4]
    yield from (StepDone(step, _readings(number), 150.0) for number, step in enumerate(steps))
    yield from (Noted(f"note {number}") for number in range(size - 4 - len(steps)))


def _readings(number: int) -> tuple[Reading, ...]:
    if number % 3:
        return ()
    said = f"{80 + number % 9} psi"
    return (
        Reading(
            "pressure_left", "pressure at the valve", said, Quantity.PRESSURE, 5.5e5 + number, 7e3, within_limits=True
        ),
    )


def _put(connection: sqlite3.Connection, which: Pattern, number: int) -> None:
    name = f"{_FIRST[number % 10]} {_LAST[number % 11]} {number}"
    at = BEGINS + timedelta(minutes=37 * number)
    add = connection.execute
    add(
        "INSERT INTO customers VALUES (?, ?, ?, ?, NULL, NULL)",
        (f"o{number}", name, f"{number}@example.org", folded(name)),
    )
    add("INSERT INTO bicycles VALUES (?, ?, 'Trail bike', '')", (f"b{number}", f"o{number}"))
    unit = (f"u{number}", f"S{number}", f"s{number}", "specimen/t35", "mid", f"o{number}", f"b{number}")
    add("INSERT INTO units VALUES (?, ?, ?, ?, ?, ?, ?)", unit)
    add("INSERT INTO visits VALUES (?, ?, ?, NULL)", (f"v{number}", f"o{number}", _kept(at)))
    words = folded(f"{FIRST + number} S{number} specimen/t35 Trail bike")
    row = which.row | {"id": f"j{number}", "number": FIRST + number, "search": words}
    row |= {"visit": f"v{number}", "unit": f"u{number}", "bicycle": f"b{number}"}
    row |= {"checked_in": _kept(at), "updated": _kept(at + timedelta(minutes=len(which.texts)))}
    add(f"INSERT INTO jobs ({', '.join(row)}) VALUES ({', '.join('?' * len(row))})", tuple(row.values()))
    connection.executemany(
        "INSERT INTO entries VALUES (?, ?, ?, ?, 'Kim', ?, ?, '', NULL)", _entries(which, number, at)
    )


def _entries(which: Pattern, number: int, at: datetime) -> Iterator[tuple[object, ...]]:
    job = f"j{number}"
    for ordinal, (kind, text) in enumerate(which.texts, 1):
        key = f"e{number}-{ordinal}" if ordinal > 1 else job
        said = text.replace("{n}", str(number)) if ordinal == 1 else text
        yield key, job, ordinal, _kept(at + timedelta(minutes=ordinal)), kind, said


def _kept(at: datetime) -> str:
    return at.isoformat(timespec="microseconds")


def as_read(text: str) -> str:
    """The kind of an entry, as somebody reads it who has only the file."""
    kind: str = json.loads(text)["kind"]
    return kind
