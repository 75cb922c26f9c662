"""`sagwright backup`, `restore`, `export`, `import`, `doctor` and `demo fill`; where records are."""

from __future__ import annotations

import json
import os
import pty
import re
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from sagwright.service.workshop.records import open_workshop
from tests.support.command_line import ROOT, SHORTEN, Shell
from tests.support.full_workshop import fill


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A full workshop in a file."""
    path = tmp_path_factory.mktemp("full") / "full.sqlite"
    with open_workshop(path) as store:
        fill(store)
    return path


def test_backup_and_restore(shell: Shell, full: Path, tmp_path: Path) -> None:
    answer = shell("backup", tmp_path / "b", "--workshop", full, "--json")
    manifest = json.loads(answer.out)
    assert (manifest["shape"], manifest["counts"]["photos"]) == ("backup/1", 1)
    new = tmp_path / "new.sqlite"
    assert "nothing was there" in shell("restore", tmp_path / "b", "--workshop", new).out
    said = shell("restore", tmp_path / "b", "--workshop", new).out
    assert "kept as" in said
    assert shell("export", "-", "--workshop", new).out == shell("export", "-", "--workshop", full).out
    answer = shell("restore", SHORTEN, "--workshop", new)
    assert (answer.code, "must be a backup" in answer.err) == (2, True)
    answer = shell("backup", tmp_path / "b", "--workshop", full)
    assert (answer.code, "must not be there yet" in answer.err) == (2, True)


def test_export_and_import(shell: Shell, full: Path, tmp_path: Path) -> None:
    assert shell("export", tmp_path / "a.json", "--workshop", full).err == f"wrote {tmp_path / 'a.json'}\n"
    assert shell("export", tmp_path / "a", "--csv", "--workshop", full).code == 0
    for source in ("a.json", "a"):
        new = tmp_path / f"from-{source}.sqlite"
        assert "1 photos" in shell("import", tmp_path / source, "--workshop", new).out
        assert shell("export", "-", "--workshop", new).out == (tmp_path / "a.json").read_text("utf-8")
        assert shell("import", tmp_path / source, "--workshop", new).code == 2


def test_doctor(shell: Shell, full: Path, tmp_path: Path) -> None:
    answer = shell("doctor", "--workshop", full)
    assert (answer.code, answer.err) == (0, "")
    assert all(line.startswith("good  ") for line in answer.out.splitlines())
    shell("backup", tmp_path / "b", "--workshop", full)
    new = tmp_path / "new.sqlite"
    shell("restore", tmp_path / "b", "--workshop", new)
    connection = sqlite3.connect(new)
    connection.execute("UPDATE jobs SET stage = 'refused' WHERE number = 1001")
    connection.commit()
    connection.close()
    answer = shell("doctor", "--workshop", new, "--json")
    assert answer.code == 1
    (bad,) = [check for check in json.loads(answer.out)["checks"] if check["grade"] == "bad"]
    assert "sagwright doctor --mend" in bad["remedy"]
    assert shell("doctor", "--mend", "--workshop", new).code == 0
    answer = shell("doctor", "--workshop", tmp_path / "none.sqlite")
    assert (answer.code, "There are no records there yet" in " ".join(answer.out.split())) == (0, True)


@pytest.mark.slow
def test_demo_fill(shell: Shell, tmp_path: Path) -> None:
    place = tmp_path / "demo.sqlite"
    answer = shell("demo", "fill", "--start", "2026-03-02", "--workshop", place, "--json")
    assert json.loads(answer.out)["added"] >= 12
    assert "nothing was added" in shell("demo", "fill", "--workshop", place).out
    assert "demo, drawn" not in shell("job", "show", "1001", "--workshop", place).out
    assert len(json.loads(shell("job", "list", "--workshop", place, "--json").out)["jobs"]) >= 10


def test_records_are_in_the_users_data_folder(shell: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("SAGWRIGHT_WORKSHOP", raising=False)
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    assert str(tmp_path / "data" / "sagwright") in shell("job", "list").err
    assert shell("job", "check-in", SHORTEN, "--customer", "Jo").code == 0
    assert (tmp_path / "data" / "sagwright" / "sagwright.sqlite").exists()


@pytest.mark.parametrize(
    ("place", "says"),
    [("mysql://x/y", "not kept in mysql"), ("postgresql://localhost:1/none?connect_timeout=2", "cannot be used")],
)
def test_a_place_that_cannot_be_used_is_told(shell: Shell, place: str, says: str) -> None:
    answer = shell("job", "list", "--workshop", place)
    assert answer.code == 2
    assert says in answer.err


@pytest.mark.slow
def test_long_work_shows_a_bar_on_a_terminal_and_none_elsewhere(full: Path, tmp_path: Path) -> None:
    command = [sys.executable, "-m", "sagwright", "doctor", "--workshop", str(full)]
    there, here = pty.openpty()
    env = {**os.environ, "TERM": "xterm", "COLUMNS": "80"}
    done = subprocess.run(command, check=True, stdout=subprocess.PIPE, stderr=here, env=env, cwd=ROOT)
    os.close(here)
    assert b"doctor" in os.read(there, 65536)
    os.close(there)
    quiet = subprocess.run(command, check=True, capture_output=True, env=env, cwd=ROOT)
    assert quiet.stderr == b""
    free = re.compile(rb"[\d.]+ [GM]B free")  # others write to the disk as well
    assert free.sub(b"", quiet.stdout) == free.sub(b"", done.stdout)


def test_a_backup_of_a_name_without_a_folder(
    shell: Shell, full: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert shell("backup", "b", "--workshop", full).code == 0
    assert "nothing was there" in shell("restore", "b", "--workshop", "new.sqlite").out
    assert shell("export", "-", "--workshop", "new.sqlite").out == shell("export", "-", "--workshop", full).out


DAYS = {
    "check in": ("job", "check-in", SHORTEN, "--customer", "Jo Example", "--due", "2026-13-40"),
    "promise": ("job", "due", "1001", "tomorrow"),
    "answer": ("job", "answer", "1001", "maker.asked", "yes", "--who", "Jo Example", "--when", "last week"),
    "resume": ("job", "resume", "1001", "--when", "1/2/2026"),
    "hand over": ("job", "hand-over", "1001", "--accepted", "--come-back", "in May"),
    "a tool's check": ("instrument", "add", "gauge", "gauge 1", "--last-check", "2026-02-30"),
}


@pytest.mark.parametrize("command", DAYS.values(), ids=DAYS)
def test_what_is_no_day_is_refused_and_nothing_is_kept(
    shell: Shell, tmp_path: Path, command: tuple[str | Path, ...]
) -> None:
    place = tmp_path / "none.sqlite"
    answer = shell(*command, "--workshop", place)
    assert (answer.code, answer.out) == (2, "")
    assert re.search(r"^(--\S+|DATE) must be a day, like 2026-03-02, got '.+'\. Write year-month-day\.$", answer.err)
    assert not place.exists()


def test_another_file_is_no_sheet_to_keep(shell: Shell, tmp_path: Path) -> None:
    answer = shell("sheet", "add", SHORTEN, "--workshop", tmp_path / "none.sqlite")
    assert answer.code == 2
    assert "shape must be sheet/1, got 'intake/1'" in answer.err
