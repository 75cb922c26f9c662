"""`sagwright steps`."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from tests.support.command_line import Answer, Shell, process

UNIT = ("steps", "specimen/t35", "--chassis", "mid", "--task", "set-pressure=80psi")
WORK = (*UNIT, "--task", "change-travel=130mm", "--task", "wipers")
KEYS = [
    "shape",
    "program",
    "sheet",
    "chassis",
    "tasks",
    "changes",
    "tools_and_parts",
    "steps",
    "done",
    "stops",
    "sequence",
]


def test_it_works(shell: Shell) -> None:
    answer = shell(*WORK)
    assert (answer.code, answer.err) == (0, "")
    assert "tasks     set-pressure 80 psi, change-travel 130 mm, wipers\n" in answer.out
    assert "No order of these steps takes less work." in answer.out
    assert answer.out.index("Take off the lowers") < answer.out.index("Take out the wipers")
    assert "Before you rely on this".upper() in answer.out
    assert max(map(len, answer.out.splitlines())) <= 100


def test_interlocks_are_named_in_the_steps_and_explained_once(shell: Shell) -> None:
    said = shell(*WORK).out
    steps_part, reasons = said.split("WHY THIS ORDER")
    number = [step["key"] for step in steps(shell(*WORK, "--json"))].index("on:air_retaining_ring") + 1
    assert f"    after     {number} (retainer-checked)\n" in steps_part
    for rule in ("confirmed-empty", "feet-ready", "seat-free", "oil-part-way", "charge-before-lowers", "cycled"):
        assert f"({rule})" in steps_part
        assert reasons.count(f"\n{rule} ") == 1


def test_one_page_keeps_torques_fills_and_hold_points(shell: Shell) -> None:
    page, whole = shell(*WORK, "--one-page").out, shell(*WORK).out
    assert len(page.splitlines()) < len(whole.splitlines()) / 2
    for label in ("torque", "fluid", "record", "pressure", "set", "new"):
        assert page.count(f"\n    {label} ") == whole.count(f"\n    {label} "), label
    assert "\n    do " not in page
    assert page.count(" hold point\n") == len([step for step in steps(shell(*WORK, "--json")) if step["hold_point"]])


def test_json_holds_the_steps_the_proof_and_what_needs_each(shell: Shell) -> None:
    shape = json.loads(shell(*WORK, "--json").out)
    assert list(shape) == [
        "shape",
        "program",
        "sheet",
        "chassis",
        "tasks",
        "changes",
        "tools_and_parts",
        "steps",
        "sequence",
        "cautions",
        "done",
        "stops",
    ]
    assert shape["shape"] == "plan/1"
    assert shape["sequence"]["optimal"] is True
    assert shape["sequence"]["cost"] == shape["sequence"]["bound"]
    assert all(step["needed_by"] for step in shape["steps"])


def test_why_says_what_needs_a_step_and_what_it_waits_for(shell: Shell) -> None:
    said = shell(*WORK, "--why", "on:lowers").out
    assert "Needed by: change-travel 130 mm, wipers." in said
    assert "charge:assembly:air_charge" in said.split("WHAT WAITS FOR IT")[0]
    assert "oil-part-way" in said.split("WHAT WAITS FOR IT")[1]
    number = [step["key"] for step in steps(shell(*WORK, "--json"))].index("on:lowers") + 1
    assert shell(*WORK, "--why", str(number)).out == said


def test_why_names_a_step_that_is_not_there(shell: Shell) -> None:
    answer = shell(*WORK, "--why", "off:coil")
    assert answer.code == 2
    assert "must be a step of the sequence, got 'off:coil'" in answer.err


def test_the_drawing_has_a_box_for_every_step_and_no_line_upwards(shell: Shell) -> None:
    root = ET.fromstring(shell(*WORK, "--drawing").out)
    name = "{http://www.w3.org/2000/svg}"
    keys = [group.findtext(f"{name}title") for group in root.findall(f"{name}g")]
    assert keys == [step["key"] for step in steps(shell(*WORK, "--json"))]
    for path in root.findall(f"{name}path"):
        start, end = path.attrib["d"].split("C")
        assert float(start[1:].split()[1]) < float(end.split("M")[0].split()[-1])


def test_an_earlier_order_is_read_from_a_file(shell: Shell, tmp_path: Path) -> None:
    keys = [step["key"] for step in steps(shell(*WORK, "--json"))]
    a, b = keys.index("off:spring_foot_fastener"), keys.index("off:damper_foot_fastener")
    keys[a], keys[b] = keys[b], keys[a]
    earlier = tmp_path / "earlier.json"
    earlier.write_text(json.dumps({"steps": [{"key": key} for key in keys]}), "utf-8")
    now = [str(step["key"]) for step in steps(shell(*WORK, "--json", "--earlier", earlier))]
    tools = [key for key in now if key.startswith("off:") and "fastener" in key]
    assert tools == ["off:damper_foot_fastener", "off:spring_foot_fastener"]


def test_an_unreadable_earlier_order_is_one_message(shell: Shell, tmp_path: Path) -> None:
    earlier = tmp_path / "earlier.json"
    for text in ("", "[", "[]", '{"steps": 1}', "[" * 100_000):
        earlier.write_text(text, "utf-8")
        answer = shell(*WORK, "--earlier", earlier)
        assert answer.code == 2
        assert "must hold the steps of an earlier order" in answer.err
    assert shell(*WORK, "--earlier", tmp_path).code == 2


def test_it_goes_on_after_a_number_of_steps(shell: Shell) -> None:
    whole = steps(shell(*WORK, "--json"))
    rest = json.loads(shell(*WORK, "--json", "--done", "16").out)
    assert rest["done"] == [step["key"] for step in whole[:16]]
    assert [step["key"] for step in rest["steps"]] == [step["key"] for step in whole[16:]]


def test_after_a_break_charge_and_torques_are_rechecked_first(shell: Shell) -> None:
    whole = [str(step["key"]) for step in steps(shell(*WORK, "--json"))]
    done = str(whole.index("cycle:air_charge"))
    rest = steps(shell(*WORK, "--json", "--done", done, "--after-break"))
    again = [step["key"] for step in rest if str(step["key"]).startswith("measure:again:")]
    assert [step["key"] for step in rest[: len(again)]] == again
    assert set(again) == {
        "measure:again:air_charge",
        "measure:again:spring_foot_fastener",
        "measure:again:damper_foot_fastener",
        "measure:again:rebound_knob",
    }
    assert "because nobody remembers" in shell(*WORK, "--done", done, "--after-break", "--why", "cycle:air_charge").out


def test_an_extra_joins_the_rest_and_opens_once_more_what_is_closed(shell: Shell) -> None:
    whole = [str(step["key"]) for step in steps(shell(*WORK, "--json"))]
    done = str(whole.index("cycle:air_charge"))
    rest = [step["key"] for step in steps(shell(*WORK, "--json", "--done", done, "--extra", "damper"))]
    assert {"off:lowers:2", "off:damper", "on:damper", "charge:final:air_charge"} <= set(rest)
    late = shell(*WORK, "--done", done, "--extra", "measure")
    assert late.code == 2
    assert "comes too late" in late.err


def test_what_ends_the_work_answers_1_and_says_what_follows(shell: Shell) -> None:
    answer = shell(*WORK, "--done", "14", "--failed", "coating")
    assert answer.code == 1
    assert "Stop. Not as it must be: Scratches and wear of the coating" in answer.out
    assert "do not ride" in answer.out
    assert "Stop work and record the verdict" in answer.out
    assert "Take off" not in answer.out


def test_a_unit_that_stays_stuck_down_is_sent_out(shell: Shell) -> None:
    answer = shell(*WORK, "--done", "2", "--failed", "moves_and_stays")
    assert answer.code == 1
    assert "open nothing more, least of all what holds gas in, and send it out" in " ".join(answer.out.split())


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--done", "off:readings,off:lowers"), "must come after off:spring_lower_leg_oil, by the rule covered"),
        (("--done", "off:coil"), "must be a step of this work, got 'off:coil'"),
        (("--failed", "rust"), "must be a criterion or a record of this work"),
        (("--found", "spacers=2"), "must be a setting, got 'spacers'. There are: travel_spacers"),
        (("--found", "shaft_travel=130mm"), "must be a setting of this unit"),
    ],
)
def test_progress_that_cannot_be_is_refused(shell: Shell, options: tuple[str, str], said: str) -> None:
    answer = shell(*WORK, *options)
    assert answer.code == 2
    assert said in answer.err


def test_prices_are_settable(shell: Shell) -> None:
    free = json.loads(shell(*WORK, "--json", "--tool-change", "0 min", "--position-change", "0 min").out)
    assert free["sequence"]["cost"]["value"] == sum(step["time"]["value"] for step in free["steps"])
    assert shell(*WORK, "--tool-change", "-1 min").code == 2


def test_a_time_limit_of_nothing_still_gives_a_valid_order(shell: Shell) -> None:
    shape = json.loads(shell(*WORK, "--json", "--time-limit", "0 min").out)
    done: set[str] = set()
    for step in shape["steps"]:
        assert {need["step"] for need in step["needs"]} <= done
        done.add(step["key"])


def test_the_same_bytes_under_another_hash_seed(shell: Shell) -> None:
    here = shell(*WORK, "--json").out
    for seed in ("1", "2"):
        assert process(*WORK, "--json", env={"PYTHONHASHSEED": seed}).stdout.decode() == here


def steps(answer: Answer) -> list[dict[str, object]]:
    found: list[dict[str, object]] = json.loads(answer.out)["steps"]
    return found
