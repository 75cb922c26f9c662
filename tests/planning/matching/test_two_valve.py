"""Forks with a second valve: both pressures chosen, the order of charging and emptying, and what the judge says."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from sagwright.domain.behaviour import Option
from sagwright.domain.intake import Aim, AimKind, Intake
from sagwright.domain.item import Act, ChargeStage, Role
from sagwright.domain.plan import Plan
from sagwright.domain.setup import Charge, Setup, ShaftSetting
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Step
from sagwright.domain.task import Progress
from sagwright.domain.value import Value
from sagwright.errors import InputError, MissingValue, OutOfRange
from sagwright.formats.fields.tasks import read_task
from sagwright.formats.output.plan import plan_shape
from sagwright.formats.sheet.load import load_sheet
from sagwright.judge import examine_sequence
from sagwright.planning.plan import make_plan
from sagwright.planning.spring.air import state_of
from sagwright.planning.spring.behaviour import behaviour_mismatch, behaviour_of, five_of
from sagwright.planning.spring.model import fit_of, model_of
from sagwright.planning.work.tasks import plan_tasks
from sagwright.service.plan import replan
from tests.support.intakes import PSI, intake_of, shipped, value
from tests.support.selections import built, selection_of

SECOND, NEGATIVE = "second_gauge", "negative_gauge"


def checked_in(sheet: Sheet, *, travel: float, pressure: float = 70.0, **own: float) -> Intake:
    charge = Charge(value(pressure * PSI), **{name: value(psi * PSI) for name, psi in own.items()})  # type: ignore[arg-type]
    longest = sheet.chassis[0].longest.si
    return intake_of(sheet, ShaftSetting(longest), chassis=sheet.chassis[0].name, travel=travel, charge=charge)


@cache
def two_stage() -> Plan:
    return make_plan(checked_in(shipped("specimen/s38"), travel=0.16, second_gauge=140.0), program="test")


@cache
def own_negative() -> Plan:
    return make_plan(checked_in(shipped("specimen/v34"), travel=0.12, negative_gauge=70.0), program="test")


def held(option: Option) -> Charge:
    assert isinstance(option.setup.charge, Charge)
    return option.setup.charge


def target(plan: Plan) -> Option:
    assert plan.target is not None
    return plan.target


def gauge(option: Option, field: str) -> float:
    said: Value | None = getattr(held(option), field)
    assert said is not None
    return said.si


def behaves(plan: Plan, setup: Setup, charge: Charge) -> float:
    """How far one setup, charged so, is from how it rode; computed for it alone."""
    sheet, load = plan.work.sheet, selection_of(plan).spring.load
    assert load is not None
    model = model_of(sheet, fit_of(sheet, setup), selection_of(plan).intake.workshop)
    five = five_of(
        behaviour_of(
            model, state_of(model, charge), load.force.value, exponent=selection_of(plan).spring.stroke_exponent
        )
    )
    return float(
        behaviour_mismatch(five, five_of(selection_of(plan).spring.as_found[0]), selection_of(plan).spring.noticeable)
    )


def test_every_choice_of_the_second_pressure_is_an_option() -> None:
    sheet = two_stage().work.sheet
    rows = {
        (row.setup.volume_spacers, round(gauge(row, SECOND) / PSI))
        for row in selection_of(two_stage()).options
        if not row.as_found
    }
    assert rows == {(spacers, psi) for spacers in range(3) for psi in range(110, 191, 10)}
    assert sheet.air.second is not None
    assert len(sheet.air.second.valve.choices) == 9


def test_both_pressures_of_the_target_are_those_of_least_distance() -> None:
    # Every setup alone, on a grid of both pressures that knows nothing of how they were chosen.
    plan = two_stage()
    best = target(plan)
    tried = [
        behaves(plan, replace(best.setup, volume_spacers=n), Charge(value(main * PSI), second_gauge=value(psi * PSI)))
        for n in range(3)
        for main in np.arange(42.0, 110.0, 4.0)
        for psi in range(110, 191, 20)
    ]
    assert best.mismatch <= min(tried) + 1e-6
    assert best.mismatch == pytest.approx(behaves(plan, best.setup, held(best)), abs=1e-6)


def test_the_main_pressure_of_a_row_is_the_best_for_its_second() -> None:
    plan = two_stage()
    row = next(
        one for one in selection_of(plan).options if not one.as_found and not one.at_limit and one != plan.target
    )
    assert row.pressure_gauge is not None
    for more in (-2e3, 2e3):
        off = replace(held(row), pressure_gauge=value(row.pressure_gauge.value + more))
        assert behaves(plan, row.setup, off) > row.mismatch - 1e-9


def test_a_sag_is_met_exactly_at_any_second_pressure() -> None:
    intake = selection_of(two_stage()).intake
    aimed = replace(intake, wish=replace(intake.wish, aim=Aim(AimKind.SAG, sag_fraction=0.22)))
    plan = make_plan(aimed, program="test")
    met = [one for one in selection_of(plan).options if not one.as_found and not one.at_limit]
    assert len(met) > 20
    for row in met:
        assert row.behaviour.sag_fraction.value == pytest.approx(0.22, abs=2e-4)
    strong = next(one for one in met if round(gauge(one, SECOND) / PSI) == 190)
    assert strong.behaviour.sag.value == pytest.approx(0.22 * 0.16, abs=4e-5)


def test_a_capacity_is_met_exactly() -> None:
    intake = selection_of(two_stage()).intake
    aimed = replace(intake, wish=replace(intake.wish, aim=Aim(AimKind.CAPACITY, capacity=150.0)))
    met = [
        one for one in selection_of(make_plan(aimed, program="test")).options if not one.as_found and not one.at_limit
    ]
    assert met
    assert [one.behaviour.capacity.value for one in met] == pytest.approx([150.0] * len(met), abs=0.01)


def test_pinned_pressures_are_kept() -> None:
    intake = selection_of(two_stage()).intake
    wish = replace(intake.wish, pressure_gauge=value(66 * PSI), second_gauge=value(150 * PSI))
    best = target(make_plan(replace(intake, wish=wish), program="test"))
    assert best.pressure_gauge is not None
    assert best.pressure_gauge.value == pytest.approx(66 * PSI)
    assert gauge(best, SECOND) == pytest.approx(150 * PSI)


def test_a_pinned_second_pressure_that_is_not_permitted_is_refused() -> None:
    intake = selection_of(two_stage()).intake
    plan = make_plan(replace(intake, wish=replace(intake.wish, second_gauge=value(230 * PSI))), program="test")
    assert "target.own-pressure-outside" in {one.code for one in plan.findings}
    assert plan.target is None


def test_a_negative_charge_follows_the_main_one() -> None:
    for row in selection_of(own_negative()).options:
        if not row.as_found:
            assert row.pressure_gauge is not None
            assert gauge(row, NEGATIVE) == pytest.approx(row.pressure_gauge.value, abs=1.0)


def test_uncertainty_counts_both_readings_and_one_bias() -> None:
    known = target(two_stage()).behaviour
    assert all(one.u is not None and one.u > 0 for one in (known.sag, known.capacity, known.ramp_up))
    read = selection_of(two_stage()).intake
    sharp = replace(
        read, as_found=replace(read.as_found, setup=replace(read.as_found.setup, charge=_sharp(read.as_found.setup)))
    )
    fine, rough = (
        selection_of(plan).spring.as_found[0].capacity.u for plan in (make_plan(sharp, program="test"), two_stage())
    )
    assert fine is not None
    assert rough is not None
    assert fine < rough


def _sharp(setup: Setup) -> Charge:
    assert isinstance(setup.charge, Charge)
    assert setup.charge.second_gauge is not None
    return replace(setup.charge, second_gauge=Value(setup.charge.second_gauge.si, 100.0))


def keys(plan: Plan) -> list[str]:
    return [step.key for step in plan.work.steps]


def test_what_is_charged_first_is_emptied_last() -> None:
    order = keys(two_stage())
    assert order.index("off:air_charge") < order.index("off:second_charge") < order.index("off:air_cap")
    assert order.index("charge:riding:second_charge") < order.index("charge:riding:air_charge")


def test_what_is_charged_last_is_emptied_first() -> None:
    order = keys(own_negative())
    assert order.index("off:negative_charge") < order.index("off:air_charge")
    assert order.index("charge:riding:air_charge") < order.index("charge:riding:negative_charge")
    assert "cycle:air_charge" not in order  # nothing to work it through


def test_the_step_says_the_second_pressure_and_holds_for_it() -> None:
    plan = two_stage()
    step = next(one for one in plan.work.steps if one.key == "charge:riding:second_charge")
    assert step.pressure_gauge == gauge(target(plan), SECOND)
    assert step.hold_point
    left = next(record for record in step.records if record.key == "second_left")
    assert left.low is not None
    assert left.high is not None
    assert left.low < step.pressure_gauge < left.high
    shape = plan_shape(plan)
    assert shape["target"]["setup"]["charge"][SECOND]["value"] == step.pressure_gauge  # type: ignore[index, call-overload]


def test_its_pressure_is_read_before_anything_is_touched() -> None:
    (first, *_) = two_stage().work.steps
    assert "second_found" in {record.key for record in first.records}


def refused(plan: Plan, steps: tuple[Step, ...]) -> str:
    found = examine_sequence(plan.work.sheet, plan.work.as_found, target(plan).setup, steps)
    return "" if found is None else found.rule


def moved(plan: Plan, key: str, before: str) -> tuple[Step, ...]:
    step = next(one for one in plan.work.steps if one.key == key)
    rest = [one for one in plan.work.steps if one.key != key]
    place = [one.key for one in rest].index(before)
    return (*rest[:place], step, *rest[place:])


def without(plan: Plan, key: str) -> tuple[Step, ...]:
    return tuple(one for one in plan.work.steps if one.key != key)


@pytest.mark.parametrize("plan", [two_stage, own_negative])
def test_the_judge_accepts_the_plan(plan: object) -> None:
    made: Plan = plan()  # type: ignore[operator]
    assert refused(made, made.work.steps) == ""


def test_the_judge_refuses_a_cap_over_a_chamber_that_is_not_confirmed_empty() -> None:
    assert refused(two_stage(), without(two_stage(), "off:second_charge")) == "confirmed-empty"
    assert refused(own_negative(), without(own_negative(), "off:negative_charge")) == "valve-order"


def test_the_judge_refuses_the_other_order() -> None:
    plan, other = two_stage(), own_negative()
    assert refused(plan, moved(plan, "off:second_charge", "off:air_charge")) == "valve-order"
    assert refused(plan, moved(plan, "charge:riding:air_charge", "charge:riding:second_charge")) == "valve-order"
    assert refused(other, moved(other, "off:air_charge", "off:negative_charge")) == "valve-order"
    early = moved(other, "charge:riding:negative_charge", "charge:riding:air_charge")
    assert refused(other, early) == "valve-order"


def test_the_judge_refuses_a_second_pressure_that_is_not_the_targets() -> None:
    plan = two_stage()
    wrong = tuple(
        replace(one, pressure_gauge=1e6) if one.key == "charge:riding:second_charge" else one for one in plan.work.steps
    )
    assert refused(plan, wrong) == "final-charge"


def test_the_judge_refuses_to_charge_it_twice() -> None:
    plan = two_stage()
    step = next(one for one in plan.work.steps if one.key == "charge:riding:second_charge")
    place = plan.work.steps.index(step)
    assert refused(plan, (*plan.work.steps[:place], step, *plan.work.steps[place:])) == "absent"


def test_only_a_second_pressure_changed_empties_the_main_chamber_and_opens_nothing() -> None:
    sheet = shipped("specimen/s38")
    intake = checked_in(sheet, travel=0.17, second_gauge=140.0)
    wish = replace(intake.wish, pressure_gauge=value(70 * PSI), second_gauge=value(160 * PSI), volume_spacers=1)
    plan = make_plan(replace(intake, wish=wish), program="test")
    order = keys(plan)
    assert "off:air_cap" not in order
    assert "off:second_charge" not in order
    assert order.index("off:air_charge") < order.index("charge:riding:second_charge")
    assert refused(plan, plan.work.steps) == ""


def test_a_second_pressure_nobody_read_is_asked_for_and_set() -> None:
    plan = make_plan(checked_in(shipped("specimen/s38"), travel=0.17), program="test")
    assert "found.own-pressure-unread" in {one.code for one in plan.findings}
    assert "charge:riding:second_charge" in keys(plan)


@pytest.mark.parametrize("name", ["specimen/s38", "specimen/v34"])
@pytest.mark.parametrize("tasks", [("lower-legs",), ("damper", "wipers"), ("volume-spacers=1",)])
def test_charges_that_nobody_asks_for_are_decided_at_the_bench_each_at_its_valve(
    name: str, tasks: tuple[str, ...]
) -> None:
    sheet = shipped(name)
    work = plan_tasks(sheet, [read_task(one) for one in tasks], program="test")
    own = next(one for one in work.work.steps if one.stage is not None and one.item != "air_charge")
    assert own.pressure_gauge is None
    (record,) = (one for one in own.records if one.key.endswith("_left"))
    assert own.hold_point
    assert record.low is not None
    assert record.high is not None
    assert "decided here" in own.do
    assert examine_sequence(sheet, work.work.as_found, built(work), work.work.steps) is None
    for wrong in (
        replace(own, hold_point=False),
        replace(own, records=()),
        replace(own, records=(replace(record, low=None, high=None),)),
        replace(own, records=(replace(record, high=record.high * 1.2),)),
    ):
        steps = tuple(wrong if one is own else one for one in work.work.steps)
        refusal = examine_sequence(sheet, work.work.as_found, built(work), steps)
        assert refusal is not None
        assert refusal.step == own.key
    without = tuple(one for one in work.work.steps if one is not own)
    assert examine_sequence(sheet, work.work.as_found, built(work), without) is not None


def test_a_pressure_that_was_read_is_put_back_and_the_other_decided_at_the_bench() -> None:
    work = plan_tasks(shipped("specimen/s38"), [read_task("lower-legs")], program="test")
    done = tuple(one.key for one in work.work.steps[:3])
    rest = replan(work, Progress(done, (("pressure", 80 * PSI),)))
    final = next(one for one in rest.work.steps if one.stage is ChargeStage.FINAL)
    assert final.pressure_gauge == pytest.approx(80 * PSI)
    assert next(one for one in rest.work.steps if one.key == "charge:riding:second_charge").pressure_gauge is None


def test_a_second_pressure_alone_is_one_message() -> None:
    with pytest.raises(MissingValue, match="beside second-pressure"):
        plan_tasks(shipped("specimen/s38"), [read_task("second-pressure=150psi")], program="test")


def test_a_second_pressure_that_is_asked_for_is_what_goes_in() -> None:
    sheet = shipped("specimen/s38")
    asked = [read_task("lower-legs"), read_task("set-pressure=70psi")]
    work = plan_tasks(sheet, [*asked, read_task("second-pressure=150psi")], program="test")
    set_to = {one.key: one.pressure_gauge for one in work.work.steps if one.stage is not None}
    assert set_to["charge:riding:second_charge"] == pytest.approx(150 * PSI)
    assert examine_sequence(sheet, work.work.as_found, built(work), work.work.steps) is None
    with pytest.raises(OutOfRange, match="permit"):
        plan_tasks(sheet, [*asked, read_task("second-pressure=250psi")], program="test")
    with pytest.raises(OutOfRange, match="something to do"):
        plan_tasks(shipped("specimen/p34"), [*asked, read_task("second-pressure=150psi")], program="test")


def test_a_sequence_follows_the_main_pressure_where_the_sheet_does() -> None:
    sheet = shipped("specimen/v34")
    work = plan_tasks(sheet, [read_task("lower-legs"), read_task("set-pressure=72psi")], program="test")
    step = next(one for one in work.work.steps if one.key == "charge:riding:negative_charge")
    assert step.pressure_gauge == pytest.approx(72 * PSI)
    assert examine_sequence(sheet, work.work.as_found, built(work), work.work.steps) is None


@pytest.mark.parametrize("before", [ChargeStage.ASSEMBLY, ChargeStage.RIDING])
@pytest.mark.parametrize("name", ["specimen/s38", "specimen/v34"])
def test_every_charging_rule_of_a_sheet_has_an_order(name: str, before: ChargeStage) -> None:
    sheet = shipped(name)
    charging = replace(sheet.charging, before_lowers=before, assembly_gauge=value(30 * PSI))
    plan = make_plan(checked_in(replace(sheet, charging=charging), travel=sheet.chassis[0].travels[0]), program="test")
    assert plan.work.steps
    assert refused(plan, plan.work.steps) == ""


BASE = "shape: sheet/1\nextends: specimen/p34\nmodel: Test\nspring:\n  second: "


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("{volume: 60 ml, pressure: 170 psi, ratio: 2}", "spring.second.pressure"),
        ("{volume: 60 ml, pressure: 120..170 psi}", "spring.second.every"),
        ("{volume: 60 ml, pressure: 120..170 psi, every: 7 psi}", "spring.second.pressure"),
        ("{volume: 60 ml, pressure: 170 psi, every: 10 psi}", "spring.second.every"),
        ("{volume: 60 ml, pressure: 170 psi, permitted: 100..150 psi}", "spring.second.pressure"),
        ("{volume: 60 ml, table: [{main: 60 psi, here: 140 psi}]}", "spring.second.table"),
        ("{volume: 60 ml, pressure: 170 psi, charged: later}", "spring.second.charged"),
    ],
)
def test_rules_of_a_valve_that_contradict_themselves_are_refused(tmp_path: Path, text: str, named: str) -> None:
    path = tmp_path / "test.yaml"
    path.write_text(BASE + text + "\n", "utf-8")
    with pytest.raises(InputError) as caught:
        load_sheet(path)
    assert caught.value.field == named


def test_a_table_is_followed_on_straight_lines_and_ends_the_choice(tmp_path: Path) -> None:
    path = tmp_path / "test.yaml"
    table = "{volume: 60 ml, table: [{main: 60 psi, here: 130 psi}, {main: 90 psi, here: 190 psi}]}"
    path.write_text(BASE + table + "\n", "utf-8")
    sheet = load_sheet(path)
    assert sheet.having(Role.SECOND_CHARGE)[0].work(Act.CHARGE) is not None
    plan = make_plan(checked_in(sheet, travel=0.13, second_gauge=150.0), program="test")
    for row in selection_of(plan).options:
        if not row.as_found:
            assert row.pressure_gauge is not None
            assert 60 * PSI - 1 <= row.pressure_gauge.value <= 90 * PSI + 1
            assert gauge(row, SECOND) == pytest.approx(130 * PSI + 2.0 * (row.pressure_gauge.value - 60 * PSI), abs=1.0)


@pytest.mark.parametrize(("sheet", "emptied"), [("v34", True), ("s38", False)])
def test_what_is_charged_last_is_emptied_first_also_where_nothing_is_opened(sheet: str, *, emptied: bool) -> None:
    """A negative chamber left full under an empty main one draws the fork in; a floating piston stays on its charge."""
    fork = shipped(f"specimen/{sheet}")
    work = plan_tasks(fork, [read_task("measure")], program="test", chassis=fork.chassis[0].name)
    assert examine_sequence(work.work.sheet, work.work.as_found, built(work), work.work.steps) is None
    out = [fork.item(step.item).role for step in work.work.steps if step.act is Act.OFF]
    own = Role.NEGATIVE_CHARGE if emptied else Role.SECOND_CHARGE
    assert Role.AIR_CHARGE in out
    assert (own in out) is emptied
    if emptied:
        assert out.index(own) < out.index(Role.AIR_CHARGE)
