"""Every way of spoiling how a planned step is done is refused by the rule it breaks, whatever the work."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cache

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from sagwright.domain.item import Act, Role, ThreadState, Torque
from sagwright.domain.plan import Plan
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Step
from sagwright.domain.task import Progress, Task, TaskKind
from sagwright.domain.value import Value
from sagwright.formats.sheet.load import load_sheet
from sagwright.judge import examine_sequence
from sagwright.service.plan import replan, sequence
from tests.support.selections import built

SHEETS = ("specimen/t35", "specimen/p34", "specimen/b38", "specimen/a55")
TASKS = (Task(TaskKind.AIR_SPRING), Task(TaskKind.LOWER_LEGS), Task(TaskKind.MEASURE), Task(TaskKind.WIPERS))
SHOCK = (Task(TaskKind.AIR_SPRING), Task(TaskKind.MEASURE))
TRAVEL = {"specimen/t35": 0.13, "specimen/p34": 0.12, "specimen/b38": 0.17}


@cache
def work_of(name: str, tasks: frozenset[Task]) -> Plan:
    return sequence(load_sheet(name), sorted(tasks, key=lambda task: task.kind))


@st.composite
def works(draw: st.DrawFn) -> Plan:
    """A unit with some tasks."""
    name = draw(st.sampled_from(SHEETS))
    travel = [Task(TaskKind.CHANGE_TRAVEL, TRAVEL[name])] if name in TRAVEL else []
    tasks = [*TASKS, *travel] if travel else SHOCK
    return work_of(name, frozenset(draw(st.lists(st.sampled_from(list(tasks)), min_size=1, max_size=3))))


@st.composite
def rested(draw: st.DrawFn) -> Plan:
    """The same, gone on with after a break."""
    work = draw(works())
    keys = tuple(step.key for step in work.work.steps)
    return replan(work, Progress(keys[: draw(st.integers(1, len(keys) - 1))], after_break=True))


@dataclass(frozen=True)
class Spoiling:
    """How a step is spoilt: which steps it can happen to, and what becomes of one."""

    of: Callable[[Sheet, Step], bool]
    into: Callable[[Step], Step]


def ring(sheet: Sheet, step: Step) -> bool:
    return sheet.item(step.item).role is Role.RETAINING_RING and any(
        tool.name == "safety glasses" for tool in step.tools
    )


def compound(step: Step) -> bool:
    return step.torque is not None and step.torque.state is ThreadState.COMPOUND


def fewer_tools(step: Step, *names: str) -> Step:
    return replace(step, tools=tuple(tool for tool in step.tools if tool.name not in names))


SPOILINGS: dict[str, list[Spoiling]] = {
    "cure-before-load": [Spoiling(lambda _, s: s.idle > 1.0, lambda s: replace(s, idle=0.0))],
    "cured": [Spoiling(lambda _, s: s.waiting is not None, lambda s: replace(s, waiting=None))],
    "torque-wet": [Spoiling(lambda _, s: compound(s), lambda s: replace(s, fluid=None))],
    "retaining-ring": [Spoiling(ring, lambda s: fewer_tools(s, "safety glasses"))],
    "pressing": [
        Spoiling(lambda _, s: s.press is not None, lambda s: replace(s, press=None)),
        Spoiling(lambda _, s: s.press is not None, lambda s: replace(s, pressure_gauge=None)),
        Spoiling(lambda _, s: s.press is not None, lambda s: fewer_tools(s, "rated strap")),
        Spoiling(lambda _, s: s.press is not None, lambda s: replace(s, cautions=())),
        Spoiling(
            lambda _, s: s.press is not None,
            lambda s: replace(s, press=replace(s.press, share=0.7) if s.press else None),
        ),
        Spoiling(lambda _, s: s.press is not None, lambda s: replace(s, pressure_gauge=1e7)),
    ],
    "hold-point": [Spoiling(lambda _, s: s.hold_point and s.act is Act.CHECK, lambda s: replace(s, records=()))],
    "absent": [
        Spoiling(
            lambda _, s: s.act is Act.CHARGE and s.stage != "assembly" and s.pressure_gauge is None,
            lambda s: replace(s, records=()),
        )
    ],
}

OF_A_BREAK: dict[str, list[Spoiling]] = {
    "tagged": [Spoiling(lambda _, s: s.act is Act.BREAK, lambda s: replace(s, records=()))],
    "rechecked": [
        Spoiling(lambda _, s: s.key.startswith("measure:again"), lambda s: replace(s, hold_point=False)),
        Spoiling(lambda _, s: s.key.startswith("measure:again"), lambda s: replace(s, records=())),
        Spoiling(
            lambda _, s: s.key.startswith("measure:again") and s.torque is not None,
            lambda s: replace(s, torque=Torque(Value(99.0), ThreadState.DRY)),
        ),
    ],
}


def refused_by(work: Plan, spoiling: Spoiling, data: st.DataObject) -> str | None:
    """The rule that refuses the work with one of its steps spoilt."""
    steps = (*work.work.done, *work.work.steps)
    places = [place for place, step in enumerate(steps) if spoiling.of(work.work.sheet, step)]
    assume(places)
    place = data.draw(st.sampled_from(places))
    spoilt = (*steps[:place], spoiling.into(steps[place]), *steps[place + 1 :])
    assert examine_sequence(work.work.sheet, work.work.as_found, built(work), steps) is None
    refusal = examine_sequence(work.work.sheet, work.work.as_found, built(work), spoilt)
    return None if refusal is None else refusal.rule


LONG_SEARCHED = frozenset({"cure-before-load", "cured", "retaining-ring", "torque-wet"})
"""Rules that few drawn units can break."""


@pytest.mark.law
@pytest.mark.parametrize(
    "rule", [pytest.param(rule, marks=pytest.mark.slow if rule in LONG_SEARCHED else ()) for rule in SPOILINGS]
)
def test_a_spoilt_step_is_refused_by_the_rule_it_breaks(rule: str) -> None:
    @given(st.data())
    def law(data: st.DataObject) -> None:
        work = data.draw(works())
        possible = [one for one in SPOILINGS[rule] if any(one.of(work.work.sheet, step) for step in work.work.steps)]
        assume(possible)
        assert refused_by(work, data.draw(st.sampled_from(possible)), data) == rule

    law()


@pytest.mark.law
@pytest.mark.parametrize("rule", OF_A_BREAK)
def test_a_break_that_proves_nothing_is_refused(rule: str) -> None:
    @given(st.data())
    def law(data: st.DataObject) -> None:
        work = data.draw(rested())
        steps = (*work.work.done, *work.work.steps)
        possible = [one for one in OF_A_BREAK[rule] if any(one.of(work.work.sheet, step) for step in steps)]
        assert refused_by(work, data.draw(st.sampled_from(possible)), data) == rule

    law()


def rests(name: str) -> Iterator[Plan]:
    """A travel change, or the service of a shock's can, gone on with after a break, wherever that was."""
    tasks = [Task(TaskKind.CHANGE_TRAVEL, TRAVEL[name])] if name in TRAVEL else [Task(TaskKind.AIR_SPRING)]
    work = work_of(name, frozenset(tasks))
    keys = tuple(step.key for step in work.work.steps)
    yield from (replan(work, Progress(keys[:count], after_break=True)) for count in range(1, len(keys), 6))


