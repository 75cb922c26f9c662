"""Laws of planning over random sheets, builds and intakes. Synthetic: they prove the algorithm, no fact about forks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sagwright.domain.intake import Intake
from sagwright.domain.item import Role
from sagwright.domain.plan import Plan
from sagwright.domain.step import KitKind, Need, Step
from sagwright.domain.value import Unknown
from sagwright.judge import examine
from sagwright.physics.gas import AMBIENT_ABS
from sagwright.planning.plan import make_plan
from sagwright.planning.spring.builds import possible
from sagwright.planning.spring.changes import applied, changes_between
from sagwright.planning.spring.model import fit_of, model_of
from sagwright.planning.work.sequence import timed
from tests.planning.coil_units import any_intakes
from tests.planning.units import intakes

pytestmark = [pytest.mark.law, pytest.mark.filterwarnings("ignore:Generating overly large repr")]


def planned(intake: Intake) -> Plan:
    return make_plan(intake, program="test")


def accepted(intake: Intake) -> Plan:
    """A plan that the judge accepts as it is, so that a refusal after breaking it means something."""
    plan = planned(intake)
    assert verdict(plan, plan.steps) is None
    return plan


def verdict(plan: Plan, steps: tuple[Step, ...]) -> str | None:
    assert plan.target is not None
    refusal = examine(plan.intake.sheet, plan.intake.as_found.build, plan.target.build, steps)
    return None if refusal is None else refusal.rule


@given(any_intakes())
def test_the_changes_applied_to_as_found_give_the_target(intake: Intake) -> None:
    plan = planned(intake)
    assert plan.target is not None
    assert applied(plan.changes, intake.as_found.build) == plan.target.build


@given(any_intakes(wrong=False, unknown=False), any_intakes(wrong=False, unknown=False))
def test_there_and_back_gives_as_found(intake: Intake, other: Intake) -> None:
    found, target = intake.as_found.build, other.as_found.build
    if type(found.setting) is not type(target.setting):
        with pytest.raises(ValueError, match="not of one unit"):
            changes_between(found, target)
        return
    there, back = changes_between(found, target), changes_between(target, found)
    assert applied(back, applied(there, found)) == found


def test_a_change_from_another_value_than_there_is_is_refused() -> None:
    @given(any_intakes(wrong=False, unknown=False))
    def law(intake: Intake) -> None:
        found = intake.as_found.build
        changes = changes_between(found, replace(found, volume_spacers=9))
        with pytest.raises(ValueError, match="volume_spacers is 9"):
            applied(changes, replace(found, volume_spacers=9))

    law()


@given(any_intakes())
def test_the_judge_accepts_every_plan(intake: Intake) -> None:
    accepted(intake)


@given(any_intakes(), st.data())
def test_dropping_a_step_is_refused(intake: Intake, data: st.DataObject) -> None:
    plan = accepted(intake)
    if plan.steps:
        k = data.draw(st.integers(0, len(plan.steps) - 1), label="dropped")
        assert verdict(plan, plan.steps[:k] + plan.steps[k + 1 :]) is not None, plan.steps[k].key


@given(any_intakes(), st.data())
def test_doing_a_step_before_what_it_needs_is_refused_by_the_rule_of_the_need(
    intake: Intake, data: st.DataObject
) -> None:
    plan = accepted(intake)
    needing = [step for step in plan.steps if step.needs]
    if not needing:
        return
    late = data.draw(st.sampled_from(needing), label="done too early")
    early = data.draw(st.sampled_from(late.needs), label="what it needs").step
    keys = [step.key for step in plan.steps]
    a, b = keys.index(early), keys.index(late.key)
    swapped = timed((*plan.steps[:a], late, *plan.steps[a:b], *plan.steps[b + 1 :]))
    broken = {need.rule for need in needs_behind(plan, late) if keys.index(need.step) >= a}
    assert verdict(plan, swapped) in broken


def needs_behind(plan: Plan, step: Step) -> Iterator[Need]:
    """The needs of a step, and those of every step that it needs: what it skips when it is done too early."""
    by_key = {one.key: one for one in plan.steps}
    pending, seen = [step], {step.key}
    while pending:
        for need in pending.pop().needs:
            yield need
            if need.step not in seen:
                seen.add(need.step)
                pending.append(by_key[need.step])


@given(any_intakes())
def test_every_need_is_met_by_an_earlier_step(intake: Intake) -> None:
    done: set[str] = set()
    for step in planned(intake).steps:
        assert {need.step for need in step.needs} <= done
        assert step.key not in done
        done.add(step.key)


@given(any_intakes())
def test_what_comes_off_is_only_what_covers_the_changes(intake: Intake) -> None:
    plan = planned(intake)
    roles = {intake.sheet.item(step.item).role for step in plan.steps}
    changed = {change.field for change in plan.changes}
    if not changed & {"travel_spacers", "equaliser_hole", "shaft_travel", "top_out_spacers", "legs"}:
        assert Role.LOWERS not in roles
    if "volume_spacers" not in changed:
        assert Role.AIR_CAP not in roles
    if not changed & {"top_out_spacers", "coil", "preload_spacers"}:
        assert Role.SPRING_CAP not in roles


@given(any_intakes())
def test_single_use_parts_that_come_off_are_in_the_kit(intake: Intake) -> None:
    plan = planned(intake)
    off = {step.item for step in plan.steps if step.key.startswith("off:")}
    needed = [(part.name, part.size) for key in off for part in intake.sheet.item(key).renew]
    listed = {
        (line.name, line.size): line.amount.value
        for line in plan.kit
        if line.kind is KitKind.SINGLE_USE and line.amount is not None
    }
    assert listed == {part: needed.count(part) for part in needed}


@given(intakes())
def test_the_chambers_of_both_legs_add_up_to_the_stanchions(intake: Intake) -> None:
    # DESIGN's law: in each leg ΣdV/dx = −(outside area of the stanchion), solids and oil do not compress. The sheet's
    # rods must agree with its shaft and damper for that.
    sheet = intake.sheet
    spring_leg, damper_leg = sheet.legs
    legs = (replace(spring_leg, rod=sheet.air.shaft), replace(damper_leg, rod=sheet.damper.rod))
    model = model_of(replace(sheet, legs=legs), fit_of(sheet, possible(intake)[0]), intake.workshop)
    outside = sum(3.141592653589793 / 4 * leg.stanchion.si**2 for leg in legs)
    assert sum(float(chamber.slope) for chamber in model.spring.chambers) == pytest.approx(-outside, rel=1e-12)
    assert model.spring.ambient_abs == AMBIENT_ABS


@given(intakes())
def test_candidates_are_ranked_and_within_the_limits(intake: Intake) -> None:
    plan = planned(intake)
    span = intake.sheet.air.pressure_gauge
    distances = [candidate.distance for candidate in plan.candidates]
    assert (
        distances == sorted(distances)
        or max(abs(a - b) for a, b in zip(distances, sorted(distances), strict=True)) < 1e-8
    )
    assert plan.target is not None
    assert plan.target.pressure_gauge is not None
    assert span.low - 1 <= plan.target.pressure_gauge <= span.high + 1
    again = [candidate for candidate in plan.candidates if candidate.same_pressure]
    known = not isinstance(intake.as_found.build.charge, Unknown) and not intake.as_found.leaked
    assert len(again) == (1 if known else 0)
