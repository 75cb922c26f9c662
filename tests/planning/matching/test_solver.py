"""Matching against scipy: the same kernel asked one number at a time, minimised by a general optimiser."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq, minimize_scalar

from sagwright.domain.behaviour import Noticeable
from sagwright.domain.intake import Aim, AimKind, Surroundings
from sagwright.domain.setup import Setup, StackSetting
from sagwright.domain.value import Unknown
from sagwright.physics.gas import AMBIENT_ABS
from sagwright.physics.spring import Stroke
from sagwright.planning.matching.affine import reachable_setups_of
from sagwright.planning.matching.solver import at_setpoint, matched
from sagwright.planning.spring.air import state_of
from sagwright.planning.spring.behaviour import SLOW, STROKE, Five, behaviour_mismatch, behaviour_of, five_of
from sagwright.planning.spring.model import fit_of, model_of
from sagwright.planning.spring.setups import reachable
from tests.support.intakes import charge, shaft_sheet, stack_sheet

LOAD = 320.0
WORKSHOP = Surroundings()
NOTICEABLE = Noticeable()
LIMITS = (275_790.0 + AMBIENT_ABS, 896_318.0 + AMBIENT_ABS)
AS_IT_RODE = Aim(AimKind.AS_IT_RODE)


def setups() -> tuple[Setup, ...]:
    """Five travels and seven counts of volume spacers of the demo fork's middle chassis."""
    chassis = stack_sheet().chassis_named("mid")
    return tuple(setup for travel in chassis.travels for setup in reachable(stack_sheet(), chassis, travel))


def as_found() -> Setup:
    return Setup("mid", StackSetting(0, 0), 1, charge(78.0))


def five_at(setup: Setup, pressure_abs: float) -> Five:
    """The five behaviours of one setup, computed through gas masses and whole strokes instead of coefficients."""
    filled = charge((pressure_abs - AMBIENT_ABS) / 6894.757293168)
    model = model_of(stack_sheet(), fit_of(stack_sheet(), setup), WORKSHOP)
    return five_of(behaviour_of(model, state_of(model, filled), LOAD, exponent=STROKE))


def reference() -> Five:
    model = model_of(stack_sheet(), fit_of(stack_sheet(), as_found()), WORKSHOP)
    return five_of(behaviour_of(model, state_of(model, charge(78.0)), LOAD, exponent=STROKE))


def test_there_are_35_reachable_setups() -> None:
    assert len(setups()) == 35


def test_coefficients_give_what_whole_strokes_give() -> None:
    options = reachable_setups_of(stack_sheet(), setups(), LOAD, workshop=WORKSHOP, exponent=STROKE)
    for psi in (41.0, 77.0, 129.0):
        pressure_abs = psi * 6894.757293168 + AMBIENT_ABS
        at = options.five(pressure_abs, options.readings(np.full(35, pressure_abs)))
        for k in (0, 6, 17, 34):
            mine = [float(np.broadcast_to(number, 35)[k]) for number in at.as_tuple()]
            assert mine == pytest.approx([float(n) for n in five_at(setups()[k], pressure_abs).as_tuple()], rel=1e-7)


def test_the_pressure_is_the_one_of_least_distance__scipy_minimize_scalar() -> None:
    options = reachable_setups_of(stack_sheet(), setups(), LOAD, workshop=WORKSHOP, exponent=STROKE)
    answer = matched(options, AS_IT_RODE, [reference()], limits=LIMITS, noticeable=NOTICEABLE)
    for k, setup in list(enumerate(setups()))[::3]:

        def off(pressure_abs: float, setup: Setup = setup) -> float:
            return float(behaviour_mismatch(five_at(setup, pressure_abs), reference(), NOTICEABLE))

        best = minimize_scalar(off, bounds=LIMITS, method="bounded", options={"xatol": 0.1})
        assert float(np.asarray(answer.setpoint)[k]) == pytest.approx(float(best.x), rel=1e-5)
        assert float(np.asarray(answer.farthest)[k]) <= float(best.fun) + 1e-9


