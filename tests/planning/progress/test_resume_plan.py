"""The rest of a plan, from what was done and what was found: open and see."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sagwright.domain.item import Act, ThreadState
from sagwright.domain.plan import Plan
from sagwright.domain.task import Progress
from sagwright.errors import OutOfRange
from sagwright.service.plan import replan
from tests.support.begun_work import PLANS, SAID_ONE, SHAFT, accepted, up_to
from tests.support.intakes import PSI
from tests.support.selections import selection_of


@pytest.mark.parametrize("name", PLANS)
def test_nothing_found_leaves_the_rest_as_it_was(name: str) -> None:
    work = PLANS[name]
    for count in (0, 5, 20, len(work.work.steps)):
        rest = replan(work, Progress(tuple(step.key for step in work.work.steps[:count])))
        assert (rest.work.done, rest.work.steps) == (work.work.steps[:count], work.work.steps[count:])
        assert rest.target == work.target


def test_two_spacers_where_the_sheet_said_one_change_the_list_and_the_target() -> None:
    found = Progress(up_to(SAID_ONE, "change:travel_spacers"), (("travel_spacers", 2.0), ("port_position", 1.0)))
    rest = replan(SAID_ONE, found)
    accepted(rest)
    changes = {change.field: (change.before, change.after) for change in rest.work.changes}
    assert "travel_spacers" not in changes
    assert changes["port_position"] == (1, 2)
    assert "change:travel_spacers" not in {step.key for step in rest.work.steps}
    # as found it was another fork, with its transfer port in another place: how it rode is no longer the aim
    assert selection_of(rest).spring.aim != selection_of(SAID_ONE).spring.aim
    assert selection_of(rest).intake.wish == selection_of(SAID_ONE).intake.wish


def test_volume_spacers_found_before_the_cap_is_on_settle_the_choice() -> None:
    rest = replan(SAID_ONE, Progress(up_to(SAID_ONE, "change:volume_spacers"), (("volume_spacers", 3.0),)))
    accepted(rest)
    assert any(row.mismatch != row.mismatch_low for row in selection_of(SAID_ONE).options)
    assert all(row.mismatch == row.mismatch_low for row in selection_of(rest).options)
    assert rest.work.as_found.volume_spacers == 3


def test_what_is_closed_in_stays_as_it_was_decided() -> None:
    assert SAID_ONE.target is not None
    done = (*up_to(SAID_ONE, "on:air_cap"), "on:air_cap")
    rest = replan(SAID_ONE, Progress(done, (("volume_spacers", 3.0),)))
    accepted(rest)
    assert rest.target is not None
    assert rest.target.setup.volume_spacers == SAID_ONE.target.setup.volume_spacers


def test_a_shaft_nobody_saw_settles_at_its_hold() -> None:
    rest = replan(SHAFT, Progress(up_to(SHAFT, "change:air_shaft"), (("shaft_travel", 0.14),)))
    accepted(rest)
    (change,) = next(step for step in rest.work.steps if step.key == "change:air_shaft").changes
    assert (change.before, change.after) == (0.14, 0.12)
    proof = next(step for step in rest.work.steps if step.key == "on:readings")
    (record,) = (record for record in proof.records if record.key == "exposed_change")
    assert record.low == pytest.approx(-0.022)
    assert record.high == pytest.approx(-0.018)


@pytest.mark.parametrize(
    ("failed", "before", "verdict"),
    [("coating", "on:air_shaft", "do not ride"), ("moves_and_stays", "off:air_charge", None)],
)
def test_what_ends_the_work_leaves_its_verdict_with_photo_and_signature(
    failed: str, before: str, verdict: str | None
) -> None:
    """A scratched stanchion; a fork that is drawn in and won't extend."""
    rest = replan(SAID_ONE, Progress(up_to(SAID_ONE, before), failed=(failed,)))
    accepted(rest)
    assert [(stop.key, stop.verdict) for stop in rest.work.stops] == [(failed, verdict)]
    (last,) = rest.work.steps
    assert last.act is Act.VERDICT
    assert {record.key for record in last.records} >= {"photo", "signature", "not_rideable"}


