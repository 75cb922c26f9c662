"""Facts of the trade, each common practice with no source, on a family written down for these tests alone."""

from __future__ import annotations

import pathlib
from dataclasses import replace
from functools import cache

import pytest

from sagwright.domain.intake import Aim, AimKind, Rider, Surroundings
from sagwright.domain.item import Act, ChargeStage, Role, ThreadState
from sagwright.domain.plan import Plan
from sagwright.domain.setup import Setup, StackSetting
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Step
from sagwright.domain.value import Value
from sagwright.formats.sheet.load import load_sheet
from sagwright.physics.spring import Stroke
from sagwright.planning.spring.air import state_of
from sagwright.planning.spring.behaviour import SLOW
from sagwright.planning.spring.model import fit_of, model_of
from sagwright.planning.spring.setups import setting_for
from sagwright.service.plan import plan
from tests.support.intakes import PSI, charge, intake_of

HERE = pathlib.Path(__file__).parent


@cache
def family() -> Sheet:
    return load_sheet(HERE / "family.yaml")


@cache
def shortened() -> Plan:
    """From 160 to 140 mm, 80 kg rider, 85 psi as found."""
    return plan(intake_of(family(), StackSetting(0, 0), chassis="mid", travel=0.14, charge=charge(85.0)))


def step(key: str) -> Step:
    return next(one for one in shortened().work.steps if one.key == key)


def place(key: str) -> int:
    return [one.key for one in shortened().work.steps].index(key)


@pytest.mark.parametrize(("chassis", "low", "high"), [("short", 100, 130), ("mid", 110, 160), ("long", 130, 180)])
def test_each_chassis_travels_its_own_range_in_10_mm_steps(chassis: str, low: int, high: int) -> None:
    travels = family().chassis_named(chassis).travels
    assert [round(travel * 1e3) for travel in travels] == list(range(low, high + 1, 10))


def test_from_160_to_140_takes_two_10_mm_spacers_and_two_holes() -> None:
    changes = {change.field: (change.before, change.after) for change in shortened().work.changes}
    assert changes["travel_spacers"] == (0, 2)
    assert changes["port_position"] == (0, 2)


def test_the_holes_in_order_mean_160_to_110() -> None:
    mid = family().chassis_named("mid")
    holes = [setting_for(family(), mid, travel / 1e3) for travel in (160, 150, 140, 130, 120, 110)]
    assert holes == [StackSetting(n, n) for n in range(6)]


def test_such_a_cap_is_tightened_to_about_24_newton_metres() -> None:
    found = intake_of(family(), StackSetting(0, 0), chassis="mid", travel=0.16, charge=charge(85.0))
    fewer = plan(replace(found, wish=replace(found.wish, volume_spacers=3)))
    fitted = next(one for one in fewer.work.steps if one.act is Act.ON and family().item(one.item).role is Role.AIR_CAP)
    assert fitted.torque is not None
    assert fitted.torque.value is not None
    assert fitted.torque.value.si == pytest.approx(24.0, abs=1.0)
    assert fitted.torque.state is ThreadState.GREASED


def test_such_a_fork_takes_35_ml_on_the_damper_side_and_10_on_the_air_side() -> None:
    amounts = {
        one.item: one.fluid.amount.si * 1e6
        for one in shortened().work.steps
        if one.act is Act.ON and one.fluid is not None and one.fluid.amount is not None and "lower_leg_oil" in one.item
    }
    assert amounts == pytest.approx({"spring_lower_leg_oil": 10.0, "damper_lower_leg_oil": 35.0})


def test_the_riding_pressure_goes_back_in_before_the_lowers() -> None:
    pressure = next(one for one in shortened().work.steps if one.stage is ChargeStage.RIDING)
    assert place(pressure.key) < place("on:lowers")
    target = shortened().target
    assert target is not None
    assert target.pressure_gauge is not None
    assert pressure.pressure_gauge == target.pressure_gauge.value
    assert next(one.key for one in shortened().work.steps) == "off:readings"
    assert "pressure_found" in {record.key for record in step("off:readings").records}


