"""How the unit must leave, from every side."""

from __future__ import annotations

from dataclasses import replace

from sagwright.domain.item import Act, Fluid
from sagwright.domain.setup import LegState
from sagwright.domain.value import Unknown
from sagwright.judge import Refusal
from tests.support.forks import (
    careless,
    charge,
    shafted,
    stack_fork,
    stacked,
    value,
)
from tests.support.sequences import (
    FINAL,
    PRESSURE_ONLY,
    RIDING,
    STACK,
    Bench,
    after,
    keys,
    stack_bench,
    without,
)


def test_a_part_left_on_the_bench_is_missed() -> None:
    bench = replace(stack_bench(), sheet=careless(stack_fork()))
    bench.only("complete", None, bench.steps(after(STACK, "off:lowers", "off:wipers")))


def test_air_let_out_and_never_put_back_is_missed() -> None:
    bench = Bench(stack_fork(), stacked(0), stacked(0))
    order = keys("off:readings off:air_charge")
    assert bench.reported(order) == ("complete", None)
    assert bench.verdict_without(bench.steps(order), "complete") == Refusal(
        "final-charge", None, "the last charge is not the final one at the target's pressure"
    )


def test_another_chassis_or_mechanism_is_never_reached() -> None:
    for target in (replace(stacked(0), chassis="short"), shafted(0.160)):
        Bench(stack_fork(), stacked(0), target).only("target", None, ())


def test_doing_nothing_does_not_change_a_setting_or_a_charge() -> None:
    Bench(stack_fork(), stacked(0), stacked(1)).only("target", None, ())
    found = stacked(0)
    for gas in (
        charge(560e3),
        replace(charge(550e3), cycled=False),
        replace(charge(550e3), temperature=300.0),
        replace(charge(550e3), ambient_abs=90e3),
        replace(charge(550e3), compression=0.01),
        Unknown.NOT_MEASURED,
    ):
        Bench(stack_fork(), found, replace(found, charge=gas)).only("final-charge", None, ())
        Bench(stack_fork(), replace(found, charge=gas), found).only("final-charge", None, ())


def test_a_sequence_does_not_end_on_the_riding_charge() -> None:
    bench = stack_bench()
    steps = bench.steps(without(STACK, FINAL))
    bench.only("final-charge", None, steps, backed_by=("final-readings-last",))


def test_a_target_without_a_pressure_is_never_charged_to() -> None:
    open_charge = replace(stacked(0), charge=Unknown.NOT_MEASURED)
    bench = Bench(stack_fork(), stacked(0), open_charge)
    pumped = {RIDING.replace(":", "__"): {"pressure_gauge": 5e5}, FINAL.replace(":", "__"): {"pressure_gauge": 5e5}}
    steps = bench.steps(PRESSURE_ONLY, **pumped)
    bench.only("final-charge", None, steps, backed_by=("cycled",))
    riding_only = bench.steps(without(PRESSURE_ONLY, FINAL), **pumped)
    bench.only("final-charge", None, riding_only, backed_by=("cycled", "final-readings-last"))


def test_legs_found_filled_or_closed_wrong_are_right_once_they_were_opened() -> None:
    wrong = (LegState("spring", 4e-6, 0.03), LegState("damper", 50e-6))
    bench = stack_bench()
    found = replace(bench, as_found=replace(bench.as_found, legs=wrong))
    assert found.verdict(found.steps(STACK)) is None
    kept = replace(found, target=replace(found.target, legs=wrong))
    kept.only("target", None, kept.steps(STACK))


def test_legs_that_nobody_opens_stay_as_they_were_found() -> None:
    wrong = (LegState("spring", 4e-6, 0.03),)
    found = replace(stacked(0), legs=wrong)
    louder = replace(found, charge=charge(600e3))
    bench = Bench(stack_fork(), found, louder)
    assert bench.verdict(bench.steps(PRESSURE_ONLY)) is None
    put_right = replace(bench, target=replace(louder, legs=()))
    put_right.only("target", None, put_right.steps(PRESSURE_ONLY))


def test_a_leg_is_closed_anew_by_its_seat_and_filled_by_its_oil_alone() -> None:
    sheet = careless(stack_fork())
    fastener = sheet.item("spring_foot_fastener")
    glued = (
        *fastener.works[:1],
        (Act.ON, replace(fastener.works[1][1], fluid=Fluid("threadlocker", value(1e-7)))),
    )
    items = tuple(replace(i, works=glued) if i is fastener else i for i in sheet.items)
    found = replace(stacked(0), legs=(LegState("spring", 10e-6, 0.03),))
    bench = Bench(replace(sheet, items=items), found, found)
    opened = keys("off:adjusters off:rebound_knob off:air_charge off:spring_foot_fastener")
    closed = keys("on:spring_foot_fastener on:rebound_knob on:adjusters")
    retorqued = after(PRESSURE_ONLY, "off:readings", *opened, *closed)
    assert bench.verdict(bench.steps(retorqued)) is None
    reseated = after(retorqued, "off:spring_foot_fastener", "off:spring_foot_seat", "on:spring_foot_seat")
    bench.only("target", None, bench.steps(reseated))
