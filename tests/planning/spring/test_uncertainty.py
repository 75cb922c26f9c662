"""Uncertainty of predicted behaviours: against Monte Carlo, and what cancels."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sagwright.domain.behaviour import Behaviour
from sagwright.domain.intake import Intake
from sagwright.domain.setup import Charge, Setup, StackSetting
from sagwright.domain.stance import Load, LoadHow
from sagwright.domain.value import Measured
from sagwright.planning.plan import make_plan
from sagwright.planning.spring import uncertainty
from sagwright.planning.spring.uncertainty import propagated, with_numbers, with_uncertainty
from tests.support.intakes import PSI, intake_of, stack_sheet, value
from tests.support.selections import selection_of

LOAD = Load(Measured(330.0, 15.0), LoadHow.GIVEN)
PLAIN = Behaviour(*map(Measured, (0.03, 0.2, 14.0, 2.6, 2.7, 140.0)))


def known(*setups: Setup, load: Load = LOAD, reading: str = "found") -> tuple[Behaviour, ...]:
    """What the builds do, as well as it is known; its numbers are of no account here."""
    pairs = [(setup, PLAIN) for setup in setups]
    return with_uncertainty(checked_in(), pairs, load, exponent=1.2, reading=reading)


def built(psi: float = 78.0, volume_spacers: int = 1, u_psi: float | None = None) -> Setup:
    u = None if u_psi is None else u_psi * PSI
    return Setup("mid", StackSetting(0, 0), volume_spacers, Charge(value(psi * PSI, u)))


def checked_in() -> Intake:
    found = built()
    return intake_of(stack_sheet(), found.setting, chassis="mid", travel=0.14, charge=found.charge)


@pytest.mark.parametrize("volume_spacers", [0, 3])
def test_linear_agrees_with_monte_carlo(volume_spacers: int) -> None:
    # 20,000 draws of every tolerance, gauge, load and friction through the same model, seeded.
    intake, setup = checked_in(), built(volume_spacers=volume_spacers)
    linear = propagated(intake, [setup], LOAD, exponent=1.2, reading="found")
    rng = np.random.default_rng(20)
    draws = {name: rng.standard_normal(20_000) for name in linear.uncertainties}
    inputs = uncertainty.inputs_of(intake, [setup], LOAD, reading="found")
    cases = {
        name: given.value
        + sum((size * draws[uncertainty] for uncertainty, size in given.uncertainties if size), np.zeros(20_000))
        for name, given in inputs.items()
    }
    drawn = uncertainty.behaviours_for(intake, [setup], cases, exponent=1.2)
    for name, u, column in zip(Behaviour.__slots__, linear.u, drawn, strict=True):
        # At 95 % of this travel the bumper is touched or not within its tolerance, a kink that a line only
        # nears.
        assert u == pytest.approx(np.std(column), rel=0.10 if name == "ramp_up" else 0.05), name


def test_the_bias_of_one_pump_cancels_between_found_and_left() -> None:
    # The change of sag from 78 to 90 psi is known better with one pump than with two.
    intake, load = checked_in(), replace(LOAD, force=Measured(330.0, 0.0))
    found, left = (
        propagated(intake, [built(psi, u_psi=2.0)], load, exponent=1.2, reading=reading)
        for psi, reading in ((78.0, "found"), (90.0, "left"))
    )
    rows = {name: found.parts[place, 0] for place, name in enumerate(found.uncertainties)}
    others = {name: left.parts[place, 0] for place, name in enumerate(left.uncertainties)}
    names = {*rows, *others}
    apart = np.sqrt(sum((rows.get(name, 0.0) - others.get(name, 0.0)) ** 2 for name in names))
    assert uncertainty.PUMP_INPUT in rows
    assert uncertainty.PUMP_INPUT in others
    assert {"scatter found", "scatter left"} <= names
    assert apart < 0.3 * np.hypot(found.u[0], left.u[0])


def test_a_worse_gauge_makes_a_worse_sag() -> None:
    good, bad = (known(built(u_psi=u))[0].sag.u for u in (0.5, 5.0))
    assert good is not None
    assert bad is not None
    assert bad > good


def test_what_hangs_on_an_unknown_load_is_unknown() -> None:
    (one,) = known(built(), load=replace(LOAD, force=Measured(330.0)))
    assert (one.sag, one.sag_fraction, one.mid_stroke_support) == (
        PLAIN.sag,
        PLAIN.sag_fraction,
        PLAIN.mid_stroke_support,
    )
    assert one.capacity.u is not None
    assert one.breakaway.u is not None


def test_many_setups_at_once_have_what_each_has_alone() -> None:
    setups = [built(70.0, 0), built(90.0, 3), replace(built(80.0), setting=StackSetting(1, 1))]
    for setup, one in zip(setups, known(*setups, reading="left"), strict=True):
        (alone,) = known(setup, reading="left")
        for name in Behaviour.__slots__:
            assert getattr(one, name).u == pytest.approx(getattr(alone, name).u, rel=1e-6)


def test_no_setups_have_no_uncertainties() -> None:
    assert known() == ()


def test_only_named_numbers_are_swapped() -> None:
    sheet = stack_sheet()
    swapped = with_numbers(sheet, {"spring.bore": np.array([0.03, 0.031])})
    assert np.array_equal(np.asarray(swapped.air.bore.si), [0.03, 0.031])
    assert replace(swapped.air, bore=sheet.air.bore) == sheet.air
    assert swapped.legs == sheet.legs


def test_a_plan_carries_them_all() -> None:
    plan = make_plan(checked_in(), program="test")
    for one in selection_of(plan).options:
        numbers = [one.pressure_gauge, *(getattr(one.behaviour, name) for name in Behaviour.__slots__)]
        assert all(number is not None and number.u is not None for number in numbers)
    (found,), target = selection_of(plan).spring.as_found, selection_of(plan).spring.target
    assert found.sag.u is not None
    assert plan.target is not None
    assert target == plan.target.behaviour
    curve = selection_of(plan).spring.target_curve
    assert curve is not None
    assert len(curve.stroke_force.u) == len(curve.stroke_force.value)
    assert all(u > 0 for u in curve.stroke_force.u)
    assert set(curve.compression.u) == {0.0}


def test_a_sag_proves_a_pressure_to_about_fifteen_psi() -> None:
    # Common practice, no source: ±4 to 5 mm of sag, so ±15 psi.
    told = selection_of(make_plan(checked_in(), program="test")).spring.sag_tells
    assert told is not None
    assert 10 * PSI < told < 20 * PSI
