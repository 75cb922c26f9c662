"""A full disk, a read-only folder, a server that goes away: a clear error, and nothing half-written."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from sqlalchemy import event, text

from sagwright.domain.records.payloads import Noted
from sagwright.errors import StoreFailed
from sagwright.service.jobs import note
from sagwright.service.looking import board, open_job
from sagwright.service.taking_in import take_in
from sagwright.service.workshop import open_workshop
from sagwright.store.store import Store
from tests.workshops import ARRIVAL, Person, Server

NOBODY = 65_534


def fill(store: Store, job: str, says: Person) -> None:
    """Note more than there is room for."""
    for number in range(100):
        note(store, job, says(), what=Noted("x" * 10_000 + str(number)))


def test_a_full_disk(tmp_path: Path, kim: Person) -> None:
    with open_workshop(tmp_path / "w.sqlite") as store:
        job = take_in(store, ARRIVAL, kim()).card.id
        with store.reading() as transaction:
            pages = transaction.exec_driver_sql("PRAGMA page_count").scalar()
        event.listen(store.engine, "connect", lambda raw, _: raw.execute(f"PRAGMA max_page_count={pages}"))
        store.engine.dispose()
        with pytest.raises(StoreFailed, match=r"w\.sqlite.*no room left.*Nothing was recorded.*Make room"):
            fill(store, job, kim)
        view = open_job(store, job).view
        assert view.card.entries == len(view.entries)
    with open_workshop(tmp_path / "w.sqlite") as store:
        assert note(store, job, kim(), what=Noted("room again")).card.entries == view.card.entries + 1


@contextmanager
def as_nobody() -> Iterator[None]:
    """Without the rights of root, whom the rights of files do not bind."""
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(NOBODY)
    try:
        yield
    finally:
        os.seteuid(0)


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that every user can reach."""
    made = Path(tempfile.mkdtemp(prefix="sw"))
    made.chmod(0o755)
    yield made
    shutil.rmtree(made)


def note_once(path: Path, job: str, says: Person) -> None:
    """Open the records, and note something."""
    with open_workshop(path) as store:
        note(store, job, says(), what=Noted("x"))


@pytest.mark.skipif(not hasattr(os, "geteuid"), reason="rights of files are another thing on this platform")
def test_a_read_only_folder(open_folder: Path, kim: Person) -> None:
    path = open_folder / "w.sqlite"
    with open_workshop(path) as store:
        job = take_in(store, ARRIVAL, kim()).card.id
    for made in open_folder.iterdir():
        made.chmod(0o444)
    open_folder.chmod(0o555)
    with as_nobody(), pytest.raises(StoreFailed, match=r"read-only here\. Nothing was recorded|cannot be opened"):
        note_once(path, job, kim)
    open_folder.chmod(0o755)
    path.chmod(0o644)
    with open_workshop(path) as store:
        assert open_job(store, job).view.card.entries == 1


def half_recorded(store: Store, server: Server) -> None:
    """A transaction whose connection is cut before it can commit."""
    with store.writing() as transaction:
        transaction.execute(text("UPDATE jobs SET holder = 'half'"))
        server.cut_connections()
        transaction.execute(text("UPDATE jobs SET holder = 'whole'"))


def test_a_connection_lost_in_the_middle(postgresql: Server, kim: Person) -> None:
    with open_workshop(postgresql.new_database()) as store:
        take_in(store, ARRIVAL, kim())
        with pytest.raises(StoreFailed, match=r"connection was lost\. Nothing was recorded"):
            half_recorded(store, postgresql)
        assert [card.holder for card in board(store)] == [""]
        job = board(store)[0].id
        assert note(store, job, kim(), what=Noted("again")).card.entries == 2


def test_a_server_that_crashed_and_came_back(postgresql: Server, kim: Person) -> None:
    with open_workshop(postgresql.new_database()) as store:
        job = take_in(store, ARRIVAL, kim()).card.id
        before = note(store, job, kim(), what=Noted("acknowledged"))
        postgresql.crash()
        with pytest.raises(StoreFailed, match="connection was lost"):
            note(store, job, kim("lost"), what=Noted("not"))
        postgresql.restart()
        assert open_job(store, job).view == before
        assert note(store, job, kim("lost"), what=Noted("now")).card.entries == 3


def test_a_writer_that_waits_too_long(tmp_path: Path, kim: Person) -> None:
    with open_workshop(tmp_path / "w.sqlite") as store, open_workshop(tmp_path / "w.sqlite") as other:
        job = take_in(store, ARRIVAL, kim()).card.id
        event.listen(other.engine, "connect", lambda raw, _: raw.execute("PRAGMA busy_timeout=50"))
        other.engine.dispose()
        with store.writing(), pytest.raises(StoreFailed, match="another program has been writing"):
            note(other, job, kim(), what=Noted("x"))
        assert open_job(other, job).view.card.entries == 1
        assert note(other, job, kim(), what=Noted("x")).card.entries == 2
