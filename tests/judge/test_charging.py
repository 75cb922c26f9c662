"""What goes in when: the charges, the strokes between them, and the lowers; every case alone against its rule.

The hazards are common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from sagwright.domain.item import Act, ChargeStage
from sagwright.judge import Refusal
from tests.support.forks import HOLDING_GAUGE, careless, charge, only, stack_fork
from tests.support.sequences import (
    FINAL,
    HOLDING,
    PRESSURE_ONLY,
    RIDING,
    SHAFT,
    SHAFT_WORK,
    STACK,
    STACK_WORK,
    after,
    before,
    forgetful,
    keys,
    shaft_bench,
    stack_bench,
    twice,
    untouched,
    whole,
    without,
)

AFTER_THE_LOWERS = whole(STACK_WORK, None)


def test_the_lowers_do_not_go_on_without_the_riding_charge_that_the_sheet_wants() -> None:
    bench = stack_bench()
    late = bench.steps(after(STACK, "on:damper_foot_fastener", RIDING))
    bench.only("charge-before-lowers", "on:lowers", late)
    wrong = bench.steps(STACK, charge__riding__air_charge={"pressure_gauge": HOLDING_GAUGE})
    bench.only("charge-before-lowers", "on:lowers", wrong, backed_by=("cycled",))


def test_the_lowers_do_not_go_on_without_the_holding_charge_that_the_sheet_wants() -> None:
    bench = shaft_bench()
    bench.only("charge-before-lowers", "on:lowers", bench.steps(without(SHAFT, HOLDING)))
    wrong = bench.steps(SHAFT, charge__assembly__air_charge={"pressure_gauge": 1.01 * HOLDING_GAUGE})
    bench.only("charge-before-lowers", "on:lowers", wrong)


def test_the_right_pressure_in_the_wrong_charge_is_not_the_sheets() -> None:
    bench = shaft_bench()
    soft = replace(bench, target=replace(bench.target, charge=charge(HOLDING_GAUGE)))
    order = before(without(SHAFT, HOLDING), "on:lowers", RIDING)
    soft.only("charge-before-lowers", "on:lowers", soft.steps(order), backed_by=("feet-first",))


def test_a_holding_charge_that_the_sheet_does_not_put_a_number_to_is_never_right() -> None:
    bench = shaft_bench()
    charging = replace(bench.sheet.charging, assembly_gauge=None)
    silent = replace(bench, sheet=replace(bench.sheet, charging=charging))
    silent.only("charge-before-lowers", "on:lowers", silent.steps(SHAFT))


@pytest.mark.parametrize("unwanted", [HOLDING, RIDING])
def test_the_lowers_do_not_go_on_over_a_charge_that_the_sheet_does_not_want(unwanted: str) -> None:
    bench = stack_bench(None)
    steps = bench.steps(before(AFTER_THE_LOWERS, "on:lowers", unwanted))
    refusal = bench.verdict(steps)
    assert refusal is not None
    assert (refusal.rule, refusal.step) == ("feet-first", unwanted)
    bench.only("charge-before-lowers", "on:lowers", steps, backed_by=("feet-first",))


def test_lowers_that_came_off_a_unit_never_emptied_do_not_go_on() -> None:
    bench = replace(untouched(), sheet=careless(stack_fork(None)))
    order = after(PRESSURE_ONLY, "off:readings", "off:lowers", "on:lowers")
    bench.only("charge-before-lowers", "on:lowers", bench.steps(order), backed_by=("seat-free",))


@pytest.mark.parametrize("open_foot", keys("on:damper_foot_fastener on:spring_foot_seat on:lowers"))
def test_no_riding_charge_goes_in_with_a_foot_open(open_foot: str) -> None:
    bench = forgetful(None)
    order = after(AFTER_THE_LOWERS, RIDING, open_foot)
    backed_by = {"on:damper_foot_fastener": ()}.get(open_foot, ("charge-before-lowers", "oil-part-way"))
    bench.only("feet-first", RIDING, bench.steps(order), backed_by=backed_by)


def test_no_stroke_is_made_with_a_foot_open() -> None:
    bench = stack_bench()
    order = before(STACK, "on:damper_foot_fastener", "cycle:air_charge")
    bench.only("feet-first", "cycle:air_charge", bench.steps(order))


def test_no_stroke_is_made_with_the_lowers_off() -> None:
    bench = stack_bench(None)
    order = before(AFTER_THE_LOWERS, "on:lowers", "cycle:air_charge")
    bench.only("feet-first", "cycle:air_charge", bench.steps(order), backed_by=("cycled",))


def test_the_charge_before_the_lowers_is_no_charge_for_after_them() -> None:
    bench = stack_bench()
    place = STACK.index("on:lowers") + 1
    order = (*STACK[:place], "off:air_charge", RIDING, *STACK[place:])
    bench.only("feet-first", RIDING, bench.steps(order))


def test_strokes_without_the_riding_charge_prove_nothing() -> None:
    bench = stack_bench(None)
    early = bench.steps(before(AFTER_THE_LOWERS, RIDING, "cycle:air_charge"))
    bench.only("cycled", "cycle:air_charge", early)
    soft = bench.steps(AFTER_THE_LOWERS, charge__riding__air_charge={"pressure_gauge": HOLDING_GAUGE})
    bench.only("cycled", "cycle:air_charge", soft)


def test_strokes_after_the_final_charge_undo_it() -> None:
    bench = stack_bench()
    place = STACK.index(FINAL) + 1
    order = (*STACK[:place], "cycle:air_charge", *STACK[place:])
    bench.only("cycled", "cycle:air_charge", bench.steps(order))


def test_letting_out_forgets_the_strokes() -> None:
    bench = stack_bench()
    again = (*STACK[: STACK.index(FINAL)], "off:air_charge", RIDING, *STACK[STACK.index(FINAL) :])
    bench.only("cycled", FINAL, bench.steps(again))


@pytest.mark.parametrize("stage", [RIDING, FINAL])
def test_a_charge_does_not_go_in_twice(stage: str) -> None:
    bench = stack_bench()
    bench.only("absent", stage, bench.steps(twice(STACK, stage)))


def test_a_holding_charge_does_not_go_in_over_a_riding_one() -> None:
    bench = shaft_bench()
    order = before(whole(SHAFT_WORK, ChargeStage.ASSEMBLY), HOLDING, RIDING)
    bench.only("absent", HOLDING, bench.steps(order), backed_by=("feet-first", "cycled"))


def test_a_charge_says_which_and_how_much() -> None:
    bench = stack_bench()
    for left_out in ("stage", "pressure_gauge"):
        assert bench.verdict(bench.steps(STACK, charge__riding__air_charge={left_out: None})) == Refusal(
            "absent", RIDING, "it does not say which charge goes in, or at which pressure"
        )


def test_air_goes_in_by_charging_even_if_a_sheet_has_another_way() -> None:
    sheet = stack_fork()
    air = sheet.item("air_charge")
    odd = replace(air, works=(*air.works, *only(Act.ON)))
    bench = replace(untouched(), sheet=replace(sheet, items=tuple(odd if i is air else i for i in sheet.items)))
    order = before(before(PRESSURE_ONLY, RIDING, "off:air_charge"), RIDING, "on:air_charge")
    assert bench.verdict(bench.steps(order)) == Refusal("absent", "on:air_charge", "air goes in by charging")