@pytest.mark.parametrize("name", SHEETS)
def test_a_proof_that_is_left_out_or_put_off_is_missed(name: str) -> None:
    for work in rests(name):
        steps = (*work.work.done, *work.work.steps)
        places = [place for place, step in enumerate(steps) if step.key.startswith("measure:again")]
        for place in places:
            without = (*steps[:place], *steps[place + 1 :])
            put_off = (*without[: max(places) + 1], steps[place], *without[max(places) + 1 :])
            for spoilt in (without, put_off):
                refusal = examine_sequence(work.work.sheet, work.work.as_found, built(work), spoilt)
                assert refusal is not None
                assert refusal.rule == "rechecked"


def test_a_wrench_on_compound_after_a_break_is_refused() -> None:
    turned_on = 0
    for work in rests("specimen/p34"):
        for place, step in enumerate(work.work.steps):
            if not step.key.startswith("measure:again") or step.torque is not None or step.item == "air_charge":
                continue
            turned = replace(step, torque=Torque(Value(7.0), ThreadState.COMPOUND))
            spoilt = (*work.work.done, *work.work.steps[:place], turned, *work.work.steps[place + 1 :])
            refusal = examine_sequence(work.work.sheet, work.work.as_found, built(work), spoilt)
            assert refusal is not None
            assert (refusal.rule, refusal.step) == ("torque-once", step.key)
            turned_on += 1
    assert turned_on


@given(works())
def test_what_the_steps_wait_is_what_the_search_said(work: Plan) -> None:
    assert work.work.sequence is not None
    assert sum(step.idle for step in work.work.steps) == pytest.approx(work.work.sequence.idle, abs=0.01)
