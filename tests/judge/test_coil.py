"""Interlocks of a coil fork: stored energy that no gauge shows. Common practice, no source."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sagwright.domain.item import Act, ChargeStage
from sagwright.domain.setup import Change
from sagwright.judge import RULES, Refusal
from sagwright.planning.progress.recheck import break_step, rechecks
from tests.support.coil_forks import COIL, PRELOAD_ONLY, CoilBench, coil_bench, coiled, forgetful_coil
from tests.support.forks import work
from tests.support.sequences import after, before, in_order, keys, ordered_pairs, plain, twice, without

# What must come before what, written down by hand, as in test_laws. Common practice, no source.
ORDER = """
    off:readings < off:adjusters off:preload
    off:adjusters < off:rebound_knob < off:spring_foot_fastener off:damper_foot_fastener
    off:spring_foot_fastener < off:spring_foot_seat < off:spring_lower_leg_oil < off:lowers
    off:damper_foot_fastener < off:damper_foot_seat < off:damper_lower_leg_oil < off:lowers
    off:preload < off:spring_cap < change:preload_spacers off:coil < on:spring_cap
    off:coil < change:coil < on:coil < on:spring_cap < on:preload < on:readings
    off:lowers off:coil < off:spring_retaining_ring < off:spring_shaft
    off:spring_shaft < inspect:spring_shaft change:top_out_spacers < on:spring_shaft
    on:spring_shaft < on:spring_retaining_ring < check:spring_retaining_ring < on:coil on:lowers
    on:lowers < on:spring_lower_leg_oil on:damper_lower_leg_oil < on:spring_foot_seat on:damper_foot_seat
    on:spring_foot_seat < on:spring_foot_fastener
    on:damper_foot_seat < on:damper_foot_fastener
    on:spring_foot_fastener on:damper_foot_fastener < on:rebound_knob < on:adjusters < on:readings
"""


def test_a_conversion_of_a_coil_fork_is_accepted_without_any_air() -> None:
    assert coil_bench().reported(COIL) is None


def test_only_the_preload_may_be_turned() -> None:
    bench = replace(coil_bench(), target=coiled(0, "soft", 3, 0.007))
    assert bench.reported(PRELOAD_ONLY) is None
    assert bench.reported(without(PRELOAD_ONLY, "on:preload")) == ("uncovered", "on:readings")


def test_the_hand_given_order_speaks_of_every_step() -> None:
    assert {key for pair in ordered_pairs(ORDER) for key in pair} == set(COIL)


@given(st.permutations(COIL))
def test_of_good_orders_only_a_swap_of_ordered_neighbours_or_a_dropped_step_is_refused(preferred: list[str]) -> None:
    bench, pairs = coil_bench(), ordered_pairs(ORDER)
    order = in_order(tuple(preferred), pairs)
    assert bench.reported(order) is None
    steps = bench.steps(order)
    for place, (one, other) in enumerate(pairwise(steps)):
        swapped = (*steps[:place], other, one, *steps[place + 2 :])
        assert (bench.verdict(swapped) is not None) == ((one.key, other.key) in pairs)
    for place in range(len(steps)):
        assert bench.verdict((*steps[:place], *steps[place + 1 :])) is not None


def test_the_proof_is_not_read_before_the_preload_is_set() -> None:
    bench = forgetful_coil()
    bench.only("final-readings-last", "on:readings", bench.steps(after(COIL, "on:readings", "on:preload")))


def test_no_cap_comes_off_a_coil_whose_preload_is_turned_in() -> None:
    bench = forgetful_coil()
    bench.only("spring-relaxed", "off:spring_cap", bench.steps(before(COIL, "off:preload", "off:spring_cap")))


def test_no_cap_goes_on_against_a_preload_turned_in_before() -> None:
    bench = forgetful_coil()
    bench.only("spring-relaxed", "on:spring_cap", bench.steps(before(COIL, "on:spring_cap", "on:preload")))


@pytest.mark.parametrize("opened", keys("off:spring_retaining_ring off:spring_shaft"))
def test_nothing_that_holds_the_shaft_in_is_opened_under_a_coil(opened: str) -> None:
    bench = forgetful_coil()
    bench.only("spring-out", opened, bench.steps(before(COIL, "off:coil", opened)))


def test_no_coil_goes_in_over_a_retaining_ring_that_was_not_proven() -> None:
    bench = forgetful_coil()
    bench.only("retainer-checked", "on:coil", bench.steps(after(COIL, "on:coil", "check:spring_retaining_ring")))


@pytest.mark.parametrize("turned", [(), (Change("adjuster", 0.004, 0.003),), (Change("coil", "soft", "firm"),)])
def test_the_preload_is_turned_to_the_targets_and_nothing_else(turned: tuple[Change, ...]) -> None:
    bench = coil_bench()
    refusal = bench.verdict(bench.steps(COIL, on__preload={"changes": turned}))
    assert refusal == Refusal("preload-set", "on:preload", "it is not turned to the target's preload")


def test_the_wrong_coil_is_refused_where_it_is_put_in() -> None:
    bench = coil_bench()
    wrong = (Change("coil", "soft", "soft"),)
    refusal = bench.verdict(bench.steps(COIL, change__coil={"changes": wrong}))
    assert refusal is not None
    assert (refusal.rule, refusal.step) == ("settled", "change:coil")


def test_a_coil_that_goes_back_unchanged_is_refused_by_what_was_to_change() -> None:
    bench = coil_bench()
    assert bench.reported(without(COIL, "change:coil")) == ("uncovered", "on:coil")


def test_there_is_no_air_to_let_out_or_in() -> None:
    bench = coil_bench()
    readings = bench.sheet.item("readings")
    pumped = replace(
        plain("charge:riding:readings", Act.CHARGE, readings, work()), stage=ChargeStage.RIDING, pressure_gauge=5e5
    )
    refusal = bench.verdict((*bench.steps(COIL[:1]), pumped))
    assert refusal is not None
    assert refusal.rule == "absent"


def test_a_preload_is_not_counted_twice() -> None:
    bench: CoilBench = coil_bench()
    assert bench.reported(twice(COIL, "off:preload")) == ("absent", "off:preload")


@given(st.lists(st.sampled_from(COIL), max_size=40))
def test_any_sequence_gets_an_answer(order: list[str]) -> None:
    refusal = coil_bench().verdict(coil_bench().steps(order))
    assert refusal is None or refusal.rule in RULES


@pytest.mark.parametrize(
    ("last", "stands"),
    [("off:adjusters", "as it was found"), ("off:preload", "backed off"), ("on:preload", "turned in as planned")],
)
def test_after_a_break_nobody_believes_what_is_written_of_a_preload(last: str, stands: str) -> None:
    """Whoever opens a cap over a coil that was turned in meanwhile is hit by it. Common practice, no source."""
    bench = coil_bench()
    steps = bench.steps(COIL)
    place = COIL.index(last) + 1
    proofs = tuple(rechecks(bench.sheet, steps[:place], 1))
    again = next(step for step in proofs if step.item == "preload")
    assert stands in again.do
    assert again.hold_point
    broken = (*steps[:place], break_step(bench.sheet, 1))
    assert bench.verdict((*broken, *proofs, *steps[place:])) is None
    unproven = (step for step in proofs if step is not again)
    refusal = bench.verdict((*broken, *unproven, *steps[place:]))
    assert refusal is not None
    assert refusal.rule == "rechecked"
