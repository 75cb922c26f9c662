"""Each interlock from every side, on a sheet that forgot what covers what, so that it stands alone.

The hazards are common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from sagwright.judge import Refusal
from tests.support.forks import careless, stack_fork
from tests.support.sequences import (
    FINAL,
    HOLDING,
    PRESSURE_ONLY,
    RIDING,
    SHAFT,
    STACK,
    STACK_WORK,
    after,
    before,
    forgetful,
    keys,
    shaft_bench,
    stack_bench,
    untouched,
    whole,
    without,
)

AFTER_THE_LOWERS = whole(STACK_WORK, None)


@pytest.mark.parametrize(
    "opened",
    keys("off:air_cap off:air_retaining_ring off:air_shaft off:spring_foot_fastener off:damper_foot_seat"),
)
def test_nothing_that_holds_air_in_is_opened_on_a_unit_not_confirmed_empty(opened: str) -> None:
    bench = forgetful()
    bench.only("confirmed-empty", opened, bench.steps(before(STACK, "off:air_charge", opened)))


def test_a_seal_head_is_not_opened_on_a_unit_not_confirmed_empty() -> None:
    bench = replace(shaft_bench(), sheet=careless(shaft_bench().sheet))
    order = before(SHAFT, "off:air_charge", "off:seal_head")
    bench.only("confirmed-empty", "off:seal_head", bench.steps(order))


def test_every_valve_has_its_own_proof() -> None:
    bench = forgetful()
    second = replace(bench.sheet.item("air_charge"), key="second_charge")
    two = replace(bench, sheet=replace(bench.sheet, items=(*bench.sheet.items, second)))
    one_out = before(STACK, "off:air_retaining_ring", "off:second_charge")
    refusal = two.verdict(two.steps(one_out))
    assert refusal is not None
    assert (refusal.rule, refusal.step) == ("confirmed-empty", "off:spring_foot_fastener")
    both_out = after(STACK, "off:air_charge", "off:second_charge")
    later = two.verdict(two.steps(both_out))
    assert later is not None
    assert (later.rule, later.step) == ("complete", None)


def test_air_let_in_again_ends_the_proof() -> None:
    bench = forgetful()
    place = STACK.index(FINAL) + 1
    order = (*STACK[:place], "off:air_cap", "on:air_cap", *STACK[place:])
    bench.only("confirmed-empty", "off:air_cap", bench.steps(order))


@pytest.mark.parametrize("early", keys("off:adjusters off:rebound_knob"))
@pytest.mark.parametrize("opened", keys("off:spring_foot_fastener off:spring_foot_seat"))
def test_no_foot_is_opened_before_both_clicks_and_knob(opened: str, early: str) -> None:
    bench = forgetful()
    (late,) = {"off:adjusters", "off:rebound_knob"} - {early}
    order = after(STACK, "off:readings", "off:air_charge", early, opened, late)
    bench.only("feet-ready", opened, bench.steps(order))


@pytest.mark.parametrize("seat", keys("off:spring_foot_seat off:damper_foot_seat"))
def test_the_lowers_are_not_pulled_against_a_seated_shaft(seat: str) -> None:
    bench = forgetful()
    bench.only("seat-free", "off:lowers", bench.steps(after(STACK, "off:lowers", seat)))


def test_no_lower_leg_oil_goes_in_before_the_lowers() -> None:
    bench = forgetful()
    order = before(STACK, "on:lowers", "on:damper_lower_leg_oil")
    bench.only("oil-part-way", "on:damper_lower_leg_oil", bench.steps(order))


@pytest.mark.parametrize("oil", keys("on:spring_lower_leg_oil on:damper_lower_leg_oil"))
def test_no_foot_is_closed_before_every_leg_has_its_oil(oil: str) -> None:
    bench = forgetful()
    order = after(STACK, "on:spring_foot_seat", oil)
    bench.only("oil-part-way", "on:spring_foot_seat", bench.steps(order))


def test_no_lower_leg_oil_goes_in_through_a_closed_foot() -> None:
    bench = replace(untouched(), sheet=careless(stack_fork()))
    oil = keys("off:spring_lower_leg_oil on:spring_lower_leg_oil")
    order = after(PRESSURE_ONLY, "off:readings", *oil)
    bench.only("oil-part-way", "on:spring_lower_leg_oil", bench.steps(order))


SPRING_LEG_ONLY = keys("""
    off:readings off:adjusters off:rebound_knob off:air_charge
    off:spring_foot_fastener off:spring_foot_seat off:spring_lower_leg_oil
    on:spring_lower_leg_oil on:spring_foot_seat on:spring_foot_fastener on:rebound_knob
    charge:riding:air_charge cycle:air_charge charge:final:air_charge on:adjusters on:readings
