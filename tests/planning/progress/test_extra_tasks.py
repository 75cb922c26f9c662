"""Extras found at the stand: tasks that join the work at any point, what is closed in opened once more."""

from __future__ import annotations

from collections import Counter

import pytest

from sagwright.domain.item import Act, ChargeStage
from sagwright.domain.plan import Plan
from sagwright.domain.task import Progress, Task, TaskKind
from sagwright.errors import InputError
from sagwright.judge import examine_sequence
from sagwright.planning.work.tasks import plan_tasks
from sagwright.service.plan import replan
from tests.support.begun_work import SAID_ONE, SHAFT
from tests.support.intakes import PSI, stack_sheet
from tests.support.selections import built, selection_of

DAMPER, WIPERS = Task(TaskKind.DAMPER), Task(TaskKind.WIPERS)
FOUND = (
    DAMPER,
    WIPERS,
    Task(TaskKind.AIR_SPRING),
    Task(TaskKind.LOWER_LEGS),
    Task(TaskKind.INSPECT, item="lower_bushings"),
    Task(TaskKind.INSPECT, item="axle"),
)
OWN = {
    DAMPER: {"off:damper", "on:damper"},
    WIPERS: {"off:wipers", "on:wipers", "off:foam_rings", "on:foam_rings"},
}


def done_of(work: Plan | Plan, count: int) -> tuple[str, ...]:
    return tuple(step.key for step in work.work.steps[:count])


def accepted(rest: Plan) -> None:
    """The judge anew, by itself: `replan` has asked it too."""
    assert rest.target is not None
    steps = (*rest.work.done, *rest.work.steps)
    assert examine_sequence(rest.work.sheet, rest.work.as_found, rest.target.setup, steps) is None


@pytest.mark.slow
@pytest.mark.parametrize("extra", FOUND, ids=lambda task: f"{task.kind} {task.item}".strip())
def test_an_extra_found_at_any_point_is_done_and_nothing_else_is_done_again_for_it(extra: Task) -> None:
    for count in range(0, len(SAID_ONE.work.steps) + 1, 1 if extra in OWN else 4):
        done = done_of(SAID_ONE, count)
        rest = replan(SAID_ONE, Progress(done, tasks=(extra,)))
        accepted(rest)
        assert tuple(step.key for step in rest.work.done) == done
        assert selection_of(rest).intake.tasks == (extra,)
        left = [step.key for step in rest.work.steps]
        assert not set(left) & set(done)
        assert OWN.get(extra, set()) <= set(left)
        twice = {key.rpartition(":")[0] for key in left if key.rpartition(":")[2] == "2"}
        assert twice <= set(done)
        closed = {step.item for step in SAID_ONE.work.steps[:count] if step.act in (Act.ON, Act.CHARGE)}
        assert {rest.work.sheet.item(key.partition(":")[2].split(":")[-1]).key for key in twice} <= closed


def test_before_anything_is_closed_an_extra_is_one_opening() -> None:
    count = next(n for n, step in enumerate(SAID_ONE.work.steps) if step.act is Act.ON)
    rest = replan(SAID_ONE, Progress(done_of(SAID_ONE, count), tasks=(DAMPER, WIPERS)))
    accepted(rest)
    assert max(Counter((step.act, step.item, step.stage) for step in (*rest.work.done, *rest.work.steps)).values()) == 1


@pytest.mark.slow
def test_a_second_opening_is_walked_to_its_end_whatever_is_asked_on_the_way() -> None:
    count = next(n for n, step in enumerate(SAID_ONE.work.steps) if step.stage is ChargeStage.FINAL)
    done = list(done_of(SAID_ONE, count + 1))
    rest = replan(SAID_ONE, Progress(tuple(done), tasks=(DAMPER,)))
    assert rest.work.steps[0].act is Act.OFF
    while rest.work.steps:
        expected = [step.key for step in rest.work.steps[1:]]
        done.append(rest.work.steps[0].key)
        rest = replan(SAID_ONE, Progress(tuple(done), tasks=(DAMPER,)))
        accepted(rest)
        assert sorted(step.key for step in rest.work.steps) == sorted(expected)
    assert [key for key in done if key.startswith("charge:final")] == [
        "charge:final:air_charge",
        "charge:final:air_charge:2",
    ]
    assert done[-1] == "on:readings"


