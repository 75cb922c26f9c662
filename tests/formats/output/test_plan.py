"""The JSON of a plan: keys pinned, numbers with their uncertainty, nothing that JSON cannot say."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given

from sagwright.domain.intake import Intake
from sagwright.errors import InputErrors, OutOfRange, UnknownKey
from sagwright.formats.json_text import dump_json, errors_to_json
from sagwright.formats.output.plan import plan_to_json
from sagwright.planning.plan import make_plan
from tests.support.finding_cases import CASES
from tests.support.intakes import intakes

KEYS = {
    "": "shape program intake sheet findings options target changes tools_and_parts steps sequence spring cautions "
    "stance"
    " done stops reassembly",
    "intake": "name unit as_found rider load front_scale bike technician answers wish tasks workshop",
    "sheet": "name maker model revision base",
    "target": "setup travel pressure_gauge preload behaviour mismatch mismatch_low as_found_pressure at_limit "
    "permitted",
    "spring": (
        "load aim slow_exponent stroke_exponent ideal_error noticeable as_found as_found_curve"
        " as_found_friction target_friction as_found_preload sag_tells_gauge target target_curve"
    ),
    "findings": "code severity field figures words",
    "changes": "field before after",
    "tools_and_parts": "kind name size amount at_most special steps",
    "steps": "key act item name do position time needs tools torque fluid cautions hold_point records waiting "
    "changes stage"
    " pressure_gauge renew inspect idle press rules needed_by",
    "cautions": "signal text",
    "stance": "topped_out sagged rear_sag_fraction outline rider_loads clearance",
}


def shape_of(intake: Intake) -> dict[str, Any]:
    shape: dict[str, Any] = json.loads(plan_to_json(make_plan(intake, program="test 1")))
    return shape


@pytest.mark.parametrize("part", KEYS)
def test_the_keys_of_plan_1_are_pinned(part: str) -> None:
    shape = shape_of(CASES["length.changes"])
    inner = shape[part] if part else shape
    assert " ".join(inner[0] if isinstance(inner, list) else inner) == KEYS[part]


def test_what_nobody_knows_is_said() -> None:
    shape = shape_of(CASES["found.unknown-until-open"])
    assert shape["intake"]["as_found"]["setup"]["volume_spacers"] == {"unknown": "until open"}
    assert shape["intake"]["as_found"]["travel"] == {"unknown": "not measured"}


def test_a_refused_plan_has_no_target_and_no_work() -> None:
    shape = shape_of(CASES["travel.not-permitted"])
    assert (shape["target"], shape["changes"], shape["tools_and_parts"], shape["steps"]) == (None, [], [], [])


@pytest.mark.slow
@pytest.mark.law
@given(intakes())
def test_every_plan_is_json_and_the_same_twice(intake: Intake) -> None:
    text = plan_to_json(make_plan(intake, program="test 1"))
    assert text == plan_to_json(make_plan(intake, program="test 1"))
    assert json.loads(text)["shape"] == "plan/1"
    assert text.endswith("}\n")


def test_a_minus_zero_is_a_zero_and_text_is_not_escaped() -> None:
    assert dump_json({"a": -0.0, "b": "26 N·m"}) == '{\n  "a": 0.0,\n  "b": "26 N·m"\n}\n'


def test_errors_keep_their_fields() -> None:
    one = OutOfRange("must be positive", value="-1", remedy="Count.", file="a.yaml", line=3, field="b")
    two = UnknownKey("is a key that nothing reads", file="a.yaml", line=2)
    shape = json.loads(errors_to_json(InputErrors((one, two))))
    assert [error["kind"] for error in shape["errors"]] == ["UnknownKey", "OutOfRange"]
    assert shape["errors"][1]["message"] == "a.yaml:3: b must be positive, got '-1'. Count."
    assert shape["errors"][1]["line"] == 3
