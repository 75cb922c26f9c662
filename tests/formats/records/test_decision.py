"""What was decided comes back as it was: every step and every line of the kit."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from sagwright.domain.plan import Plan
from sagwright.domain.value import Origin, Value
from sagwright.errors import RecordError
from sagwright.formats.fields.tasks import read_task
from sagwright.formats.intake.load import load_intake
from sagwright.formats.output.plan import plan_to_json
from sagwright.formats.records.decision import read_plan
from sagwright.formats.sheet.load import load_sheet
from sagwright.service.plan import plan, sequence
from tests.support.selections import selection_of
from tests.support.stored import as_stored

EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*.yaml"))


def same_as(read: object, made: object, *names: str) -> None:
    for name in names:
        assert getattr(read, name) == as_stored(getattr(made, name)), name


def wished(made: Plan, **wish: object) -> Plan:
    selection = selection_of(made)
    intake = replace(selection.intake, wish=replace(selection.intake.wish, **wish))  # type: ignore[arg-type]
    return replace(made, selection=replace(selection, intake=intake))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_plan(path: Path) -> None:
    made = plan(load_intake(path))
    read = read_plan(plan_to_json(made))
    intake = selection_of(made).intake
    same_as(read, made, "program", "findings", "target", "cautions")
    same_as(read, made.work, "changes", "tools_and_parts", "steps", "sequence", "needed_by")
    same_as(read, intake, "wish", "tasks")
    assert read.chassis == intake.unit.chassis


@pytest.mark.parametrize(
    "wish",
    [
        {"negative_gauge": Value(5e5, 7e3, Origin.MEASURED)},
        {"second_gauge": Value(9e5), "pressure_gauge": Value(5e5)},
        {"coil": "firm", "preload_spacers": 1, "adjuster": 0.003},
    ],
)
def test_all_that_was_wished_comes_back(wish: dict[str, object]) -> None:
    made = wished(plan(load_intake(EXAMPLES[-2])), **wish)
    same_as(read_plan(plan_to_json(made)), selection_of(made).intake, "wish")


def test_a_plan_of_an_earlier_program_has_no_such_wish() -> None:
    made = plan(load_intake(EXAMPLES[0]))
    assert not {"negative_gauge", "second_gauge", "adjuster"} & json.loads(plan_to_json(made))["intake"]["wish"].keys()


def test_a_plan_of_tasks_alone() -> None:
    tasks = [read_task(text) for text in ("lower-legs", "wipers", "set-pressure=80psi")]
    made = sequence(load_sheet("specimen/t35"), tasks, chassis="mid")
    read = read_plan(plan_to_json(made))
    same_as(read, made, "program", "cautions")
    same_as(read, made.work, "chassis", "tasks", "changes", "tools_and_parts", "steps", "sequence", "needed_by")
    assert (read.wish, read.target, read.findings) == (None, None, ())


@pytest.mark.parametrize(
    "text", ["", "[]", "{}", '{"shape": "plan/9"}', json.dumps({"shape": "plan/1", "tools_and_parts": []})]
)
def test_another_text_is_told(text: str) -> None:
    with pytest.raises(RecordError, match="decided"):
        read_plan(text)
