"""Every finding that planning can make has a sentence for the numbers it really carries."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sagwright.domain.value import Unknown
from sagwright.phrases.finding_templates import FINDING_TEMPLATES
from sagwright.phrases.findings import finding_sentence
from sagwright.planning.checks.findings import FINDING_CODES
from sagwright.planning.plan import make_plan
from sagwright.units import UnitChoice
from tests.support.finding_cases import CASES, found, plan_with


def test_there_is_a_sentence_for_every_code_and_no_other() -> None:
    assert set(FINDING_TEMPLATES) == set(FINDING_CODES)


@pytest.mark.parametrize("code", FINDING_CODES)
def test_every_finding_of_every_case_can_be_said(code: str) -> None:
    for finding in plan_with(code).findings:
        said = finding_sentence(finding, UnitChoice())
        assert said.endswith(".")
        assert "{" not in said


@pytest.mark.parametrize("code", ["found.transfer-port-behind", "found.transfer-port-ahead"])
def test_a_wrong_transfer_port_is_said_without_a_pressure_too(code: str) -> None:
    unknown = found(CASES[code], charge=Unknown.NOT_MEASURED)
    said = [finding_sentence(finding, UnitChoice()) for finding in make_plan(unknown, program="test").findings]
    assert any("The transfer port is 2 positions" in one for one in said)


def test_a_length_is_said_where_axle_to_crown_is_not_known() -> None:
    intake = CASES["length.changes"]
    chassis = tuple(replace(one, axle_to_crown=None) for one in intake.sheet.chassis)
    plan = make_plan(replace(intake, sheet=replace(intake.sheet, chassis=chassis)), program="test")
    said = next(finding_sentence(one, UnitChoice()) for one in plan.findings if one.code == "length.changes")
    assert said.startswith("The fork's length changes by −10 mm, and with it head angle")
