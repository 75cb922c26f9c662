"""What cannot be used, and what is refused: one clear message each, the right exit code, never a traceback."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.support.command_line import SHORTEN, Shell, edited

UNUSABLE = {
    "a key that nothing reads": ("wish: {travel", "wish: {fork: red, travel", 13, "fork"),
    "a near miss": ("wish: {travel", "wish: {travl", 13, "Did you mean travel?"),
    "a key twice": ("name: 2026-0113", "name: 1\nname: 2", 4, "written once"),
    "a wrong unit": ("travel: 140 mm", "travel: 140 psi", 13, "must be a length"),
    "no unit": ("travel: 140 mm", "travel: 140", 13, "must be a length"),
    "a negative length": ("travel: 140 mm", "travel: -140 mm", 13, "must be between"),
    "a value left out": ("  volume_spacers: 1\n", "", 6, "volume_spacers must be given"),
    "no sheet of that name": ("specimen/t35", "specimen/t53", 4, "Did you mean specimen/t35?"),
    "no chassis of that name": ("chassis: mid", "chassis: middle", 5, "Did you mean mid?"),
    "a rider of nothing": ("mass: 80 ± 1 kg", "mass: 0 kg", 12, "rider.mass"),
    "a negative count": ("volume_spacers: 1", "volume_spacers: -1", 10, "as_found.volume_spacers must be"),
    "an alias": ("travel: 150 ± 2 mm", "travel: &t 150 mm", 7, "references"),
}
REFUSED = {
    "a travel outside the chassis": ("travel: 140 mm", "travel: 200 mm", "not permitted on chassis mid"),
    "a travel between the steps": ("travel: 140 mm", "travel: 145 mm", "the next shorter is 140 mm"),
    "more travel spacers than fit": ("wish: {travel", "wish: {travel_spacers: 5, travel", "at most 4 fit"),
    "more volume spacers than fit": ("wish: {travel", "wish: {volume_spacers: 9, travel", "at most 6 fit"),
    "a pressure over the limit": ("wish: {travel", "wish: {pressure: 250 psi, travel", "over the 130 psi"),
    "a pressure under the limit": ("wish: {travel", "wish: {pressure: 5 psi, travel", "under the 40 psi"),
}
ASKED = {
    "a pressure over the limit": ("pressure: 78", "pressure: 250", "over the 130 psi"),
    "an unlikely travel": ("travel: 150 ± 2 mm", "travel: 135 mm", "not the 150 mm"),
}


@pytest.mark.parametrize("case", UNUSABLE.values(), ids=UNUSABLE)
def test_an_unusable_intake_says_where_and_what(shell: Shell, tmp_path: Path, case: tuple[str, str, int, str]) -> None:
    old, new, line, says = case
    path = edited(old, new, to=tmp_path / "intake.yaml")
    answer = shell("plan", path)
    assert answer.code == 2
    assert not answer.out
    assert f"{path}:{line}: " in answer.err
    assert says in answer.err
    assert "Traceback" not in answer.err


@pytest.mark.parametrize("case", UNUSABLE.values(), ids=UNUSABLE)
def test_the_same_as_json(shell: Shell, tmp_path: Path, case: tuple[str, str, int, str]) -> None:
    old, new, line, says = case
    path = edited(old, new, to=tmp_path / "intake.yaml")
    answer = shell("plan", path, "--json")
    told = json.loads(answer.out)
    assert (answer.code, answer.err) == (2, "")
    assert list(told) == ["shape", "errors"]
    assert told["shape"] == "errors/1"
    assert any(error["line"] == line and says in error["message"] for error in told["errors"])
    assert all(error["file"] == str(path) and error["remedy"] for error in told["errors"])


@pytest.mark.parametrize(("old", "new", "says"), REFUSED.values(), ids=REFUSED)
def test_a_wish_that_cannot_be_is_refused(shell: Shell, tmp_path: Path, old: str, new: str, says: str) -> None:
    answer = shell("plan", edited(old, new, to=tmp_path / "intake.yaml"))
    assert (answer.code, answer.err) == (1, "")
    findings = " ".join(answer.out.split("FINDINGS")[1].split("WHAT IT DOES")[0].split())
    assert says in findings
    assert "not allowed" in findings


@pytest.mark.parametrize(("old", "new", "says"), ASKED.values(), ids=ASKED)
def test_as_found_may_be_wrong_and_is_asked_about(shell: Shell, tmp_path: Path, old: str, new: str, says: str) -> None:
    answer = shell("plan", edited(old, new, to=tmp_path / "intake.yaml"))
    assert (answer.code, answer.err) == (0, "")
    findings = " ".join(answer.out.split("FINDINGS")[1].split("WHAT IT DOES")[0].split())
    assert says in findings
    assert "question " in findings


def test_more_travel_spacers_found_than_fit_are_asked_about(shell: Shell, tmp_path: Path) -> None:
    path = edited("  travel_spacers: 0", "  travel_spacers: 5", to=tmp_path / "intake.yaml")
    path.write_text(path.read_text("utf-8").replace("aim: as-it-rode", "aim: {sag: 20 %}"), "utf-8")
    answer = shell("plan", path)
    assert (answer.code, answer.err) == (0, "")
    assert "question  Found: 5 travel spacers, where at most 4 fit" in answer.out


def test_more_volume_spacers_than_leave_room_for_air_cannot_be(shell: Shell, tmp_path: Path) -> None:
    answer = shell("plan", edited("volume_spacers: 1", "volume_spacers: 15", to=tmp_path / "intake.yaml"))
    assert (answer.code, answer.out) == (2, "")
    assert "positive chamber must keep a volume" in answer.err


def test_all_faults_are_told_at_once(shell: Shell, tmp_path: Path) -> None:
    path = edited("mass: 80 ± 1 kg", "mass: 0 kg", to=tmp_path / "intake.yaml")
    path.write_text(path.read_text("utf-8").replace("140 mm", "140 psi"), "utf-8")
    told = json.loads(shell("plan", path, "--json").out)["errors"]
    assert [error["field"] for error in told] == ["rider.mass", "wish.travel"]


FILES: dict[str, tuple[bytes | None, str]] = {
    "nothing there": (None, "must be given"),
    "not UTF-8": (b"shape: \xff\xfe", "must be UTF-8"),
    "a bomb": (b"a: &a [1, 1]\nb: &b [*a, *a]\nc: [*b, *b]\n", "references"),
    "too large": (b"a" * 1_100_000, "must not be larger than 1 MB"),
    "empty": (b"", "must"),
    "no YAML": (b"{{{", "must"),
    "too deep": (b"[" * 100 + b"]" * 100, "must"),
}


@pytest.mark.parametrize("command", [("plan",), ("sheet", "check")], ids=" ".join)
@pytest.mark.parametrize(("content", "says"), FILES.values(), ids=FILES)
def test_a_file_that_is_none(
    shell: Shell,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    command: tuple[str, ...],
    content: bytes | None,
    says: str,
) -> None:
    monkeypatch.chdir(tmp_path)
    path = Path("file.yaml")
    if content is not None:
        path.write_bytes(content)
    answer = shell(*command, path)
    assert answer.code == 2
    assert not answer.out
    assert says in answer.err or (content is None and "must name a sheet that is there" in answer.err)
    assert "file.yaml" in answer.err
    assert "Traceback" not in answer.err


@pytest.mark.parametrize("command", [("plan",), ("sheet", "check")], ids=" ".join)
def test_a_folder_is_no_file(shell: Shell, tmp_path: Path, command: tuple[str, ...]) -> None:
    answer = shell(*command, tmp_path)
    assert answer.code == 2
    assert answer.err.startswith(f"{tmp_path}: must be a file, not a folder.")


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("plan",), "Missing argument 'INTAKE'"),
        (("plan", str(SHORTEN), "--sideways"), "No such option '--sideways'"),
        (("plon",), "No such command 'plon'"),
        (("plan", str(SHORTEN), "--units", "furlong"), "--units must be units with commas"),
        (("plan", str(SHORTEN), "--units", "bar,psi"), "--units must name one unit of pressure"),
        (("sheet", "check", "specimen/t36"), "FILE must name a sheet that is there"),
        (("curve", "specimen/t36", "--setup", "chassis: mid"), "SHEET must name a sheet that is there"),
        (("mistakes", "specimen/t36", "--setup", "x: y", "--load", "9 N"), "SHEET must name a sheet that is there"),
        (("plan", str(SHORTEN), "--done", "999"), "--done must be at most the 37 steps there are"),
        (("plan", str(SHORTEN), "--done", "nosuch"), "Look the keys up in the plan"),
        (("plan", str(SHORTEN), "--failed", "nosuch"), "Look the keys up in the plan"),
        (("steps", "specimen/t35", "--task", "wipers", "--chassis", "mid", "--earlier", "no.json"), "no.json: must be"),
    ],
)
def test_a_wrong_command_line(shell: Shell, arguments: tuple[str, ...], says: str) -> None:
    answer = shell(*arguments)
    assert (answer.code, answer.out) == (2, "")
    assert says in answer.err
    as_json = shell(*arguments, "--json")
    assert (as_json.code, as_json.err) == (2, "")
    assert says in json.loads(as_json.out)["errors"][0]["message"]


def test_a_name_that_steers_a_terminal_is_made_harmless(shell: Shell) -> None:
    answer = shell("plan", "\x1b[31mred.yaml")
    assert answer.code == 2
    assert "\x1b" not in answer.err
    assert "�[31mred.yaml" in answer.err
