"""Laws over random orders: a hand-given partial order is exactly what the judge accepts, and nothing crashes it."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from sagwright.domain.item import Act, ChargeStage, Item
from sagwright.domain.setup import Setup, ShaftSetting, StackSetting
from sagwright.domain.step import Step
from sagwright.domain.value import Unknown
from sagwright.judge import RULES
from tests.support.forks import careless, charge, work
from tests.support.sequences import (
    SHAFT,
    STACK,
    STACK_WORK,
    Bench,
    Steps,
    in_order,
    ordered_pairs,
    plain,
    shaft_bench,
    stack_bench,
    whole,
)

# What must come before what when two travel spacers go in, written down by hand: every step on the left of a
# "<" before every step on its right. Common practice, no source.
OPENING_ORDER = """
    off:readings < off:adjusters off:air_charge
    off:adjusters < off:rebound_knob
    off:rebound_knob off:air_charge < off:spring_foot_fastener off:damper_foot_fastener
    off:spring_foot_fastener < off:spring_foot_seat < off:spring_lower_leg_oil < off:lowers
    off:damper_foot_fastener < off:damper_foot_seat < off:damper_lower_leg_oil < off:lowers
    off:air_charge < off:air_cap < change:volume_spacers < on:air_cap
    off:lowers < off:air_retaining_ring < off:air_shaft
    off:air_shaft < inspect:air_shaft change:travel_spacers change:transfer_port < on:air_shaft
    on:air_shaft < on:air_retaining_ring < check:air_retaining_ring
    on:lowers < on:spring_lower_leg_oil on:damper_lower_leg_oil < on:spring_foot_seat on:damper_foot_seat
    on:spring_foot_seat < on:spring_foot_fastener
    on:damper_foot_seat < on:damper_foot_fastener
    on:spring_foot_fastener on:damper_foot_fastener < on:rebound_knob < on:adjusters < on:readings
    cycle:air_charge < charge:final:air_charge < on:readings
    on:air_cap check:air_retaining_ring < charge:riding:air_charge < cycle:air_charge
    on:spring_foot_fastener on:damper_foot_fastener < cycle:air_charge
"""
RIDING_BEFORE_LOWERS = "charge:riding:air_charge < on:lowers"
RIDING_AFTER_FEET = """
    check:air_retaining_ring < on:lowers
    on:spring_foot_fastener on:damper_foot_fastener < charge:riding:air_charge
"""

BY_STAGE = {
    ChargeStage.RIDING: OPENING_ORDER + RIDING_BEFORE_LOWERS,
    None: OPENING_ORDER + RIDING_AFTER_FEET,
}


stages = st.sampled_from([ChargeStage.RIDING, None])


@given(stages, st.permutations(STACK))
def test_of_good_orders_only_a_swap_of_ordered_neighbours_or_a_dropped_step_is_refused(
    stage: ChargeStage | None, preferred: list[str]
) -> None:
    bench, pairs = stack_bench(stage), ordered_pairs(BY_STAGE[stage])
    steps = bench.steps(in_order(tuple(preferred), pairs))
    assert bench.verdict(steps) is None
    for place, (one, other) in enumerate(pairwise(steps)):
        swapped = (*steps[:place], other, one, *steps[place + 2 :])
        assert (bench.verdict(swapped) is not None) == ((one.key, other.key) in pairs)
    for place in range(len(steps)):
        assert bench.verdict((*steps[:place], *steps[place + 1 :])) is not None


def test_the_hand_given_order_speaks_of_every_step() -> None:
    for stage, text in BY_STAGE.items():
        assert {key for pair in ordered_pairs(text) for key in pair} == set(whole(STACK_WORK, stage))


# Nothing that can be written down crashes it.

NUMBERS = st.one_of(st.none(), st.floats(), st.just(charge(0.0).pressure_gauge.si))
SPACERS = st.one_of(st.sampled_from(Unknown), st.integers(0, 3))
SETTINGS = st.one_of(
    st.builds(StackSetting, SPACERS, SPACERS),
    st.builds(ShaftSetting, st.one_of(st.sampled_from(Unknown), st.floats())),
)
SETUPS = st.builds(
    Setup,
    st.sampled_from(["long", "short"]),
    SETTINGS,
    SPACERS,
    st.one_of(st.sampled_from(Unknown), st.builds(charge, st.floats())),
)
TAMPERINGS = st.fixed_dictionaries(
    {},
    optional={
        "hold_point": st.booleans(),
        "records": st.just(()),
        "torque": st.none(),
        "fluid": st.none(),
        "renew": st.just(()),
        "inspect": st.just(()),
        "changes": st.just(()),
        "stage": st.sampled_from([None, *ChargeStage]),
        "pressure_gauge": NUMBERS,
    },
)


@st.composite
def benches(draw: st.DrawFn) -> Bench:
    """A fork, whole or by a forgetful sheet, between any two setups, even of another mechanism."""
    bench = draw(st.sampled_from([stack_bench(), stack_bench(None), shaft_bench()]))
    sheet = draw(st.sampled_from([bench.sheet, careless(bench.sheet)]))
    setups = st.one_of(SETUPS, st.just(bench.as_found), st.just(bench.target))
    return Bench(sheet, draw(setups), draw(setups))


@st.composite
def any_step(draw: st.DrawFn, bench: Bench) -> Step:
    """Any act on any item, or on none that there is."""
    act = draw(st.sampled_from(Act))
    item = draw(st.sampled_from((*bench.sheet.items, Item("stem", "stem"))))
    fields: dict[str, Any] = draw(TAMPERINGS)
    return replace(plain(f"{act}:{item.key}", act, item, item.work(act) or work()), **fields)


@st.composite
def spoilt(draw: st.DrawFn, good: Steps, bench: Bench) -> Steps:
    """Good steps with some moved, doubled, dropped, tampered with, or joined by any other."""
    steps = list(good)
    for _ in range(draw(st.integers(0, 6))):
        place = draw(st.integers(0, len(steps) - 1))
        taken = steps.pop(place)
        fields: dict[str, Any] = draw(TAMPERINGS)
        fates = ((), (taken,), (taken, taken), (replace(taken, **fields),), (draw(any_step(bench)),))
        target = draw(st.integers(0, len(steps)))
        steps[target:target] = draw(st.sampled_from(fates))
    return tuple(steps)


@given(st.data())
def test_any_steps_at_all_get_an_answer(data: st.DataObject) -> None:
    bench = data.draw(benches())
    answered(bench, tuple(data.draw(st.lists(any_step(bench), max_size=30))))


@given(st.data())
def test_good_steps_spoilt_get_an_answer(data: st.DataObject) -> None:
    bench = data.draw(st.sampled_from([stack_bench(), shaft_bench()]))
    order = STACK if bench == stack_bench() else SHAFT
    steps = data.draw(spoilt(bench.steps(order), bench))
    sheet = data.draw(st.sampled_from([bench.sheet, careless(bench.sheet)]))
    answered(replace(bench, sheet=sheet), steps)


def answered(bench: Bench, steps: Steps) -> None:
    """The same answer twice, by a rule that people can look up and about a step that is there."""
    refusal = bench.verdict(steps)
    assert bench.verdict(steps) == refusal
    if refusal is not None:
        assert refusal.rule in RULES
        assert refusal.reason
        assert refusal.step is None or refusal.step in {step.key for step in steps}
