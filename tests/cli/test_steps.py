"""`sagwright steps`."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree as ET

from tests.cli.running import Answer, Shell, process

UNIT = ("steps", "specimen/t35", "--chassis", "mid", "--task", "set-pressure=80psi")
WORK = (*UNIT, "--task", "change-travel=130mm", "--task", "wipers")


def test_it_works(shell: Shell) -> None:
    answer = shell(*WORK)
    assert (answer.code, answer.err) == (0, "")
    assert "tasks     set-pressure 80 psi, change-travel 130 mm, wipers\n" in answer.out
    assert "Proven: no order of these steps is less" in answer.out
    assert answer.out.index("Take off the lowers") < answer.out.index("Take off the wipers")
    assert "Before you rely on this".upper() in answer.out
    assert max(map(len, answer.out.splitlines())) <= 100


def test_one_page_keeps_torques_fills_and_gates(shell: Shell) -> None:
    page, whole = shell(*WORK, "--one-page").out, shell(*WORK).out
    assert len(page.splitlines()) < len(whole.splitlines()) / 2
    for label in ("torque", "fluid", "record", "pressure", "set", "new"):
        assert page.count(f"\n    {label} ") == whole.count(f"\n    {label} "), label
    assert "\n    do " not in page
    assert page.count(" gate\n") == len([step for step in steps(shell(*WORK, "--json")) if step["gate"]])


def test_json_holds_the_steps_the_proof_and_what_needs_each(shell: Shell) -> None:
    shape = json.loads(shell(*WORK, "--json").out)
    assert list(shape) == ["shape", "program", "sheet", "chassis", "tasks", "changes", "kit", "steps", "sequence"]
    assert shape["shape"] == "steps/1"
    assert shape["sequence"]["proven"] is True
    assert shape["sequence"]["cost"] == shape["sequence"]["bound"]
    assert all(step["needed_by"] for step in shape["steps"])


def test_why_says_what_needs_a_step_and_what_it_waits_for(shell: Shell) -> None:
    said = shell(*WORK, "--why", "on:lowers").out
    assert "Needed by: change-travel 130 mm, wipers." in said
    assert "charge:holding:air_charge" in said.split("WHAT WAITS FOR IT")[0]
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
    now = [step["key"] for step in steps(shell(*WORK, "--json", "--earlier", earlier))]
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
