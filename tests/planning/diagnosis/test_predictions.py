"""Readings as left against predictions: the ideal gas, laws of the band, and what a mistake would read."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sagwright.domain.diagnosis import Mistake, MistakeKind, Prediction
from sagwright.domain.plan import Plan
from sagwright.domain.value import Measured, Quantity
from sagwright.errors import OutOfRange
from sagwright.formats.intake.load import load_intake
from sagwright.planning.diagnosis.mistakes import Standing, signs_of
from sagwright.planning.diagnosis.predictions import (
    LeakTest,
    diagnosis_of,
    explain_readings,
    leak_prediction,
    predictions,
    verdict_of,
)
from sagwright.planning.plan import make_plan
from tests.support.command_line import SHORTEN
from tests.support.selections import selection_of

PSI = 6894.757293168361  # Pa
CELSIUS = 273.15  # K


@pytest.fixture(scope="module")
def plan() -> Plan:
    return make_plan(load_intake(SHORTEN), program="test")


def test_the_best_cheap_set_comes_in_order(plan: Plan) -> None:
    keys = [one.key for one in predictions(selection_of(plan))]
    assert keys[:4] == ["exposed_change", "pressure_before", "pressure_after", "breakaway"]
    assert {"sag_pressed_rider", "sag_lifted_rider"} <= set(keys)


def test_the_predictions_are_those_of_the_plan(plan: Plan) -> None:
    told = {one.key: one for one in predictions(selection_of(plan))}
    assert plan.target is not None
    friction = selection_of(plan).spring.target_friction
    assert friction is not None
    assert plan.target.pressure_gauge is not None
    assert told["exposed_change"].predicted.value == pytest.approx(plan.target.travel - 0.150)
    assert told["pressure_before"].predicted.value == plan.target.pressure_gauge.value
    assert told["pressure_after"].predicted.value == pytest.approx(plan.target.pressure_gauge.value, rel=0.01)
    assert told["breakaway"].predicted.value == friction.breakaway
    assert told["sag_pressed_rider"].predicted.value > told["sag_lifted_rider"].predicted.value


def test_a_charge_that_was_not_cycled_is_told_by_its_fall(plan: Plan) -> None:
    """Without source: it falls 18 to 30 % once, by the ratio of the chambers."""
    told = next(one for one in predictions(selection_of(plan)) if one.key == "pressure_after")
    verdict = verdict_of(told, 0.76 * told.predicted.value)
    assert not verdict.inside
    assert explain_readings(verdict) == ("not_cycled",)
    assert explain_readings(verdict_of(told, told.predicted.value)) == ()
    assert "leak" in explain_readings(verdict_of(told, 0.93 * told.predicted.value))


def test_a_mistake_that_is_simulated_is_found_in_its_own_readings(plan: Plan) -> None:
    """What a charge that was not cycled reads, read back, is explained by it and not by the right setup."""
    assert plan.target is not None
    load = selection_of(plan).spring.load
    assert load is not None
    standing = Standing(load=load.force.value, workshop=selection_of(plan).intake.workshop)
    mistake = Mistake(MistakeKind.NOT_CYCLED)
    signs = signs_of(plan.work.sheet, plan.target.setup, mistake, standing=standing)
    read = {"pressure_before": signs.valve_gauge, "pressure_after": signs.cycled_gauge}
    found = diagnosis_of(selection_of(plan), read)
    assert found is not None
    fitting = {one.mistake.kind if one.mistake else None for one in found.explanations if one.explains}
    assert MistakeKind.NOT_CYCLED in fitting
    assert None not in fitting
    assert diagnosis_of(selection_of(plan), {}) is None


def test_a_spacer_too_many_shortens(plan: Plan) -> None:
    told = next(one for one in predictions(selection_of(plan)) if one.key == "exposed_change")
    assert "spacer_too_many" in explain_readings(verdict_of(told, told.predicted.value - 0.010))
    assert "spacer_too_few" in explain_readings(verdict_of(told, told.predicted.value + 0.010))


@pytest.mark.law
@given(st.floats(1e3, 1e6), st.floats(0.0, 1e5), st.floats(1.0, 1e5), st.floats(-3.0, 3.0))
def test_the_band_is_two_standard_uncertainties_of_both(value: float, u: float, read_u: float, off: float) -> None:
    told = Prediction("breakaway", Quantity.FORCE, Measured(value, u), read_u)
    inside = verdict_of(told, value + off * math.hypot(u, read_u)).inside
    if abs(abs(off) - 2.0) > 1e-6:
        assert inside == (abs(off) < 2.0)


def test_a_gauge_falls_with_temperature_as_an_ideal_gas_does() -> None:
    """Amontons: absolute pressure over absolute temperature stays. By hand, and 0.4 psi per kelvin at 93."""
    test = LeakTest(93 * PSI, 0.0, 101_325.0, 20.0 + CELSIUS, 10.0 + CELSIUS)
    by_hand = (93 * PSI + 101_325.0) * 283.15 / 293.15 - 101_325.0
    told = leak_prediction(test)
    assert told.predicted.value == pytest.approx(by_hand)
    assert (93 * PSI - told.predicted.value) / 10.0 / PSI == pytest.approx(0.4, abs=0.05)


@pytest.mark.parametrize("start", [-200_000.0, 1e5])
def test_a_leak_test_of_no_gas_is_refused(start: float) -> None:
    with pytest.raises(OutOfRange):
        leak_prediction(LeakTest(start, 0.0, 101_325.0, 293.15 if start < 0 else -1.0, 290.0))
