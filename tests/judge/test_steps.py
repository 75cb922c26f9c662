"""The sheet's own order, and what a step must bring with it, from every side."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from sagwright.domain.item import Act, Fluid, Hand, Item, Record, ThreadState, Torque
from sagwright.domain.setup import Change
from sagwright.domain.value import Quantity, Unknown
from sagwright.judge import Refusal
from tests.support.forks import (
    CUTS,
    GREASED_CAP,
    SCORES,
    UNKNOWN_FOOT,
    WASHER,
    value,
    work,
)
from tests.support.sequences import (
    FINAL,
    RIDING,
    SHAFT,
    STACK,
    after,
    before,
    keys,
    plain,
    shaft_bench,
    stack_bench,
    twice,
    without,
)

# the sheet's order


def test_a_part_does_not_go_on_twice() -> None:
    bench = stack_bench()
    bench.only("absent", "on:air_cap", bench.steps(twice(STACK, "on:air_cap")))


def test_work_that_the_sheet_does_not_describe_is_refused() -> None:
    bench = stack_bench()
    place = STACK.index("change:volume_spacers")
    odd = bench.steps((*STACK[:place], "off:volume_spacers", *STACK[place:]))
    bench.only("absent", "off:volume_spacers", odd)
    proven = bench.steps(before(STACK, RIDING, "check:air_cap"))
    bench.only("absent", "check:air_cap", proven)


def test_an_item_that_the_sheet_does_not_have_is_refused() -> None:
    bench = stack_bench()
    stranger = plain("off:stem", Act.OFF, Item("stem", "stem"), work())
    steps = bench.steps(STACK)
    assert bench.verdict((steps[0], stranger, *steps[1:])) == Refusal(
        "absent", "off:stem", "the sheet has no item stem"
    )


def test_air_goes_into_nothing_but_the_air_spring() -> None:
    bench = stack_bench()
    cap = bench.sheet.item("air_cap")
    pumped = replace(cap, works=(*cap.works, (Act.CHARGE, work()), (Act.CYCLE, work())))
    odd = replace(
        bench,
        sheet=replace(bench.sheet, items=tuple(pumped if i is cap else i for i in bench.sheet.items)),
    )
    assert odd.reported(before(STACK, FINAL, "charge:riding:air_cap")) == ("absent", "charge:riding:air_cap")
    assert odd.reported(before(STACK, FINAL, "cycle:air_cap")) == ("absent", "cycle:air_cap")


def test_a_setting_is_changed_only_in_the_open() -> None:
    bench = stack_bench()
    early = bench.steps(before(STACK, "off:air_shaft", "change:travel_spacers"))
    bench.only("covered", "change:travel_spacers", early)


def test_what_never_comes_off_by_itself_is_changed_once_it_lies_open() -> None:
    bench = stack_bench()
    stacked_up = (
        replace(i, works=(*i.works, (Act.ON, work()))) if i.key == "travel_spacers" else i for i in bench.sheet.items
    )
    odd = replace(bench, sheet=replace(bench.sheet, items=tuple(stacked_up)))
    assert odd.verdict(odd.steps(STACK)) is None


def test_what_has_no_step_of_its_own_covers_again_once_it_is_closed_in() -> None:
    bench = stack_bench()
    guard = Item("guard", "guard", ("lowers",))
    under = (replace(i, covered_by=("guard",)) if i.key == "wipers" else i for i in bench.sheet.items)
    guarded = replace(bench, sheet=replace(bench.sheet, items=(*under, guard)))
    wipers = keys("off:wipers on:wipers")
    assert guarded.verdict(guarded.steps(after(STACK, "off:lowers", *wipers))) is None
    late = guarded.steps(after(STACK, "on:lowers", *wipers))
    guarded.only("covered", "off:wipers", late)


def test_a_shaft_is_swapped_only_once_it_is_out() -> None:
    bench = shaft_bench()
    early = bench.steps(before(SHAFT, "off:air_shaft", "change:air_shaft"))
    bench.only("covered", "change:air_shaft", early)


@pytest.mark.parametrize("change", keys("change:travel_spacers change:transfer_port"))
def test_a_setting_is_not_closed_in_unchanged(change: str) -> None:
    bench = stack_bench()
    order = without(STACK, change)
    assert bench.reported(order) == ("uncovered", "on:air_shaft")
    bench.only("target", None, bench.steps(order), backed_by=("uncovered",))


def test_the_old_shaft_does_not_go_back_in() -> None:
    assert shaft_bench().reported(without(SHAFT, "change:air_shaft")) == ("uncovered", "on:air_shaft")


def test_a_cap_goes_on_over_changed_volume_spacers_only() -> None:
    assert stack_bench().reported(without(STACK, "change:volume_spacers")) == ("uncovered", "on:air_cap")


# what a step brings with it


def found(
    field: str, quantity: Quantity = Quantity.COUNT, *, low: float | None = 0.0, high: float | None = 0.0
) -> Record:
    return Record(f"found_{field}", field, quantity, low=low, high=high)


@pytest.mark.parametrize(
    ("rule", "step", "fields"),
    [
        ("renewed", "on:damper_foot_fastener", {"renew": (replace(WASHER, size="6 mm"),)}),
        ("torque-state", "on:air_cap", {"torque": replace(GREASED_CAP, value=value(25.0))}),
        ("torque-state", "on:air_cap", {"torque": replace(GREASED_CAP, value=None)}),
        ("torque-state", "on:air_cap", {"torque": replace(GREASED_CAP, hand=Hand.LEFT)}),
        ("torque-state", "on:spring_foot_fastener", {"torque": None}),
        ("torque-state", "on:spring_foot_fastener", {"torque": Torque(value(6.0), ThreadState.DRY)}),
        ("torque-state", "on:spring_foot_fastener", {"torque": replace(UNKNOWN_FOOT, state=ThreadState.OILED)}),
        ("hold-point", "check:air_retaining_ring", {"hold_point": False}),
        ("hold-point", "check:air_retaining_ring", {"records": (Record("retaining_ring_looked_at", "seen"),)}),
        ("hold-point", "off:adjusters", {"records": (Record("rebound_clicks", "", Quantity.COUNT),)}),
        ("hold-point", "off:adjusters", {"records": (Record("rebound_clicks", "", Quantity.COUNT, high=31.0),)}),
        ("hold-point", "off:readings", {"records": (Record("pressure_found", "", Quantity.LENGTH, low=0.0),)}),
        ("hold-point", "off:readings", {"records": (Record("pressure_found", "", Quantity.PRESSURE),)}),
        ("hold-point", "off:readings", {"records": (Record("pressure_found", "", Quantity.PRESSURE, low=-1.0),)}),
        ("fluid", "on:damper_lower_leg_oil", {"fluid": None}),
        ("fluid", "on:damper_lower_leg_oil", {"fluid": Fluid("damper oil", value(30e-6))}),
        ("settled", "change:transfer_port", {"hold_point": False}),
        ("settled", "change:transfer_port", {"records": (found("port_position", Quantity.LENGTH),)}),
        ("settled", "change:transfer_port", {"records": (found("travel_spacers"),)}),
        ("settled", "change:transfer_port", {"records": (found("port_position", low=None),)}),
        ("settled", "change:transfer_port", {"records": (found("port_position", high=None),)}),
        ("settled", "change:transfer_port", {"records": (found("port_position", low=1.0, high=1.0),)}),
        ("settled", "change:transfer_port", {"records": (found("port_position", low=-1.0, high=-1.0),)}),
        ("settled", "change:transfer_port", {"changes": (Change("port_position", 1, 2),)}),
        ("settled", "change:transfer_port", {"changes": (Change("port_position", Unknown.UNTIL_OPEN, 2),)}),
    ],
)
def test_a_step_that_brings_less_or_other_than_the_sheet_asks_is_refused(
    rule: str, step: str, fields: dict[str, Any]
) -> None:
    bench = stack_bench()
    bench.only(rule, step, bench.steps(STACK, **{step.replace(":", "__"): fields}))


def test_a_step_may_ask_for_more_than_the_sheet() -> None:
    bench = stack_bench()
    stricter = (
        Record("pressure_found", "gauge pressure", Quantity.PRESSURE, low=1.0, high=9e5),
        Record("battery", "pump's battery"),
    )
    fewer_clicks = (Record("rebound_clicks", "clicks from closed", Quantity.COUNT, low=0.0, high=20.0),)
    more = bench.steps(
        STACK,
        off__readings={"records": stricter},
        off__adjusters={"records": fewer_clicks},
        on__lowers={"hold_point": True},
    )
    assert bench.verdict(more) is None


def test_a_setting_may_be_found_anywhere_within_the_limits_around_what_was_expected() -> None:
    bench = stack_bench()
    wide = bench.steps(STACK, change__transfer_port={"records": (found("port_position", low=0.0, high=1.0),)})
    assert bench.verdict(wide) is None


def test_other_fluids_come_in_the_amount_of_their_own_work() -> None:
    bench = stack_bench()
    cap = bench.sheet.item("air_cap")
    oiled = replace(cap, works=((Act.OFF, work()), (Act.ON, work(fluid=Fluid("seal oil", value(2e-6))))))
    oil = bench.sheet.item("spring_lower_leg_oil")
    rinsed = replace(oil, works=((Act.OFF, work(fluid=Fluid("cleaner"))), (Act.ON, work(fluid=Fluid("lower-leg oil")))))
    others = {cap: oiled, oil: rinsed}
    items = tuple(next((new for old, new in others.items() if old is i), i) for i in bench.sheet.items)
    wet = replace(bench, sheet=replace(bench.sheet, items=items))
    assert wet.verdict(wet.steps(STACK)) is None
    for amount in (None, value(3e-6)):
        steps = wet.steps(STACK, on__air_cap={"fluid": Fluid("seal oil", amount)})
        wet.only("fluid", "on:air_cap", steps)
    flooded = wet.steps(STACK, off__spring_lower_leg_oil={"fluid": Fluid("cleaner", value(10e-6))})
    wet.only("fluid", "off:spring_lower_leg_oil", flooded)


def test_lower_leg_oil_of_another_amount_is_refused_and_would_not_be_the_target() -> None:
    bench = stack_bench()
    little = Fluid("lower-leg oil", value(9e-6))
    steps = bench.steps(STACK, on__spring_lower_leg_oil={"fluid": little})
    bench.only("fluid", "on:spring_lower_leg_oil", steps, backed_by=("target",))


def test_parts_are_inspected_while_off_and_for_everything() -> None:
    bench = stack_bench()
    partly = bench.steps(STACK, inspect__air_shaft={"inspect": (SCORES,)})
    bench.only("inspected", "on:air_shaft", partly)
    laxer = bench.steps(STACK, inspect__air_shaft={"inspect": (SCORES, replace(CUTS, limit="two"))})
    bench.only("inspected", "on:air_shaft", laxer)
    early = bench.steps(before(STACK, "off:air_shaft", "inspect:air_shaft"))
    bench.only("inspected", "on:air_shaft", early)


@pytest.mark.parametrize(
    "changes",
    [
        (),
        (Change("port_position", 0, 2), Change("volume_spacers", 1, 0)),
        (Change("port_position", 0, 3),),
        (Change("travel_spacers", 0, 2),),
        (Change("shaft_travel", 0.16, 0.14),),
    ],
)
def test_a_change_step_changes_exactly_its_own_setting_to_the_target(changes: tuple[Change, ...]) -> None:
    bench = stack_bench()
    records = (found("port_position"), found("travel_spacers"), found("volume_spacers", low=1.0, high=1.0))
    order = before(STACK, "change:travel_spacers", "change:transfer_port")
    steps = bench.steps(order, change__transfer_port={"changes": changes, "records": records})
    refusal = bench.verdict(steps)
    assert refusal is not None
    assert (refusal.rule, refusal.step) == ("settled", "change:transfer_port")
