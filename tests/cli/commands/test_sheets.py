"""`sagwright sheet check` and `sagwright sheet schema`."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from tests.support.command_line import Shell, process


@pytest.mark.parametrize("name", ["specimen/t35", "specimen/p34", "specimen/n32", "specimen/a55"])
def test_a_shipped_sheet_has_no_faults(shell: Shell, name: str) -> None:
    answer = shell("sheet", "check", name)
    assert (answer.code, answer.err) == (0, "")
    assert answer.out.startswith(f"sheet      {name}, revision ")
    assert answer.out.endswith("\nNo faults.\n")


def test_it_says_what_the_sheet_describes(shell: Shell) -> None:
    said = shell("sheet", "check", "specimen/t35").out
    assert "chassis    mid: 110, 120, 130, 140, 150 mm\n" in said
    assert "travel by  travel spacers of 10 mm, at most 4\n" in said
    assert "travel by  air shafts for " in shell("sheet", "check", "specimen/p34").out
    assert "travel by  nothing: fixed at 120 mm" in shell("sheet", "check", "specimen/n32").out


def test_no_faults_as_json_are_an_empty_list(shell: Shell) -> None:
    assert json.loads(shell("sheet", "check", "specimen/t35", "--json").out) == {"shape": "errors/1", "errors": []}


def test_every_fault_is_told_at_once_with_its_line(shell: Shell, tmp_path: Path) -> None:
    path = tmp_path / "mine.yaml"
    path.write_text("shape: sheet/1\nextends: specimen/t35\nrevison: 5\nspring: {bore: 31.8 psi}\nlegs: [1]\n", "utf-8")
    answer = shell("sheet", "check", path)
    assert answer.code == 2
    lines = answer.err.splitlines()
    assert len(lines) == 3
    assert lines[0].startswith(f"{path}:3: revison is a key that nothing reads. Did you mean revision?")
    assert lines[1].startswith(f"{path}:4: spring.bore must be a length, like 31.8 mm, got '31.8 psi'.")
    assert lines[2].startswith(f"{path}:5: legs ")


def test_a_sheet_that_changes_one_thing_of_another(shell: Shell, tmp_path: Path) -> None:
    path = tmp_path / "mine.yaml"
    path.write_text("shape: sheet/1\nextends: specimen/t35\nrevision: 41\n", "utf-8")
    answer = shell("sheet", "check", path)
    assert answer.code == 0
    assert "mine, revision 41, on air-fork/spacer-stack" in answer.out


def test_the_schema_is_a_schema_that_takes_a_small_sheet(shell: Shell) -> None:
    answer = shell("sheet", "schema")
    assert (answer.code, answer.err) == (0, "")
    schema = json.loads(answer.out)
    Draft202012Validator.check_schema(schema)
    validator = Draft202012Validator(schema)
    assert validator.is_valid({"shape": "sheet/1", "extends": "specimen/t35", "maker": "Specimen"})
    assert not validator.is_valid({"shape": "sheet/1", "colour": "red"})


@pytest.mark.slow
@pytest.mark.parametrize("group", ["sheet", "bike"])
def test_a_schema_is_the_same_bytes_whatever_the_hash_seed(group: str) -> None:
    first, second = (process(group, "schema", env={"PYTHONHASHSEED": seed}).stdout for seed in ("1", "2"))
    assert json.loads(first)["title"] == f"Sagwright {group}"
    assert first == second
