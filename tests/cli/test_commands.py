"""The commands as a newcomer types them: answers, exit codes, plain text when piped, JSON that keeps its keys."""

from __future__ import annotations

import json
import os
import pathlib
import subprocess
import sys

import pytest

from sagwright.version import __version__

ROOT = pathlib.Path(__file__).parents[2]
EXAMPLES = ROOT / "examples"
SAGWRIGHT = pathlib.Path(sys.executable).with_name("sagwright")
KEYS = [
    "shape",
    "program",
    "intake",
    "sheet",
    "findings",
    "candidates",
    "target",
    "changes",
    "kit",
    "steps",
    "spring",
    "cautions",
]


def run(*arguments: object, **environment: str) -> subprocess.CompletedProcess[str]:
    """The command in a process of its own, as a shell would start it."""
    return subprocess.run(
        [str(SAGWRIGHT), *map(str, arguments)],
        cwd=ROOT,
        env=os.environ | environment,
        capture_output=True,
        encoding="utf-8",
        check=False,
    )


def written(tmp_path: pathlib.Path, old: str, new: str) -> pathlib.Path:
    """The first example with something else in it."""
    text = (EXAMPLES / "shorten-t35.yaml").read_text("utf-8")
    assert old in text
    path = tmp_path / "intake.yaml"
    path.write_text(text.replace(old, new), "utf-8")
    return path


@pytest.mark.parametrize("name", sorted(path.name for path in EXAMPLES.glob("*.yaml")))
def test_every_example_is_answered(name: str) -> None:
    done = run("plan", EXAMPLES / name)
    assert done.returncode == (1 if name.startswith("refused") else 0)
    assert done.stderr == ""
    assert "BEFORE YOU RELY ON THIS" in done.stdout


def test_a_plan_shows_its_parts_in_the_order_of_the_flow() -> None:
    text = run("plan", EXAMPLES / "shorten-t35.yaml").stdout
    heads = ["FINDINGS", "WHAT IT DOES", "CANDIDATES", "WHAT CHANGES INSIDE", "KIT", "STEPS", "BEFORE YOU RELY"]
    places = [text.index(head) for head in heads]
    assert places == sorted(places)


def test_piped_text_is_plain_and_fits_100_columns() -> None:
    text = run("plan", EXAMPLES / "shorten-t35.yaml").stdout
    assert "\x1b" not in text
    assert max(len(line) for line in text.splitlines()) <= 100


def test_a_torque_never_stands_without_its_thread_state() -> None:
    lines = [line for line in run("plan", EXAMPLES / "lengthen-p34.yaml").stdout.splitlines() if " torque  " in line]
    assert lines
    assert all("thread " in line for line in lines)


def test_the_same_bytes_whatever_the_hash_seed_zone_and_locale() -> None:
    one = {"PYTHONHASHSEED": "1", "TZ": "UTC", "LC_ALL": "C"}
    other = {"PYTHONHASHSEED": "77", "TZ": "Pacific/Auckland", "LC_ALL": "C.UTF-8"}
    for more in ((), ("--json",)):
        arguments = ("plan", EXAMPLES / "unknown-until-open-t35.yaml", *more)
        assert run(*arguments, **one).stdout == run(*arguments, **other).stdout


def test_json_has_its_keys_and_numbers_carry_their_uncertainty() -> None:
    plan = json.loads(run("plan", EXAMPLES / "shorten-t35.yaml", "--json").stdout)
    assert list(plan) == KEYS
    assert plan["shape"] == "plan/1"
    assert plan["program"] == f"sagwright {__version__}"
    assert set(plan["target"]["pressure_gauge"]) == {"value", "u"}
    assert 4e5 < plan["target"]["pressure_gauge"]["value"] < 9e5


def test_every_pressure_in_json_says_gauge_or_absolute() -> None:
    plan = json.loads(run("plan", EXAMPLES / "shorten-t35.yaml", "--json").stdout)
    keys = {key for key in _keys(plan) if "pressure" in key and key not in {"same_pressure"}}
    assert keys
    assert all(key.endswith(("_gauge", "_abs")) for key in keys)


def _keys(shape: object) -> set[str]:
    if isinstance(shape, dict):
        return set(shape) | {key for value in shape.values() for key in _keys(value)}
    if isinstance(shape, list):
        return {key for value in shape for key in _keys(value)}
    return set()


def test_numbers_of_text_and_json_agree() -> None:
    plan = json.loads(run("plan", EXAMPLES / "shorten-t35.yaml", "--json").stdout)
    psi = round(plan["target"]["pressure_gauge"]["value"] / 6894.757293168)
    assert f"→  {psi} psi" in run("plan", EXAMPLES / "shorten-t35.yaml").stdout


