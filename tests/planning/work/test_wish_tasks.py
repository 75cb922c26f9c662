"""A wish for travel with tasks beside it: one opening, one filling, one charge, every task in it."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from itertools import chain

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sagwright.domain.finding import Severity
from sagwright.domain.intake import Intake
from sagwright.domain.item import Act, ChargeStage, Role
from sagwright.domain.plan import Plan
from sagwright.domain.setup import Charge, CoilFitting, Setting, ShaftSetting, StackSetting, coil_setup
from sagwright.domain.sheet import ShaftPerTravel, Sheet
from sagwright.domain.step import SupplyKind
from sagwright.domain.task import Task, TaskKind
from sagwright.domain.value import Unknown
from sagwright.errors import InputError
from sagwright.judge import examine_sequence
from sagwright.planning.plan import make_plan
from sagwright.planning.spring.setups import setting_for
from sagwright.planning.work.sequence import timed
from sagwright.planning.work.tasks import plan_tasks
from tests.support.intakes import PSI, charge, intake_of, shaft_sheet, shipped, stack_sheet, value
from tests.support.selections import selection_of

FORKS = ("t35", "p34", "s38", "v34", "n32", "b38", "c38")
"""Every demo fork; the shock has no plan."""

SERVICE = tuple(Task(kind) for kind in (TaskKind.LOWER_LEGS, TaskKind.WIPERS, TaskKind.DAMPER, TaskKind.MEASURE))
AIR = (
    *SERVICE,
    Task(TaskKind.AIR_SPRING),
    Task(TaskKind.VOLUME_SPACERS, 1.0),
    Task(TaskKind.INSPECT, item="lowers"),
    Task(TaskKind.SET_PRESSURE, 75 * PSI),
)
COIL = (
    *SERVICE[:3],
    Task(TaskKind.COIL_SPRING),
    Task(TaskKind.PRELOAD_SPACERS, 1.0),
    Task(TaskKind.SET_PRELOAD, 2.0),
    Task(TaskKind.INSPECT, item="lowers"),
)


def fork(*tasks: Task, travel: float = 0.14, sheet: Sheet | None = None, **more: object) -> Intake:
    """The demo fork at 150 mm, to become 140 mm, with tasks."""
    intake = intake_of(sheet or stack_sheet(), StackSetting(0, 0), chassis="mid", travel=travel, charge=charge(78.0))
    return replace(intake, tasks=tasks, **more)  # type: ignore[arg-type]


def planned(intake: Intake) -> Plan:
    return make_plan(intake, program="test")


def refused_by(plan: Plan) -> str | None:
    assert plan.target is not None
    intake = selection_of(plan).intake
    refusal = examine_sequence(intake.sheet, intake.as_found.setup, plan.target.setup, plan.work.steps)
    return None if refusal is None else refusal.rule


def keys(plan: Plan) -> set[str]:
    return {step.key for step in plan.work.steps}


def test_what_is_shared_is_opened_filled_tightened_and_charged_once() -> None:
    alone = planned(fork())
    both = planned(fork(Task(TaskKind.DAMPER), Task(TaskKind.WIPERS)))
    service = plan_tasks(stack_sheet(), [Task(TaskKind.DAMPER), Task(TaskKind.WIPERS)], program="test", chassis="mid")
    assert refused_by(both) is None
    assert both.work.sequence is not None
    assert both.work.sequence.optimal
    assert keys(both) == keys(alone) | {step.key for step in service.work.steps}
    assert len(both.work.steps) < len(alone.work.steps) + len(service.work.steps) - 25
    for act in (Act.OFF, Act.ON, Act.CHANGE, Act.CHECK):
        assert max(Counter(step.item for step in both.work.steps if step.act is act).values()) == 1
    assert Counter(step.stage for step in both.work.steps if step.stage) == {
        ChargeStage.ASSEMBLY: 1,
        ChargeStage.RIDING: 1,
        ChargeStage.FINAL: 1,
    }
    final = next(step for step in both.work.steps if step.stage is ChargeStage.FINAL)
    assert both.target is not None
    assert both.target.pressure_gauge is not None
    assert final.pressure_gauge == both.target.pressure_gauge.value
    assert both.work.steps[-1].key == "on:readings"
    assert both.target == alone.target


def test_the_tools_and_parts_names_each_thing_once_with_what_all_steps_of_the_work_take() -> None:
    alone = planned(fork())
    both = planned(fork(Task(TaskKind.LOWER_LEGS), Task(TaskKind.WIPERS), Task(TaskKind.AIR_SPRING)))
    assert max(Counter((line.kind, line.name, line.size) for line in both.work.tools_and_parts).values()) == 1
    assert {(line.kind, line.name, line.size) for line in alone.work.tools_and_parts} < {
        (one.kind, one.name, one.size) for one in both.work.tools_and_parts
    }
    for line in both.work.tools_and_parts:
        used = [step for step in both.work.steps if step.key in line.steps]
        if line.kind is SupplyKind.SINGLE_USE:
            parts = sum((part.name, part.size) == (line.name, line.size) for step in used for part in step.renew)
            assert line.amount is not None
            assert line.amount.value == parts
        if line.kind is SupplyKind.FLUID and line.amount is not None:
            amounts = [step.fluid.amount.si for step in used if step.fluid is not None and step.fluid.amount]
            assert line.amount.value == pytest.approx(sum(amounts))
    fills = [step for step in both.work.steps if step.act is Act.ON and step.key.endswith("_lower_leg_oil")]
    assert len(fills) == len(stack_sheet().legs)


def test_a_task_that_the_wish_holds_is_absorbed_and_said_so() -> None:
    alone, both = planned(fork()), planned(fork(Task(TaskKind.LOWER_LEGS)))
    assert both.work.steps == alone.work.steps
    (said,) = (one for one in both.findings if one.code == "task.included")
    assert dict(said.words)["task"] == "lower-legs"


def test_a_task_that_sets_something_pins_it() -> None:
    plan = planned(fork(Task(TaskKind.SET_PRESSURE, 85 * PSI), Task(TaskKind.VOLUME_SPACERS, 2.0)))
    assert refused_by(plan) is None
    assert plan.target is not None
    assert plan.target.setup.volume_spacers == 2
    assert plan.target.pressure_gauge is not None
    assert plan.target.pressure_gauge.value == pytest.approx(85 * PSI)
    assert selection_of(plan).intake.wish.pressure_gauge is None
    final = next(step for step in plan.work.steps if step.stage is ChargeStage.FINAL)
    assert final.pressure_gauge == pytest.approx(85 * PSI)
    needed = dict(plan.work.needed_by)
    assert needed["change:volume_spacers"] == (Task(TaskKind.VOLUME_SPACERS, 2.0),)


def test_a_task_beside_a_wish_that_changes_nothing_is_the_work() -> None:
    intake = fork(Task(TaskKind.WIPERS), travel=0.15)
    plan = planned(replace(intake, wish=replace(intake.wish, volume_spacers=1, pressure_gauge=value(78 * PSI))))
    assert refused_by(plan) is None
    assert "on:wipers" in keys(plan)
    assert "change:travel_spacers" not in keys(plan)
    final = next(step for step in plan.work.steps if step.stage is ChargeStage.FINAL)
    assert final.pressure_gauge == pytest.approx(78 * PSI)


@pytest.mark.parametrize(
    ("task", "wish"),
    [
        (Task(TaskKind.SET_PRESSURE, 85 * PSI), {"pressure_gauge": value(80 * PSI)}),
        (Task(TaskKind.VOLUME_SPACERS, 2.0), {"volume_spacers": 1}),
        (Task(TaskKind.CHANGE_TRAVEL, 0.13), {}),
    ],
)
def test_a_task_that_contradicts_the_wish_refuses_it_and_names_both(task: Task, wish: dict[str, object]) -> None:
    intake = fork(task)
    plan = planned(replace(intake, wish=replace(intake.wish, **wish)))  # type: ignore[arg-type]
    (said,) = (one for one in plan.findings if one.code == "task.contradicts")
    assert said.severity is Severity.NOT_ALLOWED
    assert dict(said.words)["task"] == str(task.kind)
    assert {name for name, _ in said.figures} == {"asked", "wished"}
    assert plan.target is None


def test_the_same_said_twice_contradicts_nothing() -> None:
    intake = fork(Task(TaskKind.SET_PRESSURE, 80 * PSI), Task(TaskKind.CHANGE_TRAVEL, 0.14))
    plan = planned(replace(intake, wish=replace(intake.wish, pressure_gauge=value(80 * PSI))))
    assert plan.target is not None
    assert [one.code for one in plan.findings if one.code == "task.contradicts"] == []


@pytest.mark.parametrize(
    "tasks",
    [
        (Task(TaskKind.SET_PRESSURE, 85 * PSI), Task(TaskKind.SET_PRESSURE, 80 * PSI)),
        (Task(TaskKind.CHANGE_COIL, item="firm"),),
        (Task(TaskKind.SECOND_PRESSURE, 150 * PSI),),
        (Task(TaskKind.INSPECT, item="nothing_of_that_name"),),
    ],
)
def test_what_cannot_be_asked_is_one_message_that_names_its_task(tasks: tuple[Task, ...]) -> None:
    with pytest.raises(InputError) as error:
        planned(fork(*tasks))
    assert error.value.field == str(tasks[0].kind)
    assert error.value.remedy or error.value.field == "inspect"


def test_a_pinned_preload_is_where_the_adjuster_ends() -> None:
    sheet = shipped("specimen/c38")
    chassis = sheet.chassis[0]
    setting = setting_for(sheet, chassis, chassis.travels[0])
    assert setting is not None
    found = coil_setup(chassis.name, setting, CoilFitting(sheet.coil.coils[0].name, 1, 0.0))
    intake = _intake(sheet, setting, chassis.travels[-1], None)
    intake = replace(intake, as_found=replace(intake.as_found, setup=found))
    plan = planned(replace(intake, tasks=(Task(TaskKind.SET_PRELOAD, 2.0),)))
    assert plan.target is not None
    assert refused_by(plan) is None
    fitting = plan.target.setup.fitting
    assert fitting is not None
    assert fitting.adjuster == pytest.approx(2.0 * sheet.coil.stack.per_turn.si)


# wrong merges, made by hand


def _beside(plan: Plan) -> list[str]:
    """Steps that the wish does not need."""
    wish = Task(TaskKind.CHANGE_TRAVEL, selection_of(plan).intake.wish.travel.si)
    return [key for key, tasks in plan.work.needed_by if wish not in tasks]


def test_the_judge_refuses_every_step_of_a_task_left_out_or_done_when_all_is_closed() -> None:
    plan = planned(fork(Task(TaskKind.DAMPER), Task(TaskKind.WIPERS)))
    beside = _beside(plan)
    assert len(beside) > 10
    assert plan.target is not None
    for key in beside:
        one = next(step for step in plan.work.steps if step.key == key)
        rest = tuple(step for step in plan.work.steps if step.key != key)
        for wrong in (rest, (*rest, one)) if one.act is not Act.MEASURE else ((*rest, one),):
            refusal = examine_sequence(
                plan.work.sheet,
                plan.work.as_found,
                plan.target.setup,
                timed(wrong),
            )
            assert refusal is not None, key


def test_the_judge_refuses_the_work_of_a_task_put_after_the_closing_without_opening_again() -> None:
    plan = planned(fork(Task(TaskKind.DAMPER)))
    beside = set(_beside(plan))
    first = tuple(step for step in plan.work.steps if step.key not in beside)
    late = tuple(step for step in plan.work.steps if step.key in beside)
    assert plan.target is not None
    for place in [n for n, step in enumerate(first) if step.act in (Act.ON, Act.CHARGE, Act.CYCLE)]:
        refusal = examine_sequence(
            plan.work.sheet,
            plan.work.as_found,
            plan.target.setup,
            timed((*first[: place + 1], *late, *first[place + 1 :])),
        )
        if any(step.item == "lowers" for step in first[: place + 1] if step.act is Act.ON):
            assert refusal is not None


@pytest.mark.parametrize("more", [ChargeStage.RIDING, ChargeStage.FINAL])
def test_the_judge_refuses_a_charge_put_in_twice(more: ChargeStage) -> None:
    plan = planned(fork(Task(TaskKind.WIPERS)))
    again = next(step for step in plan.work.steps if step.stage is more)
    place = plan.work.steps.index(again)
    assert plan.target is not None
    twice = (*plan.work.steps[: place + 1], again, *plan.work.steps[place + 1 :])
    assert examine_sequence(plan.work.sheet, plan.work.as_found, plan.target.setup, timed(twice)) is not None


# every demo fork, every wish, any tasks


def _intake(sheet: Sheet, setting: Setting, travel: float, found: Charge | None) -> Intake:
    chassis = sheet.chassis[0].name
    intake = intake_of(
        sheet,
        setting,
        chassis=chassis,
        travel=travel,
        volume_spacers=1,
        charge=found or Unknown.NOT_MEASURED,
        load=value(330.0, 10.0),
    )
    if sheet.spring.holds_air:
        return intake
    setup = coil_setup(chassis, setting, CoilFitting(sheet.coil.coils[0].name, 1, 0.0))
    return replace(intake, as_found=replace(intake.as_found, setup=setup))


@dataclass(frozen=True)
class Drawn:
    """A demo fork, its travel as found and as wished, what is known of it, and tasks: what makes an intake."""

    sheet: str
    found: float
    wish: float
    seen: bool
    read: bool
    tasks: tuple[Task, ...]

    def intake(self) -> Intake:
        sheet = shipped(self.sheet)
        setting = setting_for(sheet, sheet.chassis[0], self.found)
        assert setting is not None
        if not self.seen and isinstance(setting, StackSetting):
            setting = StackSetting(Unknown.UNTIL_OPEN, Unknown.UNTIL_OPEN)
        several = isinstance(sheet.mechanism, ShaftPerTravel) and len(sheet.mechanism.shafts) > 1
        if not self.seen and several:
            setting = ShaftSetting(Unknown.UNTIL_OPEN)
        intake = _intake(sheet, setting, self.wish, charge(72.0) if self.read else None)
        return replace(intake, tasks=self.tasks)


@st.composite
def works(draw: st.DrawFn) -> Drawn:
    """Any demo fork from any travel to any, with any of the tasks it may have."""
    name = f"specimen/{draw(st.sampled_from(FORKS))}"
    sheet = shipped(name)
    travels = st.sampled_from(sheet.chassis[0].travels)
    tasks = draw(st.lists(st.sampled_from(AIR if sheet.spring.holds_air else COIL), unique=True, max_size=4))
    return Drawn(name, draw(travels), draw(travels), draw(st.booleans()), draw(st.booleans()), tuple(tasks))


@pytest.mark.slow
@pytest.mark.law
@given(works())
def test_wish_and_tasks_are_one_work_that_the_judge_accepts_or_one_message(drawn: Drawn) -> None:
    intake = drawn.intake()
    try:
        plan = planned(intake)
    except InputError as error:
        if error.field not in {str(task.kind) for task in intake.tasks}:
            raise
        return
    if plan.target is None:
        assert plan.refused or not any(one.permitted for one in selection_of(plan).options)
        return
    assert refused_by(plan) is None
    counted = Counter((step.act, step.item, step.stage) for step in plan.work.steps)
    assert all(count == 1 for count in counted.values())
    air = {item.key for item in intake.sheet.having(Role.AIR_CHARGE)}
    if {step.item for step in plan.work.steps if step.act is Act.OFF} & air:
        assert counted[Act.CHARGE, next(iter(air)), ChargeStage.FINAL] == 1
    alone = [planned(replace(intake, tasks=()))] if not any(task.value is not None for task in intake.tasks) else []
    for other in alone:
        assert keys(other) <= keys(plan)
    assert set(chain.from_iterable(tasks for _, tasks in plan.work.needed_by)) >= {
        task for task in intake.tasks if task.kind in {TaskKind.DAMPER, TaskKind.WIPERS, TaskKind.LOWER_LEGS}
    }


def test_a_shaft_fork_and_its_damper_come_apart_once() -> None:
    intake = intake_of(shaft_sheet(), ShaftSetting(0.14), chassis="standard", travel=0.12, charge=charge(85.0))
    plan = planned(replace(intake, tasks=(Task(TaskKind.DAMPER),)))
    assert refused_by(plan) is None
    assert sum(step.key == "off:lowers" for step in plan.work.steps) == 1
