"""Friction: sag from both sides, and what starts a fork."""

from __future__ import annotations

import pytest

from sagwright.domain.setup import StackSetting
from sagwright.planning.plan import make_plan
from tests.support.intakes import PSI, charge, intake_of, stack_sheet
from tests.support.selections import selection_of


def test_a_plan_says_both_sags_and_both_starts() -> None:
    # Common practice, no source: friction grows by 30 to 50 % with wheel and axle clamped.
    sheet = stack_sheet()
    found = charge(78.0)
    setting = StackSetting(0, 0)
    view = selection_of(
        make_plan(intake_of(sheet, setting, chassis="mid", travel=0.14, charge=found), program="test")
    ).spring
    assert found.pressure_gauge.si == pytest.approx(78 * PSI)
    for friction, behaviour in ((view.as_found_friction, view.as_found[0]), (view.target_friction, view.target)):
        assert friction is not None
        assert behaviour is not None
        assert friction.sag.after_lifting < behaviour.sag.value < friction.sag.after_pressing
        assert friction.sag.middle == pytest.approx(behaviour.sag.value)
        assert friction.breakaway == pytest.approx(behaviour.breakaway.value)
        more = friction.breakaway_with_wheel - friction.breakaway
        assert 0.3 <= more / sheet.friction.breakaway.si <= 0.5
