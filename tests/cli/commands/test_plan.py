"""`sagwright plan`, from a file to what is read at the bench."""

from __future__ import annotations

import json
import re

import pytest

from tests.support.command_line import EXAMPLES, REFUSED, SHORTEN, Shell, process

SECTIONS = (
    "FINDINGS",
    "WHAT IT DOES",
    "OPTIONS",
    "WHAT CHANGES INSIDE",
    "TOOLS AND PARTS",
    "STEPS",
    "BEFORE YOU RELY ON THIS",
)
PLAN_KEYS = [
    "shape",
    "program",
    "intake",
    "sheet",
    "findings",
    "options",
    "target",
    "changes",
    "tools_and_parts",
    "steps",
    "sequence",
    "spring",
    "cautions",
    "stance",
    "done",
    "stops",
    "reassembly",
]


def test_it_works(shell: Shell) -> None:
    answer = shell("plan", SHORTEN)
    assert (answer.code, answer.err) == (0, "")
    places = [answer.out.index(f"\n{section} ─") for section in SECTIONS]
    assert places == sorted(places)


@pytest.mark.parametrize("example", sorted(path.name for path in EXAMPLES.glob("*.yaml")))
def test_every_example_is_answered_within_the_width_of_a_pipe(shell: Shell, example: str) -> None:
    answer = shell("plan", EXAMPLES / example)
    assert answer.code == (1 if example.startswith("refused") else 0)
    assert not answer.err
    assert "\x1b" not in answer.out
    for line in answer.out.splitlines():
        assert len(line) <= 100
        assert line == line.rstrip()


def test_a_refused_wish_answers_1_says_why_and_plans_no_work(shell: Shell) -> None:
    answer = shell("plan", REFUSED)
    assert answer.code == 1
    assert re.search(r"^not allowed  150 mm of travel is not permitted", answer.out, re.MULTILINE)
    assert "there is no target" in answer.out
    assert "STEPS" not in answer.out
    assert "BEFORE YOU RELY ON THIS" in answer.out


def test_every_step_is_numbered_and_says_what_to_do(shell: Shell) -> None:
    answer = shell("plan", SHORTEN)
    steps = json.loads(shell("plan", SHORTEN, "--json").out)["steps"]
    work = answer.out[answer.out.index("\nSTEPS ─") :]
    numbers = [int(number) for number in re.findall(r"^ ?(\d+)  \S.* min$", work, re.MULTILINE)]
    assert numbers == list(range(1, len(steps) + 1))
    assert len(re.findall(r"^    do  ", work, re.MULTILINE)) == len(steps)
    hold_points = len(re.findall(r"^ ?\d+  \S.* hold point  +[\d.]+ min$", work, re.MULTILINE))
    assert hold_points == sum(step["hold_point"] for step in steps) > 0


def test_every_caution_of_a_step_stands_above_its_action(shell: Shell) -> None:
    work = shell("plan", SHORTEN).out.split("\nSTEPS ─")[1].split("\nBEFORE YOU")[0]
    for step in re.split(r"\n\n", work):
        leads = re.findall(r"^    (do|DANGER|WARNING|CAUTION|NOTICE)\b", step, re.MULTILINE)
        assert leads[-1:] in ([], ["do"])


def test_tasks_beside_the_wish_are_in_the_work_and_each_step_says_whose_it_is(shell: Shell) -> None:
    done = shell("plan", str(EXAMPLES / "shorten-and-serve-t35.yaml"))
    assert done.code == 0
    assert re.search(r"^tasks +wipers, damper, lower-legs$", done.out, re.MULTILINE)
    assert "lower-legs is already part of this work." in " ".join(done.out.split())
    assert re.search(r"^ +for +damper$", done.out, re.MULTILINE)
    assert done.out.count("Take off the lowers") == 1


