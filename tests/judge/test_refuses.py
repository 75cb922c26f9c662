"""What the judge refuses: for every rule a sequence that only this rule stands in the way of."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sagwright.domain.item import Act, ChargeStage, Fluid, ThreadState
from sagwright.domain.value import Value
from sagwright.judge import RULES
from tests.judge.bench import (
    RIDING,
    SECOND,
    SHAFT,
    STACK,
    STACK_WORK,
    Bench,
    Steps,
    after,
    before,
    shaft_bench,
    stack_bench,
    twice,
    two_valves,
    two_valves_order,
    whole,
    without,
)
from tests.judge.coil_forks import COIL, CoilBench, coil_bench, forgetful_coil
from tests.judge.forks import careless

Case = tuple[Bench, Steps, str | None]


def stack() -> Bench:
    return stack_bench()


def bare() -> Bench:
    """The same fork by a sheet that forgot its cover relation, so that only the interlocks are left."""
    bench = stack_bench()
    return replace(bench, sheet=careless(bench.sheet))


def after_the_lowers() -> Bench:
    return stack_bench(None)


def holding() -> Bench:
    return stack_bench(ChargeStage.HOLDING)


def curing() -> Bench:
    """The same fork with thread compound at one foot."""
    bench = stack_bench()
    foot = bench.sheet.item("damper_foot_fastener")
    works = tuple((act, replace(how, waiting=Value(1800.0)) if act is Act.ON else how) for act, how in foot.works)
    items = tuple(replace(foot, works=works) if item is foot else item for item in bench.sheet.items)
    return replace(bench, sheet=replace(bench.sheet, items=items))


def turned_wrong() -> CoilBench:
    """A coil fork whose preload step says twice what it turns to: it ends at the target all the same."""
    return coil_bench()


CASES: dict[str, Callable[[], Case]] = {
    "absent": lambda: (stack(), stack().steps(twice(STACK, "off:lowers")), "off:lowers"),
    "covered": lambda: (
        stack(),
        stack().steps(before(STACK, "off:adjusters", "off:rebound_knob")),
        "off:rebound_knob",
    ),
    "uncovered": lambda: (stack(), stack().steps(after(STACK, "on:adjusters", "on:rebound_knob")), "on:adjusters"),
    "extra-order": lambda: (
        shaft_bench(),
        shaft_bench().steps(after(SHAFT, "prove:seal_head", "on:air_cap")),
        "on:seal_head",
    ),
    "proven-empty": lambda: (bare(), bare().steps(before(STACK, "off:air_charge", "off:air_cap")), "off:air_cap"),
    "feet-ready": lambda: (
        bare(),
        bare().steps(after(STACK, "off:damper_foot_fastener", "off:rebound_knob")),
        "off:spring_foot_fastener",
    ),
    "seat-free": lambda: (bare(), bare().steps(before(STACK, "off:damper_foot_seat", "off:lowers")), "off:lowers"),
    "oil-part-way": lambda: (
        bare(),
        bare().steps(before(STACK, "on:lowers", "on:spring_bath_oil")),
        "on:spring_bath_oil",
    ),
    "clip-proven": lambda: (stack(), stack().steps(after(STACK, RIDING, "prove:air_clip")), RIDING),
    "closed": lambda: (stack(), stack().steps(after(STACK, RIDING, "on:air_cap")), RIDING),
    "charge-before-lowers": lambda: (
        holding(),
        holding().steps(whole(STACK_WORK, ChargeStage.HOLDING), charge__holding__air_charge={"pressure_gauge": 500e3}),
        "on:lowers",
    ),
    "feet-first": lambda: (
        after_the_lowers(),
        after_the_lowers().steps(before(whole(STACK_WORK, None), "on:damper_foot_fastener", RIDING)),
        RIDING,
    ),
    "cycled": lambda: (stack(), stack().steps(without(STACK, "cycle:air_charge")), "charge:final:air_charge"),
    "inspected": lambda: (stack(), stack().steps(without(STACK, "inspect:air_shaft")), "on:air_shaft"),
    "renewed": lambda: (
        stack(),
        stack().steps(STACK, on__spring_foot_fastener={"renew": ()}),
        "on:spring_foot_fastener",
    ),
    "torque-state": lambda: (stack(), stack().steps(STACK, on__air_cap={"torque": None}), "on:air_cap"),
    "gate": lambda: (stack(), stack().steps(STACK, off__adjusters={"gate": False}), "off:adjusters"),
    "fluid": lambda: (
        stack(),
        stack().steps(STACK, on__spring_bath_oil={"fluid": Fluid("bath oil")}),
        "on:spring_bath_oil",
    ),
    "cured": lambda: (
        curing(),
        curing().steps(STACK, on__damper_foot_fastener={"waiting": Value(600.0)}),
        "on:damper_foot_fastener",
    ),
    "settled": lambda: (
        stack(),
        stack().steps(STACK, change__travel_spacers={"records": ()}),
        "change:travel_spacers",
    ),
    "valve-order": lambda: (two_valves(), two_valves().steps(after(two_valves_order(), RIDING, SECOND)), RIDING),
    "readings-first": lambda: (
        bare(),
        bare().steps(before(STACK, "off:readings", "off:adjusters")),
        "off:adjusters",
    ),
    "proof-last": lambda: (bare(), bare().steps(after(STACK, "on:readings", "on:adjusters")), "on:readings"),
    "complete": lambda: (bare(), bare().steps(without(STACK, "on:rebound_knob")), None),
    "target": lambda: (
        stack(),
        stack().steps(without(STACK, "off:air_cap", "change:volume_spacers", "on:air_cap")),
        None,
    ),
    "final-charge": lambda: (
        stack(),
        stack().steps(STACK, charge__final__air_charge={"pressure_gauge": 500e3}),
        None,
    ),
    "proof": lambda: (stack(), stack().steps(without(STACK, "on:readings")), None),
    "spring-relaxed": lambda: (
        forgetful_coil(),
        forgetful_coil().steps(before(COIL, "off:preload", "off:spring_cap")),
        "off:spring_cap",
    ),
    "spring-out": lambda: (
        forgetful_coil(),
        forgetful_coil().steps(before(COIL, "off:coil", "off:spring_clip")),
        "off:spring_clip",
    ),
    "preload-set": lambda: (
        turned_wrong(),
        turned_wrong().steps(COIL, on__preload={"changes": (*turned_wrong().steps(["on:preload"])[0].changes,) * 2}),
        "on:preload",
    ),
}


def test_every_rule_has_a_case() -> None:
    assert set(CASES) == set(RULES)


@pytest.mark.parametrize("rule", RULES)
def test_only_this_rule_refuses_it(rule: str) -> None:
    bench, steps, step = CASES[rule]()
    bench.only(rule, step, steps)


def test_a_torque_for_another_thread_state_is_refused() -> None:
    bench = stack()
    torque = bench.sheet.item("air_cap").works[1][1].torque
    assert torque is not None
    dry = replace(torque, state=ThreadState.DRY)
    bench.only("torque-state", "on:air_cap", bench.steps(STACK, on__air_cap={"torque": dry}))


def test_lowers_over_a_clip_that_was_not_proven_are_refused_even_without_air() -> None:
    bench, order = after_the_lowers(), whole(STACK_WORK, None)
    late = bench.steps(after(order, "on:lowers", "prove:air_clip"))
    bench.only("clip-proven", "on:lowers", late)


def test_a_gauge_at_zero_without_its_proof_is_refused() -> None:
    bench = stack()
    bench.only("gate", "off:air_charge", bench.steps(STACK, off__air_charge={"records": ()}))


@pytest.mark.parametrize("stage", [None, ChargeStage.HOLDING])
def test_another_charge_before_the_lowers_than_the_sheets_is_refused(stage: ChargeStage | None) -> None:
    bench = stack_bench(stage)
    refusal = bench.verdict(bench.steps(whole(STACK_WORK, ChargeStage.RIDING)))
    assert refusal is not None
    assert refusal.rule in {"charge-before-lowers", "feet-first"}


@pytest.mark.parametrize(
    ("order", "rule"),
    [
        (two_valves_order(), ""),
        (without(two_valves_order(), "off:second_charge"), "proven-empty"),
        (before(two_valves_order(), "off:air_charge", "off:second_charge"), "valve-order"),
        (without(two_valves_order(), SECOND), "valve-order"),
        (before(two_valves_order(), "on:lowers", SECOND), "feet-first"),
    ],
)
def test_a_second_chamber_has_its_own_proof_and_place(order: tuple[str, ...], rule: str) -> None:
    refusal = two_valves().verdict(two_valves().steps(order))
    assert (refusal.rule if refusal else "") == rule


def test_every_reason_says_what_hurts() -> None:
    assert all("because" in reason and reason.endswith(".") for reason in RULES.values())


@given(st.lists(st.sampled_from(STACK), max_size=40))
def test_any_sequence_gets_an_answer(order: list[str]) -> None:
    refusal = stack().verdict(stack().steps(order))
    assert refusal is None or refusal.rule in RULES


@given(st.permutations(STACK))
def test_a_shuffled_sequence_is_refused_unless_it_is_in_order(order: list[str]) -> None:
    refusal = stack().verdict(stack().steps(order))
    place = {key: number for number, key in enumerate(order)}
    in_order = place["off:readings"] == 0 and place["off:air_charge"] < place["off:air_cap"]
    assert refusal is not None or in_order
