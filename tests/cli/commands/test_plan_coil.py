"""A coil fork on the command line: plan, curve, steps, sheet check, and the drawing of its spring leg."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from tests.support.command_line import EXAMPLES, Shell

COIL = EXAMPLES / "shorten-c38.yaml"
SETUPS = ["--setup", "coil: medium, preload_spacers: 3, preload_turns: 4", "--setup", "coil: firm, preload_spacers: 3"]
STEPS = ("steps", "specimen/c38")
SVG = "{http://www.w3.org/2000/svg}"


def flat(text: str) -> str:
    """Without line breaks, so that a sentence is found wherever it was broken."""
    return " ".join(text.split())


def test_a_plan_says_coil_spacers_turns_and_why(shell: Shell) -> None:
    answer = shell("plan", COIL)
    assert (answer.code, answer.err) == (0, "")
    said = flat(answer.out)
    assert "0 top-out spacers; coil medium; 3 preload spacers; adjuster 4.0 turns (4 mm)" in said
    assert "top-out spacers 0 → 2 10 mm each, under the top-out" in said
    assert "preload spacers 3 → 1 10 mm each, on top of the coil" in said
    assert "leaves the preload stack, or the spring goes toward solid" in said
    assert "the adjuster's turns" in said
    assert "stack as found" in said
    for reason in ("spring-relaxed", "spring-out", "retainer-checked", "final-readings-last"):
        assert reason in said
    for gone in (" psi", "transfer_port", "volume spacer", "gauge at the valve"):
        assert gone not in said.split("BEFORE YOU RELY")[0], gone


def test_its_json_has_a_preload_and_no_pressure(shell: Shell) -> None:
    said = json.loads(shell("plan", COIL, "--json").out)
    target = said["target"]
    assert target["pressure_gauge"] is None
    assert target["preload"]["value"] == pytest.approx(0.0038, abs=2e-4)
    assert set(target["setup"]) == {"chassis", "top_out_spacers", "coil", "preload_spacers", "adjuster", "legs"}
    assert said["spring"]["as_found_preload"]["value"] == pytest.approx(0.006)
    assert said["spring"]["target_curve"]["positive_abs"] == {"value": [], "u": []}
    changed = [change["field"] for change in said["changes"]]
    assert changed == ["top_out_spacers", "coil", "preload_spacers", "adjuster"]


def test_the_cutaway_draws_turns_and_spacers_to_scale(shell: Shell, tmp_path: Path) -> None:
    path = tmp_path / "leg.svg"
    assert shell("plan", COIL, "--cutaway", path).code == 0
    drawing = ET.parse(path).getroot()
    description = drawing.findtext(f"{SVG}desc") or ""
    assert "coil medium of 33.4 turns of 5 mm wire, 9 N/mm" in description
    assert "2 top-out spacers of 10 mm" in description
    wires = [float(one.get("r", "0")) for one in drawing.iter(f"{SVG}circle")]
    # Two sections of the wire a turn: 33.4 and 31.4 turns.
    assert len(wires) == pytest.approx(2 * (33.4 + 31.4), abs=4)
    assert max(wires) / min(wires) == pytest.approx(5.2 / 5.0, abs=0.01)


def test_curves_of_coil_setups_are_compared(shell: Shell, tmp_path: Path) -> None:
    answer = shell("curve", "specimen/c38", *SETUPS, "--load", "341 N", "--svg", tmp_path / "curve.svg")
    assert (answer.code, answer.err) == (0, f"wrote {tmp_path / 'curve.svg'}\n")
    assert "without friction" in answer.out
    assert "spring leg" in answer.out
    assert "positive" not in answer.out
    assert "spring leg, gauge" in (tmp_path / "curve.svg").read_text("utf-8")


def test_a_coil_is_changed_without_taking_the_lowers_off(shell: Shell) -> None:
    said = json.loads(shell(*STEPS, "--task", "change-coil=firm", "--json").out)
    keys = [step["key"] for step in said["steps"]]
    assert "off:lowers" not in keys
    for earlier, later in [
        ("off:preload", "off:spring_cap"),
        ("off:spring_cap", "off:coil"),
        ("off:coil", "change:coil"),
    ]:
        assert keys.index(earlier) < keys.index(later)
    assert keys.index("on:spring_cap") < keys.index("on:preload")
    assert [line["size"] for line in said["tools_and_parts"] if line["name"] == "coil"] == ["firm"]
    assert said["sequence"]["optimal"] is True


def test_travel_and_stack_are_changed_together(shell: Shell) -> None:
    alone = shell(*STEPS, "--task", "change-travel=150mm")
    assert alone.code == 2
    assert "what the top-out spacers take leaves the preload stack" in flat(alone.err)
    both = shell(*STEPS, "--task", "change-travel=150mm", "--task", "preload-spacers=1")
    assert (both.code, both.err) == (0, "")
    assert "Change the top-out spacers" in both.out
    assert "Change the preload spacers" in both.out


def test_lower_legs_leave_the_coil_in(shell: Shell) -> None:
    said = json.loads(shell(*STEPS, "--task", "lower-legs", "--json").out)
    keys = {step["key"] for step in said["steps"]}
    assert not keys & {"off:spring_cap", "off:coil", "off:preload", "off:spring_retaining_ring"}
    assert {"off:lowers", "on:spring_foot_fastener"} <= keys


def test_why_names_the_rule_and_its_reason(shell: Shell) -> None:
    said = flat(shell(*STEPS, "--task", "coil-spring", "--why", "off:spring_cap").out)
    assert "spring-relaxed" in said
    assert "throws the cap as soon as its last thread lets go" in said


def test_what_was_found_inside_changes_the_rest(shell: Shell) -> None:
    tasks = ("--task", "change-coil=firm", "--json")
    first = [step["key"] for step in json.loads(shell(*STEPS, *tasks).out)["steps"]]
    done = ",".join(first[: first.index("change:coil")])
    same = json.loads(shell(*STEPS, *tasks, "--done", done, "--found", "coil=firm").out)
    assert not [step for step in same["steps"] if step["key"] == "change:coil"]
    assert [step for step in same["steps"] if step["key"] == "on:coil"]


@pytest.mark.parametrize(
    ("tasks", "said"),
    [
        (("set-pressure=80psi",), "set-pressure does not exist in this family, whose spring is a coil"),
        (("change-coil=frim",), "change-coil must be a coil of the sheet, got 'frim'. There are: extra_soft"),
        (("change-coil=soft", "change-coil=firm"), "change-coil must be asked for once"),
        (("preload-spacers=9",), "preload-spacers must be what sheet and chassis permit, got '9'"),
        (("set-preload=11",), "set-preload must be within what the adjuster turns, got '11'"),
        (
            ("change-coil=firm", "change-travel=170mm", "preload-spacers=0"),
            "must leave coil firm neither loose nor solid",
        ),
        (("change-travel=155mm", "preload-spacers=1"), "change-travel must be what sheet and chassis permit"),
        (("change-coil",), "change-coil needs a value. Write it like change-coil=firm"),
    ],
)
def test_tasks_that_cannot_be_are_refused(shell: Shell, tasks: tuple[str, ...], said: str) -> None:
    answer = shell(*STEPS, *(part for task in tasks for part in ("--task", task)))
    assert answer.code == 2
    assert said in flat(answer.err)


def test_an_air_fork_has_no_coil_tasks(shell: Shell) -> None:
    answer = shell("steps", "specimen/n32", "--task", "set-pressure=80psi", "--task", "set-preload=3")
    assert answer.code == 2
    assert "set-preload does not exist in this family, whose spring is air" in flat(answer.err)


def test_the_sheet_lists_its_coils(shell: Shell) -> None:
    answer = shell("sheet", "check", "specimen/c38")
    assert answer.code == 0
    assert "medium: 9 N/mm, 33.4 turns of 5 mm oil-hardened wire to EN 10270-2, 382 mm free" in answer.out
    assert "spacers under the top-out of 10 mm, at most 3" in answer.out