def test_units_and_decimal_comma_change_what_is_shown() -> None:
    text = run("plan", EXAMPLES / "shorten-t35.yaml", "--units", "bar,in,lbf-in,lb", "--comma").stdout
    assert " bar" in text
    assert "lbf·in" in text
    assert " psi" not in text
    assert "5,51 in of travel" in text


@pytest.mark.parametrize(
    ("old", "new", "code", "said"),
    [
        ("80 ± 1 kg", "0 kg", 2, "intake.yaml:12: rider.mass must be between"),
        ("150 ± 2 mm", "31.8 psi", 2, "intake.yaml:7: as_found.travel must be a length"),
        ("specimen/t35", "specimen/t53", 2, "intake.yaml:4: sheet must name a sheet that is there"),
        ("volume_spacers: 1", "volume_spacers: -1", 2, "intake.yaml:10: as_found.volume_spacers must be"),
        ("volume_spacers: 1", "volume_spacers: 15", 2, "positive chamber must keep a volume"),
        ("name: 2026-0113", "nam: 2026-0113", 2, "Did you mean name?"),
    ],
)
def test_unusable_input_is_one_message_and_exit_2(
    tmp_path: pathlib.Path, old: str, new: str, code: int, said: str
) -> None:
    done = run("plan", written(tmp_path, old, new))
    assert (done.returncode, done.stdout) == (code, "")
    assert said in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("travel: 140 mm", "travel: 170 mm", "refuse  170 mm of travel is not permitted on chassis mid"),
        ("travel: 140 mm", "travel: 140 mm, travel_spacers: 5", "refuse  Wished for: 5 travel spacers; at most 4"),
        ("travel: 140 mm", "travel: 140 mm, pressure: 150 psi", "refuse  A pressure of 150 psi is over the 130 psi"),
    ],
)
def test_a_refused_wish_says_why_and_exits_1(tmp_path: pathlib.Path, old: str, new: str, said: str) -> None:
    done = run("plan", written(tmp_path, old, new))
    assert done.returncode == 1
    assert said in done.stdout
    assert "STEPS" not in done.stdout


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("travel_spacers: 0", "travel_spacers: 5", "ask     Found: 5 travel spacers, where at most 4 fit"),
        ("78 ± 2 psi", "150 psi", "The pressure found, 150 psi, is over the 130 psi"),
    ],
)
def test_the_same_as_found_is_a_finding(tmp_path: pathlib.Path, old: str, new: str, said: str) -> None:
    path = written(tmp_path, old, new)
    path.write_text(path.read_text("utf-8").replace("aim: as-it-rode", "aim: {sag: 20 %}"), "utf-8")
    done = run("plan", path)
    assert done.returncode == 0
    assert said.removeprefix("ask     ") in " ".join(done.stdout.split())


def test_errors_are_json_where_json_is_asked_for(tmp_path: pathlib.Path) -> None:
    done = run("plan", written(tmp_path, "80 ± 1 kg", "0 kg"), "--json")
    assert done.returncode == 2
    (error,) = json.loads(done.stdout)["errors"]
    assert (error["kind"], error["line"], error["field"], error["value"]) == ("OutOfRange", 12, "rider.mass", "0 kg")


def test_a_sheet_is_checked() -> None:
    done = run("sheet", "check", "specimen/t35")
    assert done.returncode == 0
    assert "No faults." in done.stdout


def test_a_sheet_with_faults_tells_all_of_them(tmp_path: pathlib.Path) -> None:
    path = tmp_path / "sheet.yaml"
    path.write_text("shape: sheet/1\nextends: specimen/t35\nspring: {bore: 9 psi, shaft: x}\n", "utf-8")
    done = run("sheet", "check", path)
    assert done.returncode == 2
    assert done.stderr.count("sheet.yaml:3:") == 2


def test_the_schema_is_json() -> None:
    assert "properties" in json.loads(run("sheet", "schema").stdout)


def test_version_and_help() -> None:
    assert run("--version").stdout == f"sagwright {__version__}\n"
    for arguments in ((), ("plan",), ("sheet",), ("sheet", "check"), ("sheet", "schema")):
        done = run(*arguments, "--help")
        assert done.returncode == 0
        assert "Usage: sagwright" in done.stdout


@pytest.mark.parametrize("arguments", [("plan",), ("plan", "x", "--uints", "bar"), ("paln",), ("sheet", "chekc")])
def test_a_mistyped_command_is_exit_2_without_a_traceback(arguments: tuple[str, ...]) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert done.stderr


def test_a_reader_that_goes_away_is_no_error() -> None:
    done = subprocess.run(
        f"'{SAGWRIGHT}' plan examples/shorten-t35.yaml | head -n 1",
        shell=True,
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stderr == ""
    assert done.stdout.startswith("plan ")
