"""The rest of a sequence, from what was done and found."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sagwright.domain.plan import Plan
from sagwright.domain.setup import StackSetting
from sagwright.domain.sheet import Sheet
from sagwright.domain.task import Ordering, Progress, Task, TaskKind
from sagwright.domain.value import Unknown
from sagwright.errors import InputError
from sagwright.planning.work.tasks import plan_tasks
from sagwright.service.plan import replan
from tests.support.intakes import PSI, shaft_sheet, stack_sheet

TASKS = (Task(TaskKind.SET_PRESSURE, 80 * PSI), Task(TaskKind.CHANGE_TRAVEL, 0.12), Task(TaskKind.WIPERS))
SHEETS = {"stack": (stack_sheet(), "short"), "shaft": (shaft_sheet(), "standard")}


def planned(sheet: Sheet, chassis: str) -> Plan:
    return plan_tasks(sheet, TASKS, program="test", chassis=chassis, ordering=Ordering())


STACK, SHAFT = (planned(*SHEETS[name]) for name in ("stack", "shaft"))


def keys(work: Plan, count: int) -> tuple[str, ...]:
    return tuple(step.key for step in work.work.steps[:count])


def up_to(work: Plan, key: str) -> tuple[str, ...]:
    """The steps before one."""
    return keys(work, [step.key for step in work.work.steps].index(key))


@given(st.integers(0, len(STACK.work.steps)))
def test_without_a_finding_the_rest_is_the_rest(count: int) -> None:
    rest = replan(STACK, Progress(keys(STACK, count)))
    assert rest.work.done == STACK.work.steps[:count]
    assert rest.work.steps == STACK.work.steps[count:]


@given(st.sampled_from(["stack", "shaft"]), st.integers(0, 36), st.integers(0, 3), st.data())
def test_the_judge_accepts_what_was_done_with_what_is_left(
    name: str, count: int, found: int, data: st.DataObject
) -> None:
    work = {"stack": STACK, "shaft": SHAFT}[name]
    settings = (("volume_spacers", float(found)),)
    rest = replan(work, Progress(keys(work, count), settings, after_break=data.draw(st.booleans())))
    together = {step.key for step in (*rest.work.done, *rest.work.steps)}
    assert {step.key for step in work.work.steps} <= together
    assert all({need.step for need in step.needs} <= together for step in rest.work.steps)


def test_more_volume_spacers_than_the_new_travel_takes_are_said() -> None:
    with pytest.raises(InputError, match="must be at most 3 with the travel that is to be"):
        replan(SHAFT, Progress(found=(("volume_spacers", 4.0),)))


def test_two_spacers_where_the_records_said_one_are_changed_from_two() -> None:
    found = replace(STACK.work.as_found, setting=StackSetting(1, Unknown.UNTIL_OPEN))
    said = replace(STACK, work=replace(STACK.work, as_found=found))
    rest = replan(said, Progress(up_to(STACK, "change:travel_spacers"), (("travel_spacers", 2.0),)))
    change = next(step for step in rest.work.steps if step.key == "change:travel_spacers").changes[0]
    assert (change.before, change.after) == (2, 0)


def test_what_is_found_right_needs_no_change_but_still_goes_back() -> None:
    found = (("travel_spacers", 0.0), ("port_position", 0.0))
    rest = replan(STACK, Progress(up_to(STACK, "change:travel_spacers"), found))
    left = {step.key for step in rest.work.steps}
    assert not left & {"change:travel_spacers", "change:transfer_port"}
    assert {"on:air_shaft", "on:air_retaining_ring", "on:lowers"} <= left


def test_a_failed_part_is_new_in_the_tools_and_parts_and_in_its_step() -> None:
    rest = replan(STACK, Progress(up_to(STACK, "on:air_shaft"), failed=("piston_seal",)))
    assert [part.name for part in next(s for s in rest.work.steps if s.key == "on:air_shaft").renew] == ["piston seal"]
    assert any(line.name == "piston seal" and "on:air_shaft" in line.steps for line in rest.work.tools_and_parts)


def test_a_part_that_failed_after_it_was_fitted_is_refused() -> None:
    done = (*up_to(STACK, "on:air_shaft"), "on:air_shaft")
    with pytest.raises(InputError, match="take off air_shaft before it is renewed"):
        replan(STACK, Progress(done, failed=("piston_seal",)))


def test_a_scratched_stanchion_ends_the_work() -> None:
    rest = replan(STACK, Progress(up_to(STACK, "on:air_shaft"), failed=("coating", "piston_seal")))
    assert [(stop.key, stop.verdict) for stop in rest.work.stops] == [("coating", "do not ride")]
    assert [step.key for step in rest.work.steps] == ["verdict:coating"]
    assert {record.key for record in rest.work.steps[0].records} >= {"photo", "signature"}


def test_a_thread_in_compound_is_never_tightened_again() -> None:
    done = up_to(SHAFT, "on:rebound_knob")
    again = {s.item: s for s in replan(SHAFT, Progress(done, after_break=True)).work.steps if s.act == "measure"}
    assert again["spring_foot_fastener"].torque is not None
    assert again["damper_foot_fastener"].torque is None
    assert "never tightened again" in again["damper_foot_fastener"].do


def test_what_is_proven_again_after_a_rest_is_asked_by_no_task() -> None:
    rest = replan(STACK, Progress(up_to(STACK, "change:travel_spacers"), after_break=True))
    needed = dict(rest.work.needed_by)
    assert needed["measure:again:air_charge"] == ()
    assert any(needed.values())
