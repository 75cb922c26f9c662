"""Several tasks in one sequence."""

from __future__ import annotations

import itertools
from dataclasses import replace
from itertools import combinations
from random import Random

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sagwright.domain.item import Act, ChargeStage, Role
from sagwright.domain.plan import Plan
from sagwright.domain.setup import ShaftSetting
from sagwright.domain.sheet import ChargingOrder, Sheet
from sagwright.domain.task import Ordering, Task, TaskKind
from sagwright.domain.value import Value
from sagwright.errors import InputError, MissingValue, OutOfRange
from sagwright.formats.fields.tasks import read_task
from sagwright.formats.sheet.load import load_sheet
from sagwright.judge import examine_sequence
from sagwright.planning.plan import make_plan
from sagwright.planning.search.problem import Action, Network, Prices, bits
from sagwright.planning.work.sequence import timed
from sagwright.planning.work.tasks import plan_tasks
from sagwright.units import worded
from tests.support.intakes import PSI, intake_of, shaft_sheet, stack_sheet
from tests.support.selections import built

MOST_ASKED = 20
"""How often a search may ask whether it should stop, before it goes without its proof."""

PRESSURE = Task(TaskKind.SET_PRESSURE, 110 * PSI)
OTHERS = (
    Task(TaskKind.CHANGE_TRAVEL, 0.12),
    Task(TaskKind.VOLUME_SPACERS, 1.0),
    Task(TaskKind.LOWER_LEGS),
    Task(TaskKind.AIR_SPRING),
    Task(TaskKind.WIPERS),
    Task(TaskKind.DAMPER),
    Task(TaskKind.INSPECT, item="lowers"),
    Task(TaskKind.INSPECT, item="air_cap"),
    Task(TaskKind.MEASURE),
)
IN_THE_BIKE = (
    Task(TaskKind.CHANGE_TRAVEL, 0.17),
    Task(TaskKind.INSPECT, item="fork_in_frame"),
    Task(TaskKind.INSPECT, item="lower_bushings"),
    Task(TaskKind.INSPECT, item="bladder"),
    *OTHERS[1:6],
    Task(TaskKind.MEASURE),
)
STAGES = (None, ChargeStage.ASSEMBLY, ChargeStage.RIDING)


def charged(sheet: Sheet, before: ChargeStage | None) -> Sheet:
    """The sheet with another rule for the charge before the lowers."""
    holding = Value(30 * PSI) if before is ChargeStage.ASSEMBLY else None
    return replace(sheet, charging=ChargingOrder(before, holding, 8))


SHEETS = {
    f"{name}, {stage or 'none'} before the lowers": charged(sheet, stage)
    for name, sheet in (("stack", stack_sheet()), ("shaft", shaft_sheet()))
    for stage in STAGES
}


SHEETS["shock"] = load_sheet("specimen/a55")
SHEETS["open bath, in its bike"] = load_sheet("specimen/b38")
SHOCK = (
    Task(TaskKind.VOLUME_SPACERS, 1.0),
    Task(TaskKind.AIR_SPRING),
    Task(TaskKind.INSPECT, item="air_can"),
    Task(TaskKind.INSPECT, item="mount_hardware_upper"),
    Task(TaskKind.MEASURE),
)


def asks(name: str) -> tuple[Task, ...]:
    """What can be asked of a unit."""
    return {"shock": SHOCK, "open bath, in its bike": IN_THE_BIKE}.get(name, OTHERS)


def works() -> st.SearchStrategy[tuple[str, list[Task]]]:
    """A unit by name, and some tasks."""
    return st.sampled_from(sorted(SHEETS)).flatmap(
        lambda name: st.tuples(
            st.just(name), st.lists(st.sampled_from(asks(name)), min_size=1, max_size=4, unique=True)
        )
    )


def made(sheet: Sheet, *tasks: Task, chassis: str = "", ordering: Ordering | None = None) -> Plan:
    chassis = chassis or sheet.chassis[0].name
    return plan_tasks(sheet, [PRESSURE, *tasks], program="test", chassis=chassis, ordering=ordering or Ordering())


def off(work: Plan) -> set[str]:
    return {step.item for step in work.work.steps if step.act is Act.OFF}


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize("count", [0, 1, pytest.param(2, marks=pytest.mark.long)])
def test_the_judge_accepts_every_combination_and_every_order_is_proven(sheet: str, count: int) -> None:
    for tasks in combinations(asks(sheet), count):
        work = made(SHEETS[sheet], *tasks)
        assert examine_sequence(work.work.sheet, work.work.as_found, built(work), work.work.steps) is None
        assert work.work.sequence is not None
        assert work.work.sequence.optimal


