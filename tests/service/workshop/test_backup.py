"""A backup under load restores equal; what is not a whole backup changes nothing."""

from __future__ import annotations

import json
import threading
import zipfile
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from sagwright.domain.records.payloads import Noted
from sagwright.errors import OutOfRange, StoreFailed, UnreadableFile
from sagwright.service.jobs import actions
from sagwright.service.jobs.actions import check_in
from sagwright.service.jobs.queries import board, open_job
from sagwright.service.workshop.maintenance import Grade, examine_records, exported, restore_workshop, write_backup_of
from sagwright.service.workshop.records import open_workshop
from sagwright.store.workshop import Store
from tests.support.full_workshop import fill
from tests.support.postgresql import Server
from tests.support.workshops import ARRIVAL, Person

NOW = datetime(2026, 3, 5, 18, 30, tzinfo=UTC)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A full workshop, and its backup."""
    folder = tmp_path_factory.mktemp("made")
    with open_workshop(folder / "full.sqlite") as store:
        fill(store)
        write_backup_of(store, folder / "full.backup", now=NOW)
    return folder / "full.sqlite", folder / "full.backup"


def text_of(where: str | Path) -> str:
    with open_workshop(where) as store:
        return "".join(exported(store))


def test_a_backup_restores_equal_on_either_database(store: Store, tmp_path: Path, postgresql: Server) -> None:
    fill(store)
    manifest = write_backup_of(store, tmp_path / "it.backup", now=NOW)
    assert manifest.counts["jobs"] == len(board(store)) + 1
    before = "".join(exported(store))
    assert restore_workshop(tmp_path / "it.backup", tmp_path / "new" / "records.sqlite", now=NOW).replaced == ""
    assert text_of(tmp_path / "new" / "records.sqlite") == before
    url = postgresql.new_database()
    restore_workshop(tmp_path / "it.backup", url, now=NOW)
    assert text_of(url) == before


@pytest.mark.slow
def test_a_backup_under_load_is_one_moment(store: Store, kim: Person, lou: Person, tmp_path: Path) -> None:
    fill(store)
    jobs_there = [check_in(store, ARRIVAL, kim()).card.id for _ in range(2)]
    stop, acknowledged = threading.Event(), [0, 0]

    def writes(number: int, says: Person) -> None:
        while not stop.is_set():
            actions.record(store, jobs_there[number], says(), what=Noted("x" * 2000))
            acknowledged[number] += 1

    threads = [threading.Thread(target=writes, args=(n, says)) for n, says in enumerate((kim, lou))]
    for thread in threads:
        thread.start()
    before = list(acknowledged)
    while min(acknowledged) < 5:
        pass
    before = list(acknowledged)
    write_backup_of(store, tmp_path / "it.backup", now=NOW)
    after = list(acknowledged)
    stop.set()
    for thread in threads:
        thread.join()
    restore_workshop(tmp_path / "it.backup", tmp_path / "new.sqlite", now=NOW)
    with open_workshop(tmp_path / "new.sqlite") as new:
        for number, job in enumerate(jobs_there):
            kept = open_job(new, job).view.entries
            assert before[number] <= len(kept) - 1 <= after[number] + 1
            assert kept == open_job(store, job).view.entries[: len(kept)]
    assert {check.grade for check in examine_records(tmp_path / "new.sqlite")} <= {Grade.GOOD}


def test_what_is_replaced_is_kept_beside(made: tuple[Path, Path], tmp_path: Path, kim: Person) -> None:
    target = tmp_path / "records.sqlite"
    with open_workshop(target) as store:
        check_in(store, ARRIVAL, kim())
    before = text_of(target)
    for name in ("records.replaced-20260305T183000Z.sqlite", "records.replaced-20260305T183000Z-2.sqlite"):
        assert restore_workshop(made[1], target, now=NOW).replaced == str(tmp_path / name)
    assert text_of(target) == text_of(made[0])
    assert text_of(tmp_path / "records.replaced-20260305T183000Z.sqlite") == before
    assert not [path for path in tmp_path.iterdir() if path.name.startswith(".")]


def test_records_in_use_are_not_replaced(made: tuple[Path, Path], tmp_path: Path, kim: Person) -> None:
    target = tmp_path / "records.sqlite"
    with open_workshop(target) as store:
        check_in(store, ARRIVAL, kim())
        with pytest.raises(StoreFailed, match="in use by another program"):
            restore_workshop(made[1], target, now=NOW)
        assert len(board(store)) == 1
    assert [path.name for path in tmp_path.iterdir()] == ["records.sqlite"]


def test_damaged_records_are_moved_as_they_are(made: tuple[Path, Path], tmp_path: Path) -> None:
    target = tmp_path / "records.sqlite"
    target.write_bytes(b"no database at all" * 100)
    kept = restore_workshop(made[1], target, now=NOW).replaced
    assert Path(kept).read_bytes() == b"no database at all" * 100
    assert text_of(target) == text_of(made[0])


def test_a_database_that_is_not_empty_is_not_touched(made: tuple[Path, Path], postgresql: Server, kim: Person) -> None:
    url = postgresql.new_database()
    with open_workshop(url) as store:
        check_in(store, ARRIVAL, kim())
    before = text_of(url)
    with pytest.raises(StoreFailed, match="records here already"):
        restore_workshop(made[1], url, now=NOW)
    assert text_of(url) == before


def spoiled(
    backup: Path, to: Path, change: Callable[[dict[str, object], bytes], tuple[dict[str, object], bytes]]
) -> Path:
    """A backup with its manifest or its records changed, and packed again."""
    with zipfile.ZipFile(backup) as archive:
        manifest, records = change(json.loads(archive.read("manifest.json")), archive.read("records.sqlite"))
    with zipfile.ZipFile(to, "w") as archive:
        archive.writestr("manifest.json", json.dumps(manifest))
        archive.writestr("records.sqlite", records)
    return to


def middle_changed(data: bytes) -> bytes:
    """The same with one bit turned over in its middle."""
    at = len(data) // 2
    return data[:at] + bytes([data[at] ^ 1]) + data[at + 1 :]


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda m, r: (m, middle_changed(r)), "damaged"),
        (lambda m, r: (m | {"counts": {**m["counts"], "jobs": 3}}, r), "damaged"),
        (lambda m, r: (m | {"sha256": "0" * 64}, r), "damaged"),
        (lambda m, r: (m | {"schema": "9999"}, r), "newer program"),
        (lambda m, r: (m | {"shape": "backup/2"}, r), "newer program"),
        (lambda m, r: (m | {"shape": "plan/1"}, r), "must be a backup"),
        (lambda m, r: (m | {"records": "../out.sqlite"}, r), "must be a backup"),
        (lambda m, r: ({}, r), "must be a backup"),
    ],
)
def test_a_spoiled_backup_changes_nothing(
    made: tuple[Path, Path],
    tmp_path: Path,
    change: Callable[[dict[str, object], bytes], tuple[dict[str, object], bytes]],
    says: str,
) -> None:
    target = tmp_path / "records.sqlite"
    open_workshop(target).close()
    before = target.read_bytes()
    with pytest.raises(UnreadableFile, match=says):
        restore_workshop(spoiled(made[1], tmp_path / "bad.backup", change), target, now=NOW)
    assert target.read_bytes() == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["bad.backup", "records.sqlite"]


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (lambda data: b"", "must be a backup"),
        (lambda data: b"SQLite format 3\0" + bytes(100), "must be a backup"),
        (lambda data: data[: len(data) // 2], "must be a backup"),
        (middle_changed, "damaged"),
    ],
)
def test_a_file_that_is_no_whole_backup(
    made: tuple[Path, Path], tmp_path: Path, content: Callable[[bytes], bytes], says: str
) -> None:
    (tmp_path / "bad").write_bytes(content(made[1].read_bytes()))
    with pytest.raises(UnreadableFile, match=says):
        restore_workshop(tmp_path / "bad", tmp_path / "records.sqlite", now=NOW)
    assert [path.name for path in tmp_path.iterdir()] == ["bad"]


def test_a_backup_is_not_written_over_another_file(made: tuple[Path, Path]) -> None:
    with open_workshop(made[0]) as store, pytest.raises(OutOfRange, match="must not be there yet"):
        write_backup_of(store, made[1], now=NOW)
    with open_workshop(made[0]) as store, pytest.raises(UnreadableFile, match="No such file"):
        write_backup_of(store, made[1].parent / "none" / "it.backup", now=NOW)
