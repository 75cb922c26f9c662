"""What can go wrong below the records: the disk, the folder, the connection, the server."""

from __future__ import annotations

import multiprocessing
import os
import sqlite3
import tempfile
from multiprocessing.connection import Connection
from pathlib import Path

import pytest
from sqlalchemy import event, text

from sagwright.domain.records.payloads import Noted
from sagwright.errors import StoreFailed
from sagwright.service.jobs.actions import check_in, record
from sagwright.service.jobs.queries import open_job
from sagwright.service.workshop.records import open_workshop, save_draft
from sagwright.store.workshop import Store
from tests.support.postgresql import Server
from tests.support.workshops import ARRIVAL, Person

NOBODY = 65534


def fill(store: Store) -> None:
    """The database may not grow by more than two pages from now on, as if the disk were full."""

    def limit(connection: sqlite3.Connection, _: object) -> None:
        pages = connection.execute("PRAGMA page_count").fetchone()[0]
        connection.execute(f"PRAGMA max_page_count={pages + 2}")

    event.listen(store.engine, "connect", limit)
    store.engine.dispose()


def test_a_full_disk_is_said_and_nothing_is_half_written(tmp_path: Path, kim: Person) -> None:
    with open_workshop(tmp_path / "w.sqlite") as store:
        job = check_in(store, ARRIVAL, kim()).card.id
        record(store, job, kim("before"), what=Noted("before"))
        fill(store)
        with pytest.raises(StoreFailed, match=r"no room left on the disk\. Nothing was recorded") as failed:
            record(store, job, kim("long"), what=Noted("a long story " * 1_500))
        assert failed.value.remedy == "Make room, then try again."
    with open_workshop(tmp_path / "w.sqlite") as store:
        assert [entry.id for entry in open_job(store, job).view.entries[1:]] == ["before"]
        with store.reading() as transaction:
            assert transaction.exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"
        again = record(store, job, kim("long"), what=Noted("a long story " * 1_500))
        assert [entry.id for entry in again.entries[1:]] == ["before", "long"]


def _say_what_happens(path: Path, job: str, answer: Connection) -> None:
    """Record as somebody who may only read the folder."""
    if os.getuid() == 0:
        os.setgroups([])
        os.setgid(NOBODY)
        os.setuid(NOBODY)
    try:
        with open_workshop(path) as store:
            record(store, job, Person()("other"), what=Noted("other"))
    except StoreFailed as error:
        answer.send(str(error))
    else:
        answer.send("recorded")


@pytest.mark.skipif(not hasattr(os, "setuid"), reason="read-only folders work otherwise on this platform")
@pytest.mark.filterwarnings("ignore:.*fork:DeprecationWarning")
def test_a_read_only_folder_is_said_and_nothing_is_written(tmp_path: Path, kim: Person) -> None:
    folder = tmp_path / "kept"
    with open_workshop(folder / "w.sqlite") as store:
        job = check_in(store, ARRIVAL, kim()).card.id
    before = (folder / "w.sqlite").read_bytes()
    (folder / "w.sqlite").chmod(0o444)
    folder.chmod(0o555)
    for parent in (one for one in folder.parents if one.is_relative_to(os.path.realpath(tempfile.gettempdir()))):
        parent.chmod(parent.stat().st_mode | 0o055)
    here, there = multiprocessing.Pipe(duplex=False)
    process = multiprocessing.get_context("fork").Process(
        target=_say_what_happens, args=(folder / "w.sqlite", job, there)
    )
    process.start()
    process.join(60)
    folder.chmod(0o755)
    assert here.poll()
    said = here.recv()
    assert any(words in said for words in ("read-only here", "cannot be opened")), said
    assert (folder / "w.sqlite").read_bytes() == before


def cut_off(store: Store) -> None:
    """Lose the connection between a change and its commit."""
    with store.writing() as cut:
        cut.execute(text("INSERT INTO customers (id, name, contact, search) VALUES ('x', 'x', '', 'x')"))
        process = cut.execute(text("SELECT pg_backend_pid()")).scalar()
        with store.writing() as other:
            other.execute(text("SELECT pg_terminate_backend(:process)"), {"process": process})
        cut.execute(text("SELECT 1"))


def test_a_lost_connection_takes_its_transaction_with_it(postgresql: Server, kim: Person) -> None:
    with open_workshop(postgresql.new_database()) as store:
        job = check_in(store, ARRIVAL, kim()).card.id
        with pytest.raises(StoreFailed, match=r"connection was lost\. Nothing was recorded"):
            cut_off(store)
        with store.reading() as transaction:
            assert transaction.execute(text("SELECT count(*) FROM customers WHERE id = 'x'")).scalar() == 0
        assert record(store, job, kim("after"), what=Noted("after")).entries[-1].id == "after"


@pytest.mark.slow
def test_a_server_that_crashes_keeps_what_was_acknowledged(own_postgresql: Server, kim: Person) -> None:
    where = own_postgresql.new_database()
    with open_workshop(where) as store:
        job = check_in(store, ARRIVAL, kim()).card.id
        for number in range(50):
            record(store, job, kim(f"n{number}"), what=Noted(str(number)))
        own_postgresql.crash()
        with pytest.raises(StoreFailed, match="connection was lost"):
            record(store, job, kim("n50"), what=Noted("50"))
        own_postgresql.restart()
        record(store, job, kim("n50"), what=Noted("50"))
        assert [entry.id for entry in open_job(store, job).view.entries[1:]] == [f"n{number}" for number in range(51)]


def test_a_form_is_not_lost_to_another_programs_lock(tmp_path: Path, kim: Person) -> None:
    with open_workshop(tmp_path / "w.sqlite") as store, sqlite3.connect(tmp_path / "w.sqlite") as other:

        def hurry(connection: sqlite3.Connection, _: object) -> None:
            connection.execute("PRAGMA busy_timeout=50")

        event.listen(store.engine, "connect", hurry)
        store.engine.dispose()
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(StoreFailed, match=r"another program has been writing.*Nothing was recorded"):
            save_draft(store, "check-in", {"name": "Jo"}, kim("draft"))
        other.rollback()
        save_draft(store, "check-in", {"name": "Jo"}, kim("draft"))
