"""Curves of setups: against the kernel, CoolProp, and what must hold for any of them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sagwright.domain.curve import CurveQuestion, SetupCurve
from sagwright.domain.intake import Surroundings
from sagwright.domain.setup import Charge, Setup, StackSetting
from sagwright.domain.value import Unknown
from sagwright.errors import MissingValue, OutOfRange
from sagwright.planning.plan import make_plan
from sagwright.planning.spring.curves import compare, ideal_gas_error
from tests.reference.fluids import Properties
from tests.support.finding_cases import CASES
from tests.support.intakes import PSI, stack_sheet, value
from tests.support.selections import selection_of

SETUP = Setup("mid", StackSetting(1, 1), 2, Charge(value(85 * PSI, 1.5 * PSI)))


def curve_of(question: CurveQuestion | None = None, setup: Setup = SETUP) -> SetupCurve:
    asked = question or CurveQuestion()
    (curve,) = compare(stack_sheet(), [("one", setup)], asked, workshop=Surroundings(), program="test").curves
    return curve


def test_energy_is_the_integral_of_force() -> None:
    curve = curve_of(CurveQuestion(points=5001))
    assert curve.energy[-1] == pytest.approx(np.trapezoid(curve.stroke_force.value, curve.compression), rel=1e-5)


def test_stiffness_is_the_slope_of_force_away_from_edges() -> None:
    curve = curve_of(CurveQuestion(points=5001))
    slope = np.gradient(curve.stroke_force.value, curve.compression)
    middle = slice(1000, 4000)
    np.testing.assert_allclose(curve.stiffness[middle], slope[middle], rtol=1e-4)


def test_friction_spreads_the_sag_by_twice_the_band_over_the_stiffness() -> None:
    sag = curve_of(CurveQuestion(load=330.0)).sag
    assert sag is not None
    assert sag.after_lifting < sag.middle < sag.after_pressing
    slow = curve_of(CurveQuestion(exponent=1.0, points=1001))
    stiffness = np.interp(sag.middle, slow.compression, slow.stiffness)
    spread = 2 * stack_sheet().friction.sliding.si / float(stiffness)
    assert sag.after_pressing - sag.after_lifting == pytest.approx(spread, rel=0.02)


def test_a_loop_closes_and_loses_work() -> None:
    loop = curve_of(CurveQuestion(speed=0.5)).loop
    assert loop is not None
    assert loop.heat_loss > 0
    assert loop.compression[0] == pytest.approx(loop.compression[-1], abs=1e-9)
    assert loop.force[0] == pytest.approx(loop.force[-1], abs=0.02 * max(loop.force))
    peak = np.max(np.abs(np.diff(loop.compression))) / (loop.period / 400)
    assert peak == pytest.approx(0.5, rel=1e-3)


def test_a_loop_loses_most_where_heat_keeps_pace_with_the_stroke() -> None:
    # The complex index of the equation: the loss has its peak at ωτ = 1 and falls off on both sides.
    lost = []
    for tau in (1e-3, 0.13, 100.0):
        loop = curve_of(CurveQuestion(speed=0.5, time_constant=tau)).loop
        assert loop is not None
        lost.append(loop.heat_loss)
    assert lost[1] > 3 * max(lost[0], lost[2])


def test_real_air_in_the_positive_chamber_agrees_with_coolprop(PropsSI: Properties) -> None:
    # CoolProp's air, isentropic from the chamber's least pressure: within 0.5 %.
    plain, real = (curve_of(CurveQuestion(exponent=1.4, real_air=air)) for air in (False, True))
    ideal, corrected = (np.array(dict(one.pressures_abs)["positive"]) for one in (plain, real))
    ratio = (ideal[-1] / ideal.min()) ** (1 / 1.4)
    density = PropsSI("D", "T", 293.15, "P", ideal.min(), "Air") * ratio
    entropy = PropsSI("S", "T", 293.15, "P", ideal.min(), "Air")
    assert corrected[-1] == pytest.approx(PropsSI("P", "S", entropy, "D", density, "Air"), rel=5e-3)
    assert corrected[-1] > ideal[-1]
    assert plain.ideal_error == pytest.approx(ideal[-1] / corrected[-1] - 1, rel=1e-6)
    assert plain.ideal_error is not None
    assert -0.03 < plain.ideal_error < -0.005
    assert real.ideal_error == 0.0
    assert real.stroke_force.value[-1] > plain.stroke_force.value[-1]


def test_uncertainty_grows_towards_the_bumper() -> None:
    uncertainty = curve_of().stroke_force.u
    assert all(u > 0 for u in uncertainty)
    assert uncertainty[-1] > 5 * uncertainty[50]


@pytest.mark.parametrize(
    "wrong",
    [
        replace(SETUP, setting=StackSetting(1, 0)),
        replace(SETUP, setting=StackSetting(1, 4)),
        replace(SETUP, charge=replace(SETUP.charge, cycled=False)),  # type: ignore[type-var]  # it is a charge
    ],
)
def test_wrong_setups_are_computed(wrong: Setup) -> None:
    curve = curve_of(CurveQuestion(load=330.0, speed=0.3), wrong)
    assert np.all(np.isfinite(curve.stroke_force.value))


def test_a_setup_without_a_charge_is_refused() -> None:
    with pytest.raises(MissingValue, match="pressure"):
        curve_of(setup=replace(SETUP, charge=Unknown.NOT_MEASURED))


def test_a_question_out_of_range_is_refused() -> None:
    with pytest.raises(OutOfRange):
        curve_of(CurveQuestion(exponent=1.6))


def test_a_plan_says_how_far_its_ideal_gas_is_off(PropsSI: Properties) -> None:
    # CoolProp at both ends: slow real air and isentropic real air; at n = 1.2 the share is that of the curve command.
    made = selection_of(make_plan(CASES["length.changes"], program="test 1")).spring
    assert made.ideal_error is not None
    assert made.target_curve is not None
    pressures = np.array(made.target_curve.positive_abs.value)
    assert made.ideal_error == ideal_gas_error(pressures, n=1.2, temperature=293.15)
    ratio = pressures[-1] / pressures.min()
    density = PropsSI("D", "T", 293.15, "P", pressures.min(), "Air")
    entropy = PropsSI("S", "T", 293.15, "P", pressures.min(), "Air")
    slow, fast = ratio ** (1 / 1.2), ratio ** (1.4 / 1.2)
    off = [
        slow * pressures.min() / PropsSI("P", "T", 293.15, "D", slow * density, "Air"),
        fast * pressures.min() / PropsSI("P", "S", entropy, "D", slow * density, "Air"),
    ]
    assert made.ideal_error == pytest.approx(np.sqrt(off[0] * off[1]) - 1, abs=3e-4)


def test_air_that_weeped_out_at_rest_is_the_lower_bound_of_the_legs() -> None:
    # By hand: at rest it adds nothing, and from there p·V^n of the outside air.
    sealed, sagged = curve_of(), curve_of(CurveQuestion(load=330.0, points=2001))
    np.testing.assert_allclose(sealed.legs_force, sealed.legs_force_vented, atol=1e-9)  # closed topped out, same air
    force, x = np.array(sagged.legs_force_vented), np.array(sagged.compression)
    rest = float(np.interp(0.0, force, x))
    assert sagged.sag is not None
    assert rest > sagged.sag.middle  # without the legs' push it stands lower
    slow = np.array(sagged.slow_force.value) - np.array(curve_of(CurveQuestion(exponent=1.0, points=2001)).legs_force)
    assert float(np.interp(rest, x, slow)) == pytest.approx(330.0, rel=1e-4)
    by_hand = 0.0
    for leg in stack_sheet().legs:
        area = np.pi / 4 * (leg.stanchion.si**2 - leg.rod.si**2)
        bottomed = leg.air_bottomed.si - leg.lower_leg_oil.si
        volumes = [bottomed + area * (sagged.travel - at) for at in (rest, sagged.travel)]
        by_hand += 101_325 * ((volumes[0] / volumes[1]) ** 1.2 - 1) * area
    assert force[-1] == pytest.approx(by_hand, rel=1e-3)
    assert force[-1] < sagged.legs_force[-1]


def test_where_nothing_carries_the_load_the_legs_rest_bottomed_out() -> None:
    assert curve_of(CurveQuestion(load=1e5)).legs_force_vented[-1] == pytest.approx(0.0, abs=1e-9)