def test_units_are_those_asked_for(shell: Shell) -> None:
    metric = shell("plan", SHORTEN).out
    shop = shell("plan", SHORTEN, "--units", "bar,in,lbf-in,lb", "--comma").out
    assert "78 psi" in metric
    assert " psi" not in shop
    assert "5,38 bar" in shop
    assert "5,51 in of travel" in shop
    assert "lbf·in" in shop
    assert "185,2 lb" in shop


def test_json_has_the_keys_of_its_shape_in_order(shell: Shell) -> None:
    answer = shell("plan", SHORTEN, "--json")
    plan = json.loads(answer.out)
    assert answer.code == 0
    assert list(plan) == PLAN_KEYS
    assert plan["shape"] == "plan/1"


def test_every_pressure_in_json_says_gauge_or_absolute(shell: Shell) -> None:
    keys = {key for key in every_key(json.loads(shell("plan", SHORTEN, "--json").out)) if "pressure" in key}
    assert "pressure_gauge" in keys
    assert all(key.endswith(("_gauge", "_abs")) for key in keys - {"as_found_pressure"})


def every_key(shape: object) -> set[str]:
    """The keys of a shape and of everything in it."""
    if isinstance(shape, dict):
        return set(shape) | {key for value in shape.values() for key in every_key(value)}
    return {key for value in shape for key in every_key(value)} if isinstance(shape, list) else set()


def test_text_and_json_say_the_as_found_pressure(shell: Shell) -> None:
    target = json.loads(shell("plan", SHORTEN, "--json").out)["target"]
    psi = round(target["pressure_gauge"]["value"] / 6894.757293168361)  # NIST SP 811 (2008), appendix B
    assert f"→  {psi} psi  gauge, topped out" in shell("plan", SHORTEN).out


def test_the_options_say_how_well_their_columns_are_known(shell: Shell) -> None:
    shape = json.loads(shell("plan", SHORTEN, "--json").out)
    uncertainties = sorted(one["behaviour"]["sag"]["u"] for one in shape["options"])
    middle = (uncertainties[(len(uncertainties) - 1) // 2] + uncertainties[len(uncertainties) // 2]) / 2
    told = " ".join(shell("plan", SHORTEN).out.split())
    rows = f"middle of the rows): pressure ± 1 psi, sag ± {middle * 1e3:.1f} mm, breakaway force ± "
    assert rows in told


def test_a_torque_never_stands_without_its_thread_state(shell: Shell) -> None:
    out = shell("plan", EXAMPLES / "lengthen-p34.yaml").out
    torques = re.findall(r"^    torque  .*$", out, re.MULTILINE)
    assert torques
    assert all("; thread " in torque for torque in torques)


def test_json_of_a_refused_plan_is_a_plan_and_answers_1(shell: Shell) -> None:
    answer = shell("plan", REFUSED, "--json")
    plan = json.loads(answer.out)
    assert answer.code == 1
    assert list(plan) == PLAN_KEYS
    assert plan["target"] is None
    assert not plan["steps"]


def test_json_is_si_whatever_units_are_asked_for(shell: Shell) -> None:
    assert shell("plan", SHORTEN, "--json").out == shell("plan", SHORTEN, "--json", "--units", "bar,in").out


@pytest.mark.slow
@pytest.mark.parametrize("arguments", [(), ("--json",)])
def test_the_same_bytes_whatever_the_seed_zone_and_locale(arguments: tuple[str, ...]) -> None:
    here = {"PYTHONHASHSEED": "1", "TZ": "UTC", "LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONIOENCODING": "ascii"}
    there = {"PYTHONHASHSEED": "4294967295", "TZ": "Pacific/Chatham", "LC_ALL": "de_DE.UTF-8", "COLUMNS": "40"}
    first, second = (process("plan", SHORTEN, *arguments, env=env) for env in (here, there))
    assert first.returncode == second.returncode == 0
    assert not first.stderr
    assert first.stdout == second.stdout
    assert "→" in first.stdout.decode("utf-8") or arguments