def broken(work: Plan, data: st.DataObject) -> tuple[set[str], str | None]:
    """A drawn step done as soon as all it needs is done, but for one need and what hangs on that.

    The rules between the step and what it misses, and the one that the judge refuses it by.
    """
    late = data.draw(st.sampled_from([step for step in work.work.steps if step.needs]))
    missed = {data.draw(st.sampled_from(late.needs)).step}
    for step in work.work.steps:
        if step is not late and any(need.step in missed for need in step.needs):
            missed.add(step.key)
    needed = {late.key}
    for step in reversed(work.work.steps):
        needed |= {need.step for need in step.needs if step.key in needed}
    first = [step for step in work.work.steps if step.key in needed - missed and step is not late]
    rest = [step for step in work.work.steps if step not in first and step is not late]
    refusal = examine_sequence(work.work.sheet, work.work.as_found, built(work), timed((*first, late, *rest)))
    rules = {need.rule for need in late.needs if need.step in missed}
    if "reading-state" in rules:  # the judge may see it at the reading, which then finds its item on, or off
        rules |= {"covered", "uncovered"}
    return rules, None if refusal is None else refusal.rule


@pytest.mark.slow
@given(works(), st.data())
def test_a_step_left_out_or_done_before_what_it_needs_is_refused(
    asked: tuple[str, list[Task]], data: st.DataObject
) -> None:
    work = made(SHEETS[asked[0]], *asked[1])
    rules, refused_by = broken(work, data)
    assert refused_by in rules
    # A reading that a task asks for changes nothing: the judge, who does not know what was asked, cannot miss it.
    changing = [place for place, step in enumerate(work.work.steps) if step.act is not Act.MEASURE]
    k = data.draw(st.sampled_from(changing), label="left out")
    left = work.work.steps[:k] + work.work.steps[k + 1 :]
    assert examine_sequence(work.work.sheet, work.work.as_found, built(work), left) is not None, work.work.steps[k].key


@pytest.mark.slow
@given(works(), st.randoms())
def test_the_judge_accepts_the_work_whatever_order_is_asked_for(asked: tuple[str, list[Task]], draw: Random) -> None:
    tasks = asked[1][:2]
    work = made(SHEETS[asked[0]], *tasks)
    keys = [step.key for step in work.work.steps]
    draw.shuffle(keys)
    asks = itertools.count()
    other = made(
        work.work.sheet, *tasks, ordering=Ordering(0.0, 0.0, earlier=tuple(keys), stop=lambda: next(asks) > MOST_ASKED)
    )
    assert examine_sequence(other.work.sheet, other.work.as_found, built(other), other.work.steps) is None


@pytest.mark.parametrize("sheet", SHEETS)
def test_what_comes_off_is_what_networkx_calls_the_ancestors(sheet: str) -> None:
    own = SHEETS[sheet]
    covers = nx.DiGraph((cover, item.key) for item in own.items for cover in item.covered_by)
    for item in own.items:
        if not item.inspect:
            continue
        wanted = {item.key, *nx.ancestors(covers, item.key), *(i.key for i in own.having(Role.READINGS))}
        found = off(made(own, Task(TaskKind.INSPECT, item=item.key)))
        assert found == {key for key in wanted if own.item(key).work(Act.OFF)}


def test_the_network_has_the_ancestors_that_networkx_finds() -> None:
    @given(st.lists(st.sets(st.integers(0, 30)), min_size=1, max_size=14))
    def law(rows: list[set[int]]) -> None:
        before = [{other for other in row if other < step} for step, row in enumerate(rows)]
        actions = [Action(str(step), 1.0, after=tuple(str(o) for o in row)) for step, row in enumerate(before)]
        network = Network(actions, Prices())
        graph = nx.DiGraph((other, step) for step, row in enumerate(before) for other in row)
        graph.add_nodes_from(range(len(rows)))
        for step in range(len(rows)):
            assert set(bits(network.ancestors[step])) == nx.ancestors(graph, step)
            assert set(bits(network.descendants[step])) == nx.descendants(graph, step)

    law()