""")


def test_a_leg_is_filled_again_while_the_other_stays_closed() -> None:
    bench = untouched()
    assert bench.verdict(bench.steps(SPRING_LEG_ONLY)) is None


@pytest.mark.parametrize("legless", ["damper_foot_seat", "spring_lower_leg_oil"])
def test_a_seat_or_an_oil_of_no_leg_in_particular_counts_for_every_leg(legless: str) -> None:
    sheet = stack_fork()
    items = tuple(replace(item, leg="") if item.key == legless else item for item in sheet.items)
    bench = replace(untouched(), sheet=replace(sheet, items=items))
    refusal = bench.verdict(bench.steps(SPRING_LEG_ONLY))
    assert refusal == Refusal("oil-part-way", "on:spring_lower_leg_oil", "seated already: damper_foot_seat")


def test_no_air_goes_in_behind_a_retainer_checked_before_it_was_fitted() -> None:
    bench = stack_bench()
    order = before(STACK, "on:air_retaining_ring", "check:air_retaining_ring")
    bench.only("retainer-checked", RIDING, bench.steps(order))


def test_a_retaining_ring_that_came_off_again_is_rechecked() -> None:
    bench = stack_bench()
    place = STACK.index("check:air_retaining_ring") + 1
    order = (*STACK[:place], "off:air_retaining_ring", "on:air_retaining_ring", *STACK[place:])
    bench.only("retainer-checked", RIDING, bench.steps(order))


def test_a_seal_head_is_proven_too() -> None:
    bench = shaft_bench()
    bench.only("retainer-checked", HOLDING, bench.steps(without(SHAFT, "check:seal_head")))


def test_no_air_goes_in_without_cap_or_shaft() -> None:
    bench = forgetful()
    for part in ("on:air_cap", "on:air_shaft"):
        bench.only("closed", RIDING, bench.steps(after(STACK, RIDING, part)))


def test_no_air_goes_in_without_the_retaining_ring() -> None:
    bench = forgetful()
    steps = bench.steps(after(STACK, RIDING, "on:air_retaining_ring", "check:air_retaining_ring"))
    assert bench.verdict(steps) == Refusal("closed", RIDING, "still off: air_retaining_ring")
    assert bench.verdict_without(steps, "closed") == Refusal(
        "retainer-checked", RIDING, "not checked since it was off: air_retaining_ring"
    )


@pytest.mark.parametrize("touched", [RIDING, "off:air_charge"])
def test_no_air_goes_in_or_out_before_the_readings(touched: str) -> None:
    bench = replace(untouched(), sheet=careless(stack_fork()))
    order = before(PRESSURE_ONLY, "off:readings", touched)
    order = order if touched == RIDING else before(order, RIDING, "off:readings")
    bench.only("readings-first", touched, bench.steps(order))


def test_nothing_is_opened_once_the_proof_is_read() -> None:
    bench = forgetful()
    bench.only("readings-first", "off:wipers", bench.steps((*STACK, "off:wipers", "on:wipers")))


def test_no_stroke_is_made_once_the_proof_is_read() -> None:
    bench = stack_bench()
    steps = bench.steps((*STACK, "cycle:air_charge"))
    bench.only("readings-first", "cycle:air_charge", steps, backed_by=("cycled",))


def test_no_setting_is_changed_before_the_readings() -> None:
    bench = forgetful()
    early = bench.steps(before(STACK, "off:readings", "change:transfer_port"))
    bench.only("readings-first", "change:transfer_port", early)


def test_the_proof_is_not_read_before_the_final_charge() -> None:
    bench = stack_bench()
    order = before(STACK, FINAL, "on:adjusters", "on:readings")
    bench.only("final-readings-last", "on:readings", bench.steps(order), backed_by=("readings-first",))


def test_the_proof_is_not_read_before_the_adjusters_are_back() -> None:
    bench = forgetful()
    bench.only("final-readings-last", "on:readings", bench.steps(after(STACK, "on:readings", "on:adjusters")))
