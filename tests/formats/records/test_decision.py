"""What was decided comes back as it was: every step and every line of tools and parts, from either shape."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from sagwright.errors import RecordError
from sagwright.formats.fields.tasks import read_task
from sagwright.formats.intake.load import load_intake
from sagwright.formats.output.plan import plan_to_json
from sagwright.formats.output.work import sequence_shape, step_shape, steps_to_json, supply_shape
from sagwright.formats.records.decision import read_work
from sagwright.formats.sheet.load import load_sheet
from sagwright.service.plan import plan, sequence

EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*.yaml"))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_plan(path: Path) -> None:
    made = plan(load_intake(path))
    read = read_work(plan_to_json(made))
    assert [step_shape(step) for step in read.steps] == [step_shape(step) for step in made.steps]
    assert [supply_shape(line) for line in read.tools_and_parts] == [
        supply_shape(line) for line in made.tools_and_parts
    ]
    assert read.cautions == made.cautions
    assert read.sequence == made.sequence
    assert read.program == made.program


def test_a_sequence() -> None:
    tasks = [read_task(text) for text in ("lower-legs", "wipers", "set-pressure=80psi")]
    made = sequence(load_sheet("specimen/t35"), tasks, chassis="mid")
    read = read_work(steps_to_json(made))
    assert [step_shape(step) for step in read.steps] == [step_shape(step) for step in made.steps]
    assert read.sequence is not None
    assert made.sequence is not None
    assert sequence_shape(read.sequence) == sequence_shape(made.sequence)


@pytest.mark.parametrize(
    "text", ["", "[]", "{}", '{"shape": "plan/9"}', json.dumps({"shape": "plan/1", "tools_and_parts": []})]
)
def test_another_text_is_told(text: str) -> None:
    with pytest.raises(RecordError, match="decided"):
        read_work(text)
