"""Our own faults: the judge's refusal exits 3 and says so, and nothing unexpected shows a traceback."""

from __future__ import annotations

import pathlib
from dataclasses import replace

import pytest

from sagwright.cli.main import run
from sagwright.domain.intake import Intake
from sagwright.domain.plan import Plan
from sagwright.planning.plan import make_plan
from sagwright.service import plan as service

EXAMPLE = str(pathlib.Path(__file__).parents[2] / "examples" / "shorten-t35.yaml")


def test_a_plan_that_the_judge_refuses_is_exit_3(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def careless(intake: Intake, *, program: str) -> Plan:
        plan = make_plan(intake, program=program)
        steps = tuple(step for step in plan.work.steps if step.key != "check:air_retaining_ring")
        return replace(plan, work=replace(plan.work, steps=steps))

    monkeypatch.setattr(service, "make_plan", careless)
    assert run(["plan", EXAMPLE]) == 3
    captured = capsys.readouterr()
    assert captured.out == ""
    assert "A defect in Sagwright" in captured.err
    assert "retainer-checked" in captured.err


def test_anything_unexpected_is_exit_3_in_one_line(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(intake: Intake, *, program: str) -> Plan:
        raise ZeroDivisionError("by the test")

    monkeypatch.setattr(service, "make_plan", broken)
    assert run(["plan", EXAMPLE]) == 3
    error = capsys.readouterr().err
    assert "ZeroDivisionError: by the test" in error
    assert "Traceback" not in error
