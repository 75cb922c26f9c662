"""Laws of planning over random sheets, setups and intakes. Synthetic: they prove the algorithm, no fact about forks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from sagwright.domain.intake import Intake
from sagwright.domain.item import Role
from sagwright.domain.plan import Plan
from sagwright.domain.settings import SETTINGS
from sagwright.domain.step import Need, Step, SupplyKind
from sagwright.domain.value import Unknown
from sagwright.judge import examine_sequence
from sagwright.physics.gas import AMBIENT_ABS
from sagwright.planning.plan import make_plan
from sagwright.planning.spring.changes import applied, changes_between
from sagwright.planning.spring.model import fit_of, model_of
from sagwright.planning.spring.setups import possible
from sagwright.planning.work.sequence import timed
from tests.support.coil_intakes import any_intakes
from tests.support.intakes import intakes
from tests.support.selections import selection_of

pytestmark = [pytest.mark.law, pytest.mark.filterwarnings("ignore:Generating overly large repr")]


def planned(intake: Intake) -> Plan:
    return make_plan(intake, program="test")


def verdict(plan: Plan, steps: tuple[Step, ...]) -> str | None:
    assert plan.target is not None
    refusal = examine_sequence(plan.work.sheet, plan.work.as_found, plan.target.setup, steps)
    return None if refusal is None else refusal.rule


# Drawing a plan takes longer than checking it: each plan that is drawn is held to every law.


def its_changes_applied_to_as_found_give_its_target(plan: Plan) -> None:
    assert plan.target is not None
    assert applied(plan.work.changes, plan.work.as_found) == plan.target.setup


def the_judge_accepts_it(plan: Plan) -> None:
    assert verdict(plan, plan.work.steps) is None


def every_need_is_met_by_an_earlier_step(plan: Plan) -> None:
    done: set[str] = set()
    for step in plan.work.steps:
        assert {need.step for need in step.needs} <= done
        assert step.key not in done
        done.add(step.key)


def what_comes_off_is_only_what_covers_its_changes(plan: Plan) -> None:
    roles = {plan.work.sheet.item(step.item).role for step in plan.work.steps}
    changed = {change.field for change in plan.work.changes}
    if not changed & {"travel_spacers", "port_position", "shaft_travel", "top_out_spacers", "legs"}:
        assert Role.LOWERS not in roles
    if "volume_spacers" not in changed:
        assert Role.AIR_CAP not in roles
    if not changed & {"top_out_spacers", "coil", "preload_spacers"}:
        assert Role.SPRING_CAP not in roles


def single_use_parts_that_come_off_are_in_its_kit(plan: Plan) -> None:
    off = {step.item for step in plan.work.steps if step.key.startswith("off:")}
    needed = [(part.name, part.size) for key in off for part in plan.work.sheet.item(key).renew]
    listed = {
        (line.name, line.size): line.amount.value
        for line in plan.work.tools_and_parts
        if line.kind is SupplyKind.SINGLE_USE and line.amount is not None
    }
    assert listed == {part: needed.count(part) for part in needed}


def candidates_of_an_air_fork_are_ranked_and_within_its_limits(plan: Plan) -> None:
    if not plan.work.sheet.spring.holds_air:
        assert plan.target is not None
        assert plan.target.pressure_gauge is None
        return
    span = plan.work.sheet.air.pressure_gauge
    distances = [option.mismatch for option in selection_of(plan).options]
    assert (
        distances == sorted(distances)
        or max(abs(a - b) for a, b in zip(distances, sorted(distances), strict=True)) < 1e-8
    )
    assert plan.target is not None
    assert plan.target.pressure_gauge is not None
    assert span.low - 1 <= plan.target.pressure_gauge.value <= span.high + 1
    again = [option for option in selection_of(plan).options if option.as_found]
    known = not isinstance(plan.work.as_found.charge, Unknown) and not selection_of(plan).intake.as_found.leaked
    assert len(again) == (1 if known else 0)


LAWS: Final = (
    its_changes_applied_to_as_found_give_its_target,
    the_judge_accepts_it,
    every_need_is_met_by_an_earlier_step,
    what_comes_off_is_only_what_covers_its_changes,
    single_use_parts_that_come_off_are_in_its_kit,
    candidates_of_an_air_fork_are_ranked_and_within_its_limits,
)


@given(any_intakes())
def test_a_plan_keeps_every_law(intake: Intake) -> None:
    plan = planned(intake)
    for law in LAWS:
        law(plan)


@given(any_intakes(), st.data())
def test_a_spoilt_plan_is_refused(intake: Intake, data: st.DataObject) -> None:
    """A step is dropped; a step is done before what it needs, and the rule of the need refuses it."""
    plan = planned(intake)
    assert verdict(plan, plan.work.steps) is None  # so that a refusal after breaking it means something
    needing = [step for step in plan.work.steps if step.needs]
    assume(needing)
    k = data.draw(st.integers(0, len(plan.work.steps) - 1), label="dropped")
    assert verdict(plan, plan.work.steps[:k] + plan.work.steps[k + 1 :]) is not None, plan.work.steps[k].key
    late = data.draw(st.sampled_from(needing), label="done too early")
    early = data.draw(st.sampled_from(late.needs), label="what it needs").step
    keys = [step.key for step in plan.work.steps]
    a, b = keys.index(early), keys.index(late.key)
    swapped = timed((*plan.work.steps[:a], late, *plan.work.steps[a:b], *plan.work.steps[b + 1 :]))
    broken = {need.rule for need in needs_behind(plan, late) if keys.index(need.step) >= a}
    assert verdict(plan, swapped) in broken


def needs_behind(plan: Plan, step: Step) -> Iterator[Need]:
    """The needs of a step, and those of every step that it needs: what it skips when it is done too early."""
    by_key = {one.key: one for one in plan.work.steps}
    pending, seen = [step], {step.key}
    while pending:
        for need in pending.pop().needs:
            yield need
            if need.step not in seen:
                seen.add(need.step)
                pending.append(by_key[need.step])


@given(any_intakes(wrong=False, unknown=False), any_intakes(wrong=False, unknown=False))
def test_there_and_back_gives_as_found(intake: Intake, other: Intake) -> None:
    found, target = intake.as_found.setup, other.as_found.setup
    assume(type(found.setting) is type(target.setting))
    there, back = changes_between(found, target), changes_between(target, found)
    assert applied(back, applied(there, found)) == found


@given(any_intakes(wrong=False, unknown=False), any_intakes(wrong=False, unknown=False))
def test_there_is_no_change_between_two_kinds_of_unit(intake: Intake, other: Intake) -> None:
    found, target = intake.as_found.setup, other.as_found.setup
    assume(type(found.setting) is not type(target.setting))
    with pytest.raises(ValueError, match="not of one unit"):
        changes_between(found, target)


@given(any_intakes(wrong=False, unknown=False))
def test_a_change_from_another_value_than_there_is_is_refused(intake: Intake) -> None:
    found = intake.as_found.setup
    row = next(row for row in SETTINGS if row.key in {"volume_spacers", "preload_spacers"} and row.has(found))
    other = row.put(found, 9)
    changes = changes_between(found, other)
    with pytest.raises(ValueError, match=f"{row.key} is 9"):
        applied(changes, other)


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