def test_the_setpoint_for_a_sag_gives_that_sag__scipy_brentq() -> None:
    options = reachable_setups_of(stack_sheet(), setups(), LOAD, workshop=WORKSHOP, exponent=STROKE)
    aim = Aim(AimKind.SAG, sag_fraction=0.22)
    answer = matched(options, aim, [reference()], limits=(2e5, 2e6), noticeable=NOTICEABLE)
    for k in (0, 9, 23, 34):
        setup = setups()[k]
        model = model_of(stack_sheet(), fit_of(stack_sheet(), setup), WORKSHOP)

        def over(pressure_abs: float) -> float:
            filled = charge((pressure_abs - AMBIENT_ABS) / 6894.757293168)
            stroke = Stroke(model.spring, state_of(model, filled), n=SLOW)  # noqa: B023 - used at once
            return float(stroke.force(0.22 * model.spring.travel)) - LOAD  # noqa: B023 - used at once

        assert float(np.asarray(answer.setpoint)[k]) == pytest.approx(brentq(over, 2e5, 2e6, xtol=1e-6), rel=1e-9)


def test_the_setpoint_for_a_capacity_gives_that_capacity() -> None:
    options = reachable_setups_of(stack_sheet(), setups(), LOAD, workshop=WORKSHOP, exponent=STROKE)
    answer = matched(
        options, Aim(AimKind.CAPACITY, capacity=130.0), [reference()], limits=(1e5, 3e6), noticeable=NOTICEABLE
    )
    assert np.allclose(answer.five.capacity, 130.0, rtol=1e-12)


def test_a_limit_holds_the_pressure_and_is_said() -> None:
    options = reachable_setups_of(stack_sheet(), setups(), LOAD, workshop=WORKSHOP, exponent=STROKE)
    aim = Aim(AimKind.SAG, sag_fraction=0.05)
    answer = matched(options, aim, [reference()], limits=LIMITS, noticeable=NOTICEABLE)
    assert np.all(np.asarray(answer.setpoint) == LIMITS[1])
    assert np.all(answer.at_limit)


def test_the_same_setup_is_at_no_distance() -> None:
    options = reachable_setups_of(stack_sheet(), [as_found()], LOAD, workshop=WORKSHOP, exponent=STROKE)
    answer = matched(options, AS_IT_RODE, [reference()], limits=LIMITS, noticeable=NOTICEABLE)
    assert float(answer.farthest[0]) == pytest.approx(0.0, abs=1e-6)  # type: ignore[index]
    assert float(answer.setpoint[0]) == pytest.approx(78 * 6894.757293168 + AMBIENT_ABS, rel=1e-8)  # type: ignore[index]


def test_what_nobody_knows_does_not_count() -> None:
    unseen = Five(0.2, np.nan, np.nan, np.nan, np.nan)
    assert behaviour_mismatch(Five(0.24, 1.0, 2.0, 3.0, 4.0), unseen, NOTICEABLE) == pytest.approx(2.0)


def test_several_references_give_the_nearest_and_the_farthest() -> None:
    options = reachable_setups_of(stack_sheet(), setups(), LOAD, workshop=WORKSHOP, exponent=STROKE)
    near, far = reference(), replace(reference(), capacity=float(reference().capacity) * 1.3)
    answer = at_setpoint(options, 6e5, [near, far], noticeable=NOTICEABLE)
    alone = [at_setpoint(options, 6e5, [one], noticeable=NOTICEABLE) for one in (near, far)]
    assert np.allclose(answer.nearest, np.minimum(alone[0].nearest, alone[1].nearest))
    assert np.allclose(answer.farthest, np.maximum(alone[0].farthest, alone[1].farthest))


def test_shafts_are_matched_too() -> None:
    sheet = shaft_sheet()
    chassis = sheet.chassis[0]
    found = reachable(sheet, chassis, chassis.travels[-1])
    options = reachable_setups_of(sheet, found, LOAD, workshop=WORKSHOP, exponent=STROKE)
    answer = matched(
        options, Aim(AimKind.SAG, sag_fraction=0.25), [reference()], limits=(1e5, 3e6), noticeable=NOTICEABLE
    )
    assert np.allclose(answer.five.sag_fraction, 0.25, atol=1e-7)
    assert all(setup.charge is Unknown.NOT_MEASURED for setup in found)