def test_a_shock_gives_up_its_can_and_its_seals_and_nothing_of_its_damper() -> None:
    work = made(SHEETS["shock"], Task(TaskKind.AIR_SPRING))
    keys = [step.key for step in work.work.steps]
    assert keys.index("off:air_charge") < keys.index("off:air_can")
    assert {"on:can_seal", "on:can_wiper", "on:piston_seal", "on:can_head_seal"} <= set(keys)
    assert not any("damper" in key or "bushing" in key for key in keys)


def test_what_a_unit_does_not_have_cannot_be_asked_of_it() -> None:
    for task in (Task(TaskKind.LOWER_LEGS), Task(TaskKind.WIPERS)):
        with pytest.raises(OutOfRange, match="must have something to do on this unit"):
            made(SHEETS["shock"], task)


def test_what_lies_under_gas_of_its_own_is_sent_out() -> None:
    with pytest.raises(OutOfRange, match=r"must not be opened at an ordinary bench.*Send the unit out"):
        made(SHEETS["shock"], Task(TaskKind.DAMPER))


def test_a_conversion_of_a_shock_is_refused_in_words() -> None:
    intake = intake_of(SHEETS["shock"], ShaftSetting(0.055), chassis="standard", travel=0.055)
    with pytest.raises(OutOfRange, match=r"sheet must describe a fork, got 'specimen/a55'\. Leave out what is wished"):
        make_plan(intake, program="test")


def test_volume_spacers_leave_the_lowers_on() -> None:
    assert "lowers" not in off(made(stack_sheet(), Task(TaskKind.VOLUME_SPACERS, 2.0)))


def test_travel_and_wipers_take_the_lowers_off_once() -> None:
    keys = [step.key for step in made(stack_sheet(), *OTHERS[:1], Task(TaskKind.WIPERS)).work.steps]
    assert keys.count("off:lowers") == keys.count("on:lowers") == 1
    assert len(keys) == len(set(keys))


def test_tasks_together_are_no_more_work_than_apart() -> None:
    together = made(stack_sheet(), OTHERS[0], OTHERS[4]).work.sequence
    apart = [made(stack_sheet(), task).work.sequence for task in (OTHERS[0], OTHERS[4])]
    assert together is not None
    assert together.cost < sum(each.cost for each in apart if each)


def test_every_step_is_needed_by_a_task_and_shared_ones_by_several() -> None:
    work = made(stack_sheet(), OTHERS[0], OTHERS[4])
    needed = dict(work.work.needed_by)
    assert all(needed[step.key] for step in work.work.steps)
    assert set(needed["off:lowers"]) == {OTHERS[0], OTHERS[4]}
    assert needed["on:wipers"] == (OTHERS[4],)
    assert needed["change:travel_spacers"] == (OTHERS[0],)


def test_a_part_is_changed_for_no_task_but_the_one_that_asks_for_it() -> None:
    spacers, wipers = read_task("preload-spacers=2"), read_task("wipers")
    plan = plan_tasks(load_sheet("specimen/c38"), [spacers, wipers], program="test")
    needed = dict(plan.work.needed_by)
    assert needed["change:preload_spacers"] == needed["off:preload"] == (spacers,)
    assert needed["on:wipers"] == (wipers,)


def test_an_order_is_kept_when_it_is_given_back() -> None:
    work = made(shaft_sheet(), OTHERS[0], OTHERS[4])
    keys = tuple(step.key for step in work.work.steps)
    again = made(shaft_sheet(), OTHERS[0], OTHERS[4], ordering=Ordering(earlier=keys))
    assert again.work.steps == work.work.steps


@pytest.mark.parametrize(
    ("tasks", "kind", "said"),
    [
        (["set-pressure=400psi"], OutOfRange, "set-pressure must be what sheet and chassis permit"),
        (
            ["set-pressure=80psi", "change-travel=180mm"],
            OutOfRange,
            "got '180 mm'. Chassis short: 90, 100, 110, 120 mm",
        ),
        (["set-pressure=80psi", "volume-spacers=9"], OutOfRange, "The sheet permits 0 to 6"),
        (["set-pressure=80psi", "volume-spacers=1", "volume-spacers=2"], InputError, "Two tasks ask for different"),
        (["set-pressure=80psi", "inspect=adjusters"], OutOfRange, "The sheet has criteria for: "),
    ],
)
def test_what_cannot_be_asked_is_said(tasks: list[str], kind: type[InputError], said: str) -> None:
    with pytest.raises(kind) as caught:
        plan_tasks(stack_sheet(), [read_task(text) for text in tasks], program="test", chassis="short")
    assert said in str(worded(caught.value))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("wipres", "Did you mean wipers?"),
        ("wipers=2", "Write only wipers"),
        ("change-travel", "Write it like change-travel=130mm"),
        ("change-travel=80psi", "must be a length"),
    ],
)
def test_a_task_written_wrong_is_refused(text: str, said: str) -> None:
    with pytest.raises(InputError) as caught:
        read_task(text)
    assert said in str(worded(caught.value))