def test_two_extras_one_after_the_other_may_open_a_third_time() -> None:
    first = done_of(SAID_ONE, len(SAID_ONE.work.steps))
    middle = replan(SAID_ONE, Progress(first, tasks=(DAMPER,)))
    second = (*first, *(step.key for step in middle.work.steps))
    rest = replan(SAID_ONE, Progress(second, tasks=(DAMPER, WIPERS)))
    accepted(rest)
    assert "off:lowers:3" in {step.key for step in rest.work.steps}


def test_an_extra_after_a_break_waits_for_the_proofs() -> None:
    done = (*done_of(SAID_ONE, 30), "break")
    rest = replan(SAID_ONE, Progress(done, tasks=(WIPERS,)))
    accepted(rest)
    assert rest.work.steps[0].act is Act.MEASURE


def test_an_extra_of_the_fork_with_shafts_is_proven_too() -> None:
    for count in (10, 20, 30, len(SHAFT.work.steps) - 1):
        accepted(replan(SHAFT, Progress(done_of(SHAFT, count), tasks=(DAMPER,))))


@pytest.mark.parametrize(
    ("extra", "count", "field"),
    [
        (Task(TaskKind.CHANGE_TRAVEL, 0.12), 3, "change-travel"),
        (Task(TaskKind.SET_PRESSURE, 70 * PSI), len(SAID_ONE.work.steps), "set-pressure"),
        (Task(TaskKind.VOLUME_SPACERS, 2.0), 30, "volume-spacers"),
        (Task(TaskKind.MEASURE), 20, "task"),
    ],
)
def test_what_comes_too_late_is_one_message_with_the_next_step(extra: Task, count: int, field: str) -> None:
    with pytest.raises(InputError) as error:
        replan(SAID_ONE, Progress(done_of(SAID_ONE, count), tasks=(extra,)))
    assert error.value.field == field
    assert error.value.remedy


def test_what_an_extra_sets_in_time_is_the_target() -> None:
    count = next(n for n, step in enumerate(SAID_ONE.work.steps) if step.key == "change:volume_spacers")
    extras = (Task(TaskKind.VOLUME_SPACERS, 2.0), Task(TaskKind.SET_PRESSURE, 90 * PSI))
    rest = replan(SAID_ONE, Progress(done_of(SAID_ONE, count), tasks=extras))
    accepted(rest)
    assert rest.target is not None
    assert rest.target.setup.volume_spacers == 2
    assert rest.target.pressure_gauge is not None
    assert rest.target.pressure_gauge.value == pytest.approx(90 * PSI)


@pytest.mark.parametrize("before", [None, "on:lowers", "on:readings"])
def test_tasks_alone_take_extras_too(before: str | None) -> None:
    work = plan_tasks(stack_sheet(), [Task(TaskKind.LOWER_LEGS)], program="test", chassis="mid")
    keys = [step.key for step in work.work.steps]
    done = tuple(keys[: keys.index(before) + 1 if before else 0])
    rest = replan(work, Progress(done, tasks=(DAMPER,)))
    assert {"off:damper", "on:damper"} <= {step.key for step in rest.work.steps}
    assert ("off:lowers:2" in {step.key for step in rest.work.steps}) is (before is not None)
    assert dict(rest.work.needed_by)["off:damper"] == (DAMPER,)
    assert (
        examine_sequence(rest.work.sheet, rest.work.as_found, built(rest), (*rest.work.done, *rest.work.steps)) is None
    )