def test_the_pressure_is_set_again_after_cycling_at_the_end() -> None:
    stages = [one.stage or one.act for one in shortened().work.steps if one.item == "air_charge"]
    assert stages == [Act.OFF, ChargeStage.RIDING, Act.CYCLE, ChargeStage.FINAL]


def test_air_is_proven_out_before_anything_opens() -> None:
    assert place("off:air_charge") < min(place(key) for key in ("off:spring_foot_fastener", "off:air_retaining_ring"))


def test_feet_are_free_before_the_lowers_slide_off() -> None:
    assert max(place("off:spring_foot_seat"), place("off:damper_foot_seat")) < place("off:lowers")


def test_oil_goes_in_while_the_lowers_are_part_way_on() -> None:
    for side in ("spring", "damper"):
        assert place("on:lowers") < place(f"on:{side}_lower_leg_oil") < place(f"on:{side}_foot_seat")


def test_both_feet_get_new_washers() -> None:
    renewed = [one.item for one in shortened().work.steps if one.renew]
    assert {"spring_foot_fastener", "damper_foot_fastener"} <= set(renewed)


def test_the_retaining_ring_is_tugged_before_air() -> None:
    assert place("check:air_retaining_ring") == place("on:air_retaining_ring") + 1
    assert place("check:air_retaining_ring") < min(
        place(one.key) for one in shortened().work.steps if one.stage is not None
    )


@pytest.mark.parametrize("travel", [0.13, 0.14, 0.15, 0.16])
def test_an_80_kg_rider_needs_50_to_110_psi_at_20_percent_sag(travel: float) -> None:
    found = intake_of(family(), StackSetting(0, 0), chassis="mid", travel=travel)
    rider = Rider(Value(80.0), Value(0.0), Value(0.40, 0.05))
    wish = replace(found.wish, aim=Aim(AimKind.SAG, sag_fraction=0.2), volume_spacers=1)
    target = plan(replace(found, rider=rider, wish=wish)).target
    assert target is not None
    assert target.pressure_gauge is not None
    assert 50 < target.pressure_gauge.value / PSI < 110


def force_at(setting: StackSetting, x: float, *, cycled: bool = True) -> float:
    setup = Setup("mid", setting, 1, charge(85.0, cycled=cycled))
    model = model_of(family(), fit_of(family(), setup), Surroundings())
    return float(Stroke(model.spring, state_of(model, charge(85.0, cycled=cycled)), n=SLOW).force(x))


def test_a_transfer_port_left_behind_after_shortening_takes_about_500_n_to_start() -> None:
    assert 400 < force_at(StackSetting(2, 0), family().top_out.length.si) < 620


def test_a_transfer_port_left_behind_after_lengthening_lets_the_fork_rest_in_its_travel() -> None:
    # About 0.8 of the error: two holes of 10 mm.
    setup = Setup("mid", StackSetting(0, 2), 1, charge(85.0))
    model = model_of(family(), fit_of(family(), setup), Surroundings())
    rests = float(Stroke(model.spring, state_of(model, charge(85.0)), n=SLOW).compression_under(0.0))
    assert 0.6 * 0.02 < rests < 1.0 * 0.02


def test_a_charge_that_was_not_cycled_drops_18_to_30_percent_once() -> None:
    setup = Setup("mid", StackSetting(1, 1), 1, charge(85.0, cycled=False))
    model = model_of(family(), fit_of(family(), setup), Surroundings())
    first = Stroke(model.spring, state_of(model, charge(85.0, cycled=False)), n=SLOW)
    top = family().air.transfer_port.opens_at.si
    before, after = (float(first.pressures_abs(x)[0]) - 101_325.0 for x in (top, top + 1e-4))
    assert 0.18 < 1 - after / before < 0.34


def test_a_volume_spacer_adds_about_10_psi_at_70_percent_of_travel() -> None:
    def pressure(spacers: int) -> float:
        setup = Setup("mid", StackSetting(3, 3), spacers, charge(85.0))
        model = model_of(family(), fit_of(family(), setup), Surroundings())
        stroke = Stroke(model.spring, state_of(model, charge(85.0)), n=SLOW)
        return float(stroke.pressures_abs(0.7 * 0.13)[0]) / PSI

    assert 6 < pressure(2) - pressure(1) < 14
