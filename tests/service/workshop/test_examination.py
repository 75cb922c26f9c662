"""Every fault that is planted is found, and says what to do."""

from __future__ import annotations

import shutil
import sqlite3
from pathlib import Path

import pytest

from sagwright.service.workshop.maintenance import Check, Grade, examine_records, mend
from sagwright.service.workshop.records import open_workshop
from sagwright.store.workshop import Store
from tests.support.full_workshop import fill


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A full workshop in one file."""
    path = tmp_path_factory.mktemp("sound") / "full.sqlite"
    with open_workshop(path) as store:
        fill(store)
    return path


def bad(where: str | Path) -> list[Check]:
    return [check for check in examine_records(where) if check.grade is Grade.BAD]


def test_nothing_is_wrong_with_a_workshop(store: Store, where: str) -> None:
    fill(store)
    checks = list(examine_records(where))
    assert {check.grade for check in checks} == {Grade.GOOD}
    about = {check.about for check in checks}
    assert about >= {"place", "settings", "integrity", "schema", "entries", "rows", "pointers", "photos", "documents"}


def test_no_records_yet_is_said_and_none_are_made(tmp_path: Path) -> None:
    (check,) = examine_records(tmp_path / "none.sqlite")
    assert (check.grade, "sagwright job check-in" in check.remedy) == (Grade.LOOK, True)
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("planted", "about", "says"),
    [
        ("DELETE FROM entries WHERE ordinal = 3", "entries", "missing"),
        ("UPDATE entries SET payload = replace(payload, 'entry/1', 'entry/9') WHERE ordinal = 2", "entries", "newer"),
        ("UPDATE jobs SET stage = 'refused' WHERE number = 1001", "rows", "job 1001"),
        ("UPDATE jobs SET search = 'other' WHERE number = 1002", "rows", "job 1002"),
        (
            "UPDATE visits SET customer = (SELECT max(id) FROM customers) WHERE id IN (SELECT min(visit) FROM jobs)",
            "rows",
            "",
        ),
        ("DELETE FROM photo_chunks", "photos", "not whole"),
        ("DELETE FROM photo_chunks; DELETE FROM photos", "pointers", "photos ../photo"),
        ("UPDATE documents SET shape = 'plan/0'", "documents", "not as it was kept"),
        ("UPDATE documents SET content = x'00'", "documents", "not as it was kept"),
        ("DELETE FROM documents WHERE shape = 'plan/1'", "pointers", "documents"),
        ("UPDATE sheets SET text = text || '#'", "sheets", "was changed"),
        ("DELETE FROM units", "integrity", "damaged"),
        ("DELETE FROM entries", "jobs", "has no entries"),
        ("UPDATE alembic_version SET version_num = '9999'", "records", "schema 9999"),
        ("DROP TABLE alembic_version", "records", "another program"),
    ],
)
def test_a_planted_fault_is_found(sound: Path, tmp_path: Path, planted: str, about: str, says: str) -> None:
    path = tmp_path / "records.sqlite"
    shutil.copy(sound, path)
    with sqlite3.connect(path) as connection:
        connection.executescript(planted)
    connection.close()
    found = [check for check in bad(path) if check.about == about]
    assert found
    assert says in f"{found[0].what} {found[0].remedy}"
    assert all(check.remedy for check in bad(path))


def test_damaged_pages_are_found(sound: Path, tmp_path: Path) -> None:
    data = bytearray(sound.read_bytes())
    data[8192:-8192] = bytes(byte ^ 0x55 for byte in data[8192:-8192])
    (tmp_path / "records.sqlite").write_bytes(data)
    assert bad(tmp_path / "records.sqlite")
    (tmp_path / "other.sqlite").write_bytes(b"not a database, only text " * 100)
    (check,) = bad(tmp_path / "other.sqlite")
    assert "no file of records" in check.what


def test_little_room_is_told(sound: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shutil, "disk_usage", lambda _: shutil._ntuple_diskusage(10**9, 10**9, 1000))
    (check,) = bad(sound)
    assert (check.about, "Make room" in check.remedy) == ("room", True)


def test_mending_makes_rows_from_entries_and_touches_no_entry(sound: Path, tmp_path: Path) -> None:
    path = tmp_path / "records.sqlite"
    shutil.copy(sound, path)
    with sqlite3.connect(path) as connection:
        before = connection.execute("SELECT * FROM entries ORDER BY id").fetchall()
        connection.execute("UPDATE jobs SET stage = 'bench', search = '', entries = 0")
    assert bad(path)
    with open_workshop(path) as store:
        assert mend(store) > 10
    assert not bad(path)
    assert connection.execute("SELECT * FROM entries ORDER BY id").fetchall() == before
    connection.close()