def test_a_missing_washer_is_renewed() -> None:
    rest = replan(SAID_ONE, Progress(up_to(SAID_ONE, "on:spring_foot_seat"), failed=("spring_washer",)))
    accepted(rest)
    assert rest.work.stops == ()
    assert "spring washer" in {part.name for step in rest.work.steps for part in step.renew}


@pytest.mark.slow
@pytest.mark.parametrize("name", PLANS)
def test_after_a_break_charge_and_torques_are_proven_before_anything_else(name: str) -> None:
    work = PLANS[name]
    for count in range(1, len(work.work.steps)):
        done = tuple(step.key for step in work.work.steps[:count])
        rest = replan(work, Progress(done, after_break=True))
        accepted(rest)
        tightened = [step for step in work.work.steps[:count] if step.torque and step.act in (Act.ON, Act.CHANGE)]
        first = rest.work.steps[: 1 + len({step.item for step in tightened})]
        assert all(step.act is Act.MEASURE for step in first)
        assert {step.item for step in first} == {"air_charge", *(step.item for step in tightened)}
        assert rest.work.done[-1].act is Act.BREAK
        assert any("not_rideable" in record.key for record in rest.work.done[-1].records)


def test_a_thread_in_compound_is_only_looked_at() -> None:
    done = tuple(step.key for step in SHAFT.work.steps[:-1])
    rest = replan(SHAFT, Progress(done, after_break=True))
    again = {step.item: step for step in rest.work.steps if step.act is Act.MEASURE}
    states = {step.item: step.torque.state for step in SHAFT.work.steps if step.torque and step.act is not Act.OFF}
    assert {item for item, step in again.items() if step.torque is None} - {"air_charge"} == {
        item for item, state in states.items() if state is ThreadState.COMPOUND
    }


def test_two_breaks_are_two_events_and_what_was_proven_between_them_is_rechecked() -> None:
    begun = tuple(step.key for step in SAID_ONE.work.steps[:6])
    first = replan(SAID_ONE, Progress(begun, after_break=True))
    again = tuple(step.key for step in first.work.steps if step.act is Act.MEASURE)
    more = first.work.steps[len(again)].key
    rest = replan(SAID_ONE, Progress((*begun, "break", *again, more, "break")))
    accepted(rest)
    assert [step.key for step in rest.work.done if step.act is Act.BREAK] == ["break:1", "break:2"]
    assert rest.work.steps[0].key == "measure:again2:air_charge"
    with pytest.raises(OutOfRange, match="by the rule rechecked"):
        replan(SAID_ONE, Progress((*begun, "break", more)))


def test_a_refused_plan_cannot_be_gone_on_with() -> None:
    refused = replace(SAID_ONE, selection=replace(selection_of(SAID_ONE), target=None))
    with pytest.raises(OutOfRange, match="must not be refused"):
        replan(refused, Progress())


@st.composite
def progresses(draw: st.DrawFn, work: Plan) -> Progress:
    """Some of the work done, and anything found on the way that can still be answered."""
    done = work.work.steps[: draw(st.integers(0, len(work.work.steps)))]
    setting = (
        ("travel_spacers", float(draw(st.integers(0, 3))))
        if work is SAID_ONE
        else ("shaft_travel", draw(st.sampled_from([0.1, 0.12, 0.13, 0.14])))
    )
    found = [setting, ("volume_spacers", float(draw(st.integers(0, 2))))]
    if not any(step.act is Act.CHARGE for step in done):
        found.append(("pressure", draw(st.floats(60.0, 100.0)) * PSI))
    sheet = work.work.sheet
    fitted = {one.key for step in done if step.act is Act.ON for one in sheet.item(step.item).inspect}
    seen = sorted({one.key for step in done for one in step.inspect} - fitted)
    failed = draw(st.lists(st.sampled_from(seen), max_size=1)) if seen else []
    return Progress(tuple(step.key for step in done), tuple(found), tuple(failed), draw(st.booleans()))


@pytest.mark.slow
@pytest.mark.law
@given(st.data())
def test_the_judge_accepts_what_is_left_whatever_was_found(data: st.DataObject) -> None:
    work = data.draw(st.sampled_from(list(PLANS.values())))
    rest = replan(work, data.draw(progresses(work)))
    if rest.target is None:
        assert rest.refused
    if rest.target is not None or rest.reassembly is not None:
        accepted(rest)
