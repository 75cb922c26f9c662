"""A coil fork from its sheet to its target: laws of force and energy, preload, top-out spacers, choice of a coil."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from sagwright.domain.coil_spring import CoilQuestion
from sagwright.domain.curve import CurveQuestion
from sagwright.domain.intake import Aim, AimKind, Intake, Surroundings
from sagwright.domain.plan import Plan
from sagwright.domain.setup import CoilFitting, Setup, TopOutSetting
from sagwright.domain.sheet import Bumper, Sheet
from sagwright.domain.stance import Load, LoadHow
from sagwright.domain.value import Measured, Unknown
from sagwright.errors import OutOfRange
from sagwright.formats.sheet.load import load_sheet
from sagwright.physics import coil
from sagwright.physics.spring import Stroke
from sagwright.physics.uncertainty import simulate
from sagwright.planning.matching.coil_shelf import coils_for
from sagwright.planning.plan import make_plan
from sagwright.planning.spring.behaviour import STROKE
from sagwright.planning.spring.coil import COIL, coil_of, preload_state
from sagwright.planning.spring.curves import compare
from sagwright.planning.spring.cutaway import inside_of
from sagwright.planning.spring.model import sprung, stroke_of
from sagwright.planning.spring.setups import possible, reachable
from sagwright.planning.spring.uncertainty import behaviours_for, inputs_of, propagated
from sagwright.planning.spring.wound_coil import stiffness_of, wound_coil
from tests.support.coil_intakes import COIL_CASES, DEFAULT, built, coil_intake, coil_intakes, coil_sheet, fitted, pinned
from tests.support.intakes import value
from tests.support.selections import selection_of


def stroke(sheet: Sheet, setup: Setup, n: float = 1.2) -> Stroke:
    made = sprung(sheet, setup, Surroundings())
    assert made is not None
    return stroke_of(*made, n=n)


def travel(sheet: Sheet, setup: Setup) -> float:
    return float(np.asarray(stroke(sheet, setup).spring.travel))


def plan_of(intake: Intake) -> Plan:
    return make_plan(intake, program="test")


def left(sheet: Sheet, setup: Setup) -> float:
    """Before the coil is solid at full travel [m]."""
    fit = COIL.fit(sheet, setup)
    return float(fit.coil.travel_to_solid) - float(fit.travel)


def bare(sheet: Sheet) -> Sheet:
    """The sheet with nothing but its coil: no bumpers, no damper gas, legs so large that their air does nothing."""
    nothing = Bumper(value(1e-6), value(0.0))
    damper = replace(sheet.damper, gas_pressure_gauge=value(0.0), rod=value(1e-6))
    legs = tuple(replace(leg, air_bottomed=value(1e3)) for leg in sheet.legs)
    return replace(sheet, top_out=nothing, bottom_out=nothing, damper=damper, legs=legs)


@pytest.mark.law
@given(coil_intakes(unknown=False, wrong=False), st.floats(0.02, 0.98), st.floats(1.0, 1.4))
def test_force_is_the_slope_of_the_energy(intake: Intake, share: float, n: float) -> None:
    line = stroke(intake.sheet, intake.as_found.setup, n)
    end = float(np.asarray(line.spring.travel))
    step = 1e-6
    x = float(np.clip(share * end, 2 * step, end - 2 * step))
    kinks = [float(np.asarray(stop.starts)) for stop in line.spring.stops]
    assume(all(abs(x - kink) >= 2 * step for kink in kinks))
    slope = (float(line.energy(x + step)) - float(line.energy(x - step))) / (2 * step)
    assert slope == pytest.approx(float(line.force(x)), rel=1e-5, abs=1e-2)


@pytest.mark.law
@given(st.floats(0.0, 0.010), st.floats(0.0, 0.010))
def test_preload_moves_the_sag_and_not_the_travel(one: float, other: float) -> None:
    sheet = coil_sheet()
    low, high = sorted((one, other))
    less, more = built(0, "medium", 3, low), built(0, "medium", 3, high)
    assert travel(sheet, less) == travel(sheet, more) == pytest.approx(0.17)
    x = np.linspace(0.01, 0.16, 7)
    lifted = np.asarray(stroke(sheet, more).force(x)) - np.asarray(stroke(sheet, less).force(x))
    assert lifted == pytest.approx(9e3 * (high - low), abs=1e-6)
    sags = [float(stroke(sheet, setup, 1.0).compression_under(341.0)) for setup in (less, more)]
    assert sags[1] <= sags[0] + 1e-12


@pytest.mark.parametrize("spacers", [1, 2, 3])
def test_a_top_out_spacer_takes_its_height_off_the_travel(spacers: int) -> None:
    sheet = coil_sheet()
    assert travel(sheet, built(spacers, "medium", 0, 0.0)) == pytest.approx(0.17 - spacers * 0.01)


@pytest.mark.parametrize("spacers", [1, 2, 3])
def test_what_it_takes_has_to_leave_the_preload_stack(spacers: int) -> None:
    # TRADE practice: the same length leaves the preload stack, or the spring goes toward solid. By hand: topped out the
    # coil stands `spacers` heights nearer to solid if the stack stays, and as far from it as before if the stack gives;
    # at full travel, where the lowers end at one place, the stack alone decides what is left.
    sheet = coil_sheet()
    before = built(0, "medium", 3, 0.004)
    kept, given_up = built(spacers, "medium", 3, 0.004), built(spacers, "medium", 3 - spacers, 0.004)
    fits = [COIL.fit(sheet, setup).coil for setup in (before, kept, given_up)]
    preloads = [float(fit.preload) for fit in fits]
    rooms = [float(fit.travel_to_solid) for fit in fits]
    assert preloads[1] - preloads[0] == pytest.approx(spacers * 0.01)
    assert preloads[2] == pytest.approx(preloads[0])
    assert rooms[0] - rooms[1] == pytest.approx(spacers * 0.01)
    assert rooms[2] == pytest.approx(rooms[0])
    assert left(sheet, kept) == pytest.approx(left(sheet, before))
    assert left(sheet, given_up) - left(sheet, before) == pytest.approx(spacers * 0.01)


def test_a_coil_alone_is_a_straight_line_by_hand() -> None:
    # F = k (x + preload); 9 N/mm pressed by 382 − 410 + 30 + 4 = 6 mm.
    sheet = bare(coil_sheet())
    line = stroke(sheet, built(0, "medium", 3, 0.004), 1.0)
    x = np.array([0.0, 0.05, 0.1, 0.17])
    assert np.asarray(line.force(x)) == pytest.approx(9e3 * (x + 0.006), rel=1e-4)
    assert float(line.energy(0.17)) == pytest.approx(0.5 * 9e3 * (0.176**2 - 0.006**2), rel=1e-4)


def test_a_loose_coil_pushes_only_once_it_is_reached() -> None:
    # 382 − 410 + 20 = −8 mm: nothing for the first 8 mm.
    line = stroke(bare(coil_sheet()), built(0, "medium", 2, 0.0), 1.0)
    assert abs(float(line.force(0.0079))) < 0.1
    assert float(line.force(0.018)) == pytest.approx(90.0, abs=0.1)


def test_a_coil_that_goes_solid_ends_the_travel() -> None:
    intake = COIL_CASES["found.coil-bound"]
    # 40 turns of 5 mm are 200 mm solid; bottomed out there are 240 − 40 − 4 = 196 mm.
    assert travel(intake.sheet, intake.as_found.setup) == pytest.approx(0.17 - 0.004)
    figures = dict(next(one for one in plan_of(intake).findings if one.code == "found.coil-bound").figures)
    assert figures["short"].value == pytest.approx(0.004)


def test_what_still_presses_on_the_cap_is_said() -> None:
    # 382 − 410 + 30 = 2 mm with the adjuster out, at 9 N/mm: 18 N.
    figures = dict(next(one for one in plan_of(DEFAULT).findings if one.code == "found.coil-presses-cap").figures)
    assert figures["lift"].value == pytest.approx(0.002)
    assert figures["force"].value == pytest.approx(18.0)
    stacked = coil_intake(coil_sheet(), top_out=2)
    worse = dict(next(one for one in plan_of(stacked).findings if one.code == "found.coil-presses-cap").figures)
    assert worse["force"].value == pytest.approx(9.0 * 22.0)


def test_the_rates_on_the_demo_coils_agree_with_how_they_are_made() -> None:
    # k = G d⁴/(8 D³ Na), Shigley eq. 10-9, EN 13906-1; the same formula of physics, held against handbooks there.
    for shelved in coil_sheet().coil.coils:
        assert shelved.rate is not None
        assert shelved.wound is not None
        assert float(coil.coil_rate(wound_coil(shelved.wound))) == pytest.approx(shelved.rate.si, rel=0.01)
        assert shelved.wound.solid == float(coil.solid_length(wound_coil(shelved.wound)))


def test_a_rate_that_is_not_printed_follows_from_the_wire() -> None:
    shelved = replace(coil_sheet().coil.named("medium"), rate=None)
    assert float(stiffness_of(shelved)) == pytest.approx(9e3, rel=0.01)


@pytest.mark.parametrize("share", [0.15, 0.20, 0.25])
def test_a_wished_sag_is_met_in_closed_form(share: float) -> None:
    plan = plan_of(pinned(DEFAULT, aim=Aim(AimKind.SAG, sag_fraction=share)))
    met = [one for one in selection_of(plan).options if not one.at_limit and not one.as_found]
    assert met
    for option in met:
        line = stroke(coil_sheet(), option.setup, 1.0)
        assert option.behaviour.sag_fraction.value == pytest.approx(share, abs=1e-7)
        assert float(line.force(share * 0.15)) == pytest.approx(_load(plan))


def test_a_wished_capacity_is_met_in_closed_form() -> None:
    plan = plan_of(pinned(DEFAULT, aim=Aim(AimKind.CAPACITY, capacity=160.0)))
    met = [one for one in selection_of(plan).options if not one.at_limit and not one.as_found]
    assert met
    for option in met:
        assert float(stroke(coil_sheet(), option.setup).energy(0.15)) == pytest.approx(160.0, rel=1e-9)


def test_the_choice_agrees_with_sagwright_coil_where_there_is_only_a_coil() -> None:
    # Two ways through the package: options of a fork without bumpers and gas, and coils on a shelf.
    sheet = bare(coil_sheet())
    plan = plan_of(replace(pinned(DEFAULT, aim=Aim(AimKind.SAG, sag_fraction=0.2)), sheet=sheet, load=value(330.0)))
    shelf = sheet.coil.coils
    answer = coils_for(CoilQuestion(330.0, 0.03, 0.15, (0.0, 0.05)), shelf)
    preloads = {choice.coil.name: choice.preload for choice in answer.choices}
    met = [one for one in selection_of(plan).options if not one.at_limit and not one.as_found]
    assert met
    for option in met:
        assert option.preload == pytest.approx(preloads[str(coil_of(option.setup).coil)], abs=2e-5)


def test_every_option_is_neither_loose_nor_solid() -> None:
    plan = plan_of(DEFAULT)
    assert len(selection_of(plan).options) > 10
    for option in selection_of(plan).options:
        fit = COIL.fit(coil_sheet(), option.setup)
        assert option.preload == pytest.approx(float(fit.coil.preload), abs=1e-12)
        assert float(fit.coil.preload) > -1e-9
        assert left(coil_sheet(), option.setup) > -1e-9
        fitting = option.setup.fitting
        assert fitting is not None
        assert isinstance(fitting.adjuster, float)
        assert -1e-12 <= fitting.adjuster <= 0.010 + 1e-9


@pytest.mark.slow
@pytest.mark.law
@given(coil_intakes())
def test_the_nearest_option_is_the_target_and_no_preload_is_nearer(intake: Intake) -> None:
    plan = plan_of(intake)
    assert plan.target is not None
    distances = [one.mismatch for one in selection_of(plan).options if not one.as_found]
    assert distances == sorted(distances) or np.diff(distances).min() > -1e-8


def test_no_turn_of_the_adjuster_is_nearer_to_how_it_rode() -> None:
    plan = plan_of(DEFAULT)
    assert plan.target is not None
    fitting = coil_of(plan.target.setup)
    assert plan.target.mismatch == pytest.approx(_distance(plan, plan.target.setup), abs=1e-6)
    for turned in np.linspace(0.0, 0.010, 41):
        other = replace(plan.target.setup, fitting=replace(fitting, adjuster=float(turned)))
        assert plan.target.mismatch <= _distance(plan, other) + 1e-6


def _load(plan: Plan) -> float:
    load = selection_of(plan).spring.load
    return 0.0 if load is None else load.force.value


def _distance(plan: Plan, setup: Setup) -> float:
    """Root of the summed squares in just-noticeable differences, written out (DESIGN's definition)."""
    line, slow = stroke(coil_sheet(), setup, STROKE), stroke(coil_sheet(), setup, 1.0)
    load = _load(plan)
    rode, top = selection_of(plan).spring.as_found[0], coil_sheet().top_out.length.si
    middle = float(line.force(0.5 * 0.15))
    off = [
        (float(slow.compression_under(load)) / 0.15 - rode.sag_fraction.value) / 0.02,
        (24.0 + max(0.0, float(slow.force(top))) - rode.breakaway.value) / 10.0,
        (middle / load / rode.mid_stroke_support.value - 1.0) / 0.05,
        (float(line.force(0.95 * 0.15)) / middle / rode.ramp_up.value - 1.0) / 0.05,
        (float(line.energy(0.15)) / rode.capacity.value - 1.0) / 0.05,
    ]
    return float(np.sqrt(np.sum(np.square(off))))


def test_pinned_coil_and_spacers_are_kept() -> None:
    plan = plan_of(pinned(DEFAULT, coil="firm", preload_spacers=0))
    assert plan.target is not None
    assert coil_of(plan.target.setup).coil == "firm"
    assert coil_of(plan.target.setup).preload_spacers == 0


def test_what_nobody_has_seen_may_be_any_coil_that_fits() -> None:
    unseen = coil_intake(coil_sheet(), fitting=fitted(Unknown.UNTIL_OPEN, Unknown.UNTIL_OPEN, 0.004))
    found = possible(unseen)
    assert {coil_of(setup).coil for setup in found} == {each.name for each in coil_sheet().coil.coils}
    # 382 − 410 + 10 n + 4 ≥ 0 from three spacers on, by hand.
    assert {coil_of(setup).preload_spacers for setup in found} == {3, 4}
    plan = plan_of(unseen)
    assert plan.target is not None
    assert plan.target.mismatch_low < plan.target.mismatch
    assert {one.code for one in plan.findings} >= {"found.unknown-until-open"}


def test_a_preload_nobody_counted_is_not_as_it_rode() -> None:
    plan = plan_of(COIL_CASES["found.preload-unknown"])
    words = {one.code: dict(one.words) for one in plan.findings}
    assert words["aim.as-it-rode-not-offered"]["why"] == "preload-unknown"
    assert plan.target is not None
    assert plan.target.behaviour.sag_fraction.value == pytest.approx(0.2, abs=1e-6)


def test_leaving_the_stack_as_it_was_is_shown_and_never_chosen() -> None:
    plan = plan_of(DEFAULT)
    (row,) = [one for one in selection_of(plan).options if one.as_found]
    assert row.preload == pytest.approx(0.006 + 0.02)
    assert row.setup.fitting == DEFAULT.as_found.setup.fitting
    assert row.setup.setting == TopOutSetting(2)
    assert plan.target is not row


def test_a_fork_that_is_right_already_asks_for_no_work() -> None:
    plan = plan_of(pinned(DEFAULT, travel=value(0.17)))
    assert plan.target is not None
    assert plan.target.setup == DEFAULT.as_found.setup
    assert plan.work.changes == ()
    assert plan.work.steps == ()


def test_a_longer_travel_asks_the_stack_for_more() -> None:
    intake = pinned(COIL_CASES["coil.stack-takes"], coil="medium")
    plan = plan_of(intake)
    assert plan.target is not None
    assert coil_of(plan.target.setup).preload_spacers == 3
    assert [one.field for one in plan.work.changes if one.field == "top_out_spacers"] == ["top_out_spacers"]


def test_uncertainty_is_what_random_draws_show() -> None:
    # JCGM 101: Monte Carlo against the linear propagation of JCGM 100, 5.1.2.
    load = Load(Measured(341.0, 20.0), LoadHow.GIVEN)
    setups = [built(0, "medium", 3, 0.004)]
    linear = propagated(DEFAULT, setups, load, exponent=STROKE, reading="found")
    inputs = inputs_of(DEFAULT, setups, load, reading="found")
    draws = simulate(
        lambda cases: np.concatenate(behaviours_for(DEFAULT, setups, cases, exponent=STROKE)),
        inputs,
        cases=4000,
        seed=7,
    )
    assert draws.std(axis=0) == pytest.approx(linear.u, rel=0.12)
    assert "preload adjuster found" in linear.uncertainties
    assert "spring.coils.2.rate" in linear.uncertainties


def test_setups_of_a_coil_fork_are_compared() -> None:
    named = [("soft", built(0, "soft", 3, 0.0)), ("firm", built(0, "firm", 3, 0.0))]
    answer = compare(coil_sheet(), named, CurveQuestion(load=341.0, speed=0.5), workshop=Surroundings(), program="test")
    soft, firm = answer.curves
    assert [name for name, _ in soft.pressures_abs] == ["spring leg", "damper leg", "damper gas"]
    assert soft.ideal_error is None
    assert all(a < b for a, b in zip(soft.slow_force.value[5:], firm.slow_force.value[5:], strict=True))
    assert soft.sag is not None
    assert firm.sag is not None
    assert firm.sag.middle < soft.sag.middle
    assert all(u > 0 for u in firm.slow_force.u)


def test_the_cutaway_shows_the_numbers_that_are_computed() -> None:
    setup = built(2, "medium", 1, 0.004)
    inside, fit = inside_of(coil_sheet(), setup), COIL.fit(coil_sheet(), setup)
    assert inside.travel == pytest.approx(0.15)
    assert getattr(inside, "preload", None) == pytest.approx(float(fit.coil.preload))
    assert getattr(inside, "free_length", None) == pytest.approx(0.382)
    assert getattr(inside, "between", None) == pytest.approx(0.382 - 0.006)


def test_only_a_coil_fork_has_a_coil() -> None:
    air = load_sheet("specimen/t35")
    with pytest.raises(OutOfRange, match="a fork with a coil"):
        preload_state(air, CoilFitting("medium", 0, 0.0), 0.15)
    with pytest.raises(OutOfRange, match="an air spring"):
        _ = coil_sheet().air
    assert reachable(coil_sheet(), coil_sheet().chassis[0], 0.145) == ()
