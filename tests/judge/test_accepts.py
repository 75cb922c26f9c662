"""What the judge lets through: whole conversions, small jobs, and units with less on them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sagwright.domain.item import Act, ChargeStage, Item, Role
from sagwright.domain.setup import Setup, ShaftSetting, StackSetting
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Need
from sagwright.domain.value import Unknown
from sagwright.errors import Defect
from sagwright.judge import RULES, Refusal, require
from tests.support.forks import careless, charge, only, stack_fork, stacked
from tests.support.sequences import (
    PRESSURE_ONLY,
    RIDING,
    SHAFT,
    SHAFT_WORK,
    STACK,
    STACK_WORK,
    Bench,
    after,
    before,
    keys,
    shaft_bench,
    stack_bench,
    whole,
    without,
)

STAGES = pytest.mark.parametrize("stage", [None, *(s for s in ChargeStage if s is not ChargeStage.FINAL)])


@STAGES
def test_a_conversion_by_travel_spacers_is_accepted(stage: ChargeStage | None) -> None:
    bench = stack_bench(stage)
    assert bench.verdict(bench.steps(whole(STACK_WORK, stage))) is None


@STAGES
def test_a_conversion_by_another_shaft_is_accepted(stage: ChargeStage | None) -> None:
    bench = shaft_bench(stage)
    assert bench.verdict(bench.steps(whole(SHAFT_WORK, stage))) is None


@STAGES
def test_dropping_any_one_step_is_refused(stage: ChargeStage | None) -> None:
    for bench, work in ((stack_bench(stage), STACK_WORK), (shaft_bench(stage), SHAFT_WORK)):
        steps = bench.steps(whole(work, stage))
        accepted = [
            dropped.key
            for place, dropped in enumerate(steps)
            if bench.verdict((*steps[:place], *steps[place + 1 :])) is None
        ]
        assert not accepted


def test_what_a_step_says_it_needs_is_not_read() -> None:
    bench = stack_bench()
    steps = bench.steps(STACK)
    odd = tuple(replace(step, needs=(Need("on:readings", "covered"), Need("no:step", ""))) for step in steps)
    assert bench.verdict(odd) is None
    swapped = bench.steps(after(STACK, "off:air_cap", "off:air_charge"))
    silent = tuple(replace(step, needs=()) for step in swapped)
    assert bench.verdict(swapped) == bench.verdict(silent)
    assert bench.verdict(swapped) is not None


def test_a_unit_unknown_until_open_is_accepted_once_it_is_settled() -> None:
    unknown = Unknown.UNTIL_OPEN
    found = Setup("long", StackSetting(unknown, unknown), unknown, unknown)
    bench = replace(stack_bench(), as_found=found)
    assert bench.verdict(bench.steps(STACK)) is None
    bench = replace(shaft_bench(), as_found=replace(found, setting=ShaftSetting(unknown)))
    assert bench.verdict(bench.steps(SHAFT)) is None


def test_an_unknown_setting_that_nobody_opens_for_is_not_the_target() -> None:
    bench = replace(stack_bench(), as_found=replace(stacked(0), volume_spacers=Unknown.UNTIL_OPEN))
    order = without(STACK, "off:air_cap", "change:volume_spacers", "on:air_cap")
    bench.only("target", None, bench.steps(order))


def test_volume_spacers_alone_leave_the_lowers_on() -> None:
    bench = Bench(stack_fork(), stacked(0), stacked(0, volume_spacers=3))
    order = keys("""
        off:readings off:air_charge off:air_cap change:volume_spacers on:air_cap
        charge:riding:air_charge cycle:air_charge charge:final:air_charge on:readings
    """)
    assert bench.verdict(bench.steps(order)) is None


def test_pressure_alone_needs_no_emptying() -> None:
    bench = Bench(stack_fork(), stacked(0), replace(stacked(0), charge=charge(600e3)))
    assert bench.verdict(bench.steps(PRESSURE_ONLY)) is None


def test_no_steps_are_accepted_where_nothing_is_to_change() -> None:
    for setup in (stacked(0), replace(stacked(0), charge=Unknown.NOT_MEASURED)):
        assert Bench(stack_fork(), setup, setup).verdict(()) is None


def test_pressures_agree_to_rounding() -> None:
    bench = stack_bench()
    nearly = bench.steps(STACK, charge__final__air_charge={"pressure_gauge": 550e3 * (1 + 5e-10)})
    assert bench.verdict(nearly) is None
    off = bench.steps(STACK, charge__final__air_charge={"pressure_gauge": 550e3 * (1 + 5e-9)})
    bench.only("final-charge", None, off)


def test_letting_out_again_and_charging_again_is_accepted() -> None:
    bench = stack_bench()
    place = STACK.index(RIDING) + 1
    again = (*STACK[:place], "off:air_charge", RIDING, *STACK[place:])
    assert bench.verdict(bench.steps(again)) is None


def test_a_sheet_that_forgets_the_order_still_accepts_a_safe_one() -> None:
    for bench, order in ((stack_bench(), STACK), (shaft_bench(), SHAFT)):
        forgetful = replace(bench, sheet=careless(bench.sheet))
        assert forgetful.verdict(forgetful.steps(order)) is None


@pytest.mark.parametrize(
    ("roles", "missing"),
    [
        ({Role.KNOB}, "off:rebound_knob on:rebound_knob"),
        ({Role.KNOB, Role.ADJUSTERS}, "off:rebound_knob on:rebound_knob off:adjusters on:adjusters"),
        ({Role.READINGS}, "off:readings on:readings"),
    ],
)
def test_a_unit_without_such_items_owes_nothing_for_them(roles: set[Role], missing: str) -> None:
    bench = replace(stack_bench(), sheet=lacking(stack_fork(), roles))
    assert bench.verdict(bench.steps(without(STACK, *keys(missing)))) is None


def test_a_sheet_without_air_to_let_out_can_never_be_confirmed_empty() -> None:
    bench = replace(stack_bench(), sheet=lacking(stack_fork(), {Role.AIR_CHARGE}))
    order = without(STACK[: STACK.index(RIDING)], "off:air_charge")
    assert bench.verdict(bench.steps(order)) == Refusal(
        "confirmed-empty", "off:spring_foot_fastener", "the unit is not confirmed empty"
    )


def test_an_item_without_work_comes_and_goes_with_what_covers_it() -> None:
    guard = Item("guard", "guard", ("lowers",))
    bench = replace(stack_bench(), sheet=over_the_retaining_ring(guard))
    assert bench.verdict(bench.steps(STACK)) is None
    early = bench.steps(before(STACK, "off:lowers", "off:air_retaining_ring"))
    bench.only("covered", "off:air_retaining_ring", early)
    late = bench.steps(after(STACK, "on:lowers", "on:air_retaining_ring", "check:air_retaining_ring"))
    refusal = bench.verdict_without(late, "closed", "retainer-checked")
    assert refusal == Refusal("uncovered", "on:lowers", "under it and still off: air_retaining_ring")


def test_an_item_that_is_only_taken_off_is_back_when_it_is_closed_in() -> None:
    grease = Item("old_grease", "old grease", ("lowers",), only(Act.OFF))
    bench = replace(stack_bench(), sheet=over_the_retaining_ring(grease))
    assert bench.verdict(bench.steps(after(STACK, "off:lowers", "off:old_grease"))) is None
    bench.only("covered", "off:air_retaining_ring", bench.steps(STACK))


def lacking(whole: Sheet, roles: set[Role]) -> Sheet:
    """A sheet without the items of some roles, and without anything they covered being covered by them."""
    gone = {item.key for item in whole.items if item.role in roles}
    kept = (item for item in whole.items if item.key not in gone)
    items = (replace(i, covered_by=tuple(k for k in i.covered_by if k not in gone)) for i in kept)
    return replace(whole, items=tuple(items))


def over_the_retaining_ring(extra: Item) -> Sheet:
    """The stack fork with one more item between lowers and retaining ring."""
    whole = stack_fork()
    return replace(whole, items=(*(between(item, extra.key) for item in whole.items), extra))


def between(item: Item, key: str) -> Item:
    return replace(item, covered_by=(key, "air_charge")) if item.role is Role.RETAINING_RING else item


def test_require_says_rule_step_and_reason() -> None:
    bench = stack_bench()
    require(bench.sheet, bench.as_found, bench.target, bench.steps(STACK))
    steps = bench.steps(without(STACK, "check:air_retaining_ring"))
    with pytest.raises(Defect) as stopped:
        require(bench.sheet, bench.as_found, bench.target, steps)
    for part in ("retainer-checked", RIDING, "air_retaining_ring", RULES["retainer-checked"].reason):
        assert part in str(stopped.value)
    with pytest.raises(Defect, match="breaks the rule final-readings at its end"):
        require(bench.sheet, bench.as_found, bench.target, bench.steps(STACK)[:-1])


def test_every_rule_has_one_sentence_that_says_why() -> None:
    assert len(RULES) == 43
    for sentence in (rule.reason for rule in RULES.values()):
        assert sentence.endswith(".")
        assert ". " not in sentence
        assert " because " in sentence