def test_a_travel_that_several_chassis_permit_wants_one_named() -> None:
    with pytest.raises(MissingValue, match="add --chassis with one of: mid, long"):
        plan_tasks(stack_sheet(), [Task(TaskKind.CHANGE_TRAVEL, 0.14)], program="test")
    with pytest.raises(OutOfRange, match="Choose one of: short, mid, long"):
        plan_tasks(stack_sheet(), [PRESSURE], program="test", chassis="xl")
    with pytest.raises(OutOfRange) as caught:
        plan_tasks(stack_sheet(), [Task(TaskKind.CHANGE_TRAVEL, 0.18)], program="test")
    assert "Chassis short: 90, 100, 110, 120 mm" in str(worded(caught.value))


def test_a_travel_that_one_chassis_permits_is_that_one_and_its_marking_is_looked_at() -> None:
    work = plan_tasks(stack_sheet(), [Task(TaskKind.CHANGE_TRAVEL, 0.13)], program="test")
    assert work.work.chassis == "mid"
    assert any(record.key == "chassis_seen" and "mid" in record.what for record in work.work.steps[0].records)
    assert not any(record.key == "chassis_seen" for record in made(stack_sheet(), OTHERS[0]).work.steps[0].records)


def test_work_that_no_chassis_matters_to_asks_for_none() -> None:
    work = plan_tasks(stack_sheet(), [Task(TaskKind.WIPERS)], program="test")
    assert work.work.chassis == ""
    assert examine_sequence(work.work.sheet, work.work.as_found, built(work), work.work.steps) is None


def test_a_pressure_that_nobody_asked_for_is_decided_at_the_bench_within_the_sheets_range() -> None:
    work = plan_tasks(stack_sheet(), [Task(TaskKind.WIPERS)], program="test")
    span = stack_sheet().air.pressure_gauge
    riding, final = (
        next(s for s in work.work.steps if s.key == f"charge:{key}:air_charge") for key in ("riding", "final")
    )
    for step, key in ((riding, "pressure_set"), (final, "pressure_left")):
        (record,) = (record for record in step.records if record.key == key)
        assert (step.pressure_gauge, step.hold_point, record.low, record.high) == (None, True, span.low, span.high)
    assert examine_sequence(work.work.sheet, work.work.as_found, built(work), work.work.steps) is None


@pytest.mark.parametrize("sheet", ["stack, none before the lowers", "shaft, none before the lowers", "shock"])
def test_measuring_opens_nothing_and_reads_in_order(sheet: str) -> None:
    work = made(SHEETS[sheet], Task(TaskKind.MEASURE))
    assert off(work) == {"readings", "adjusters", "air_charge"}
    read = [step.item for step in work.work.steps if step.act is Act.MEASURE]
    in_order = [item.key for item in work.work.sheet.items if item.work(Act.MEASURE)]
    assert read == in_order
    assert all(step.records for step in work.work.steps if step.act is Act.MEASURE)


@pytest.mark.parametrize("sheet", SHEETS)
def test_a_press_stays_within_its_gauge_its_travel_and_its_prediction(sheet: str) -> None:
    """Common practice, no source: under 80 % of the gauge, about 60 % of the travel."""
    (pressed,) = (step for step in made(SHEETS[sheet], Task(TaskKind.MEASURE)).work.steps if step.press)
    assert pressed.press is not None
    assert pressed.pressure_gauge is not None
    assert SHEETS[sheet].air.pressure_gauge.high < pressed.pressure_gauge < 0.8 * pressed.press.gauge_range.si
    assert 0.2 <= pressed.press.share <= 0.6
    assert f"{pressed.press.share:.0%}" in pressed.do


def test_what_leaves_the_air_alone_charges_nothing() -> None:
    work = plan_tasks(SHEETS["shock"], [Task(TaskKind.INSPECT, item="mount_hardware_upper")], program="test")
    assert not [step for step in work.work.steps if step.act in (Act.CHARGE, Act.CYCLE)]
    assert examine_sequence(work.work.sheet, work.work.as_found, built(work), work.work.steps) is None
