"""Many processes at once, and processes that die: what was acknowledged is there, once, in its order."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from collections import Counter
from pathlib import Path

import pytest

from sagwright.domain.records.entry import Entry
from sagwright.domain.records.payloads import Noted
from sagwright.service.jobs.actions import check_in
from sagwright.service.jobs.queries import board, open_job
from sagwright.service.workshop.records import open_workshop
from sagwright.store.workshop import Store
from tests.support.postgresql import Server
from tests.support.workshops import ARRIVAL, Person

pytestmark = [pytest.mark.slow, pytest.mark.serial]

WRITER = Path(__file__).parents[1] / "support" / "note_writer.py"
ROOT = Path(__file__).parent.parent.parent


def begin(where: str, jobs: list[str], name: str, *, first: int = 0, count: int) -> subprocess.Popen[str]:
    """A process that writes."""
    command = [sys.executable, str(WRITER), where, ",".join(jobs), name, str(first), str(count)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=ROOT)


def lines(process: subprocess.Popen[str]) -> list[str]:
    """What a process has acknowledged, once it has ended; a line cut short was not."""
    out, _ = process.communicate()
    return [line.rstrip("\n") for line in out.splitlines(keepends=True) if line.endswith("\n")]


def recorded(store: Store) -> dict[str, list[Entry]]:
    """Every entry after the checking in, by job."""
    return {card.id: list(open_job(store, card.id).view.entries[1:]) for card in board(store)}


def require_whole(store: Store, acknowledged: list[str]) -> None:
    """What was acknowledged is there, nothing twice, no gap in the ordinals of a job, each writer in its order."""
    jobs = recorded(store)
    ids = Counter(entry.id for entries in jobs.values() for entry in entries)
    assert set(acknowledged) <= ids.keys()
    assert set(ids.values()) <= {1}
    for entries in jobs.values():
        assert [entry.ordinal for entry in entries] == list(range(2, len(entries) + 2))
        for by in {entry.by for entry in entries}:
            numbers = [int(entry.id.rpartition("-")[2]) for entry in entries if entry.by == by]
            assert numbers == sorted(numbers)
        assert all(entry.payload == Noted(entry.id.rpartition("-")[2]) for entry in entries)
    assert all(card.entries == len(jobs[card.id]) + 1 for card in board(store))


def require_sound(store: Store) -> None:
    """The database finds no fault with itself."""
    if store.engine.dialect.name == "sqlite":
        with store.reading() as transaction:
            assert transaction.exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"
            assert not transaction.exec_driver_sql("PRAGMA foreign_key_check").all()


def eight_at_once(where: str, *, entries: int) -> None:
    """Eight processes share the entries, over a hundred jobs."""
    says = Person()
    with open_workshop(where) as store:
        jobs = [check_in(store, ARRIVAL, says()).card.id for _ in range(100)]
    shares = [entries // 8 + (number < entries % 8) for number in range(8)]
    processes = [begin(where, jobs, f"writer{number}", count=share) for number, share in enumerate(shares)]
    acknowledged = [line for process in processes for line in lines(process)]
    assert [process.returncode for process in processes] == [0] * 8
    assert len(acknowledged) == entries
    with open_workshop(where) as store:
        require_whole(store, acknowledged)
        assert sum(len(entries_) for entries_ in recorded(store).values()) == entries


def test_eight_processes_record_five_hundred_entries_in_postgresql(postgresql: Server) -> None:
    eight_at_once(postgresql.new_database(), entries=500)


def test_eight_processes_record_five_hundred_entries_in_sqlite(tmp_path: Path) -> None:
    eight_at_once(str(tmp_path / "w.sqlite"), entries=500)


@pytest.mark.long
def test_eight_processes_record_five_thousand_entries_in_sqlite(tmp_path: Path) -> None:
    eight_at_once(str(tmp_path / "w.sqlite"), entries=5_000)


@pytest.mark.long
def test_eight_processes_record_five_thousand_entries_in_postgresql(postgresql: Server) -> None:
    eight_at_once(postgresql.new_database(), entries=5_000)


def kill_at_random(where: str, *, times: int, seed: int) -> None:
    """Four writers at a time, each killed at a moment of its own."""
    chance = random.Random(seed)
    says = Person()
    with open_workshop(where) as store:
        jobs = [check_in(store, ARRIVAL, says()).card.id for _ in range(5)]
    acknowledged: list[str] = []
    for round_ in range(times // 4):
        names = [f"writer{round_}x{number}" for number in range(4)]
        processes = [begin(where, jobs, name, count=100_000) for name in names]
        first = [process.stdout.readline() for process in processes if process.stdout]
        assert all(first), "a writer ended by itself"
        acknowledged += [line.rstrip("\n") for line in first]
        for process in processes:
            time.sleep(chance.uniform(0.0, 0.08))
            process.kill()
        acknowledged += [line for process in processes for line in lines(process)]
        with open_workshop(where) as store:
            wait_for_the_killed(store)
            require_sound(store)
            require_whole(store, acknowledged)
    assert len(acknowledged) > times


def wait_for_the_killed(store: Store) -> None:
    """Until the server has noticed that its clients are gone: what they had sent is still being written."""
    if store.engine.dialect.name != "postgresql":
        return
    others = "SELECT count(*) FROM pg_stat_activity WHERE datname = current_database() AND pid <> pg_backend_pid()"
    end = time.monotonic() + 30.0
    while time.monotonic() < end:
        with store.reading() as transaction:
            if transaction.exec_driver_sql(others).scalar() == 0:
                return
        time.sleep(0.01)
    pytest.fail("the server still works for writers that are gone")


def test_a_writer_killed_at_a_random_moment(where: str) -> None:
    kill_at_random(where, times=20, seed=1)


@pytest.mark.long
def test_a_writer_killed_two_hundred_times(where: str, request: pytest.FixtureRequest) -> None:
    kill_at_random(where, times=200, seed=request.config.getoption("--hypothesis-seed") or 1)
