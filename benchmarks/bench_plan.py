"""How long a plan takes, and all options of a chassis at their best pressures."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from benchmarks.timing import Timed, benchmark
from sagwright.domain.behaviour import Noticeable
from sagwright.domain.intake import Aim, AimKind, Surroundings
from sagwright.domain.setup import Charge, Setup, StackSetting
from sagwright.domain.value import Value
from sagwright.formats.intake.load import load_intake
from sagwright.formats.output.plan import plan_to_json
from sagwright.formats.sheet.load import load_sheet
from sagwright.physics.gas import AMBIENT_ABS
from sagwright.planning.matching.affine import ReachableSetups, reachable_setups_of
from sagwright.planning.matching.solver import matched
from sagwright.planning.spring.air import state_of
from sagwright.planning.spring.behaviour import (
    STROKE,
    Five,
    Readings,
    behaviour_differences,
    behaviour_of,
    five_of,
    scales,
)
from sagwright.planning.spring.model import fit_of, model_of
from sagwright.planning.spring.setups import reachable
from sagwright.planning.work.sequence import least_work_from
from sagwright.service.plan import plan

EXAMPLE = Path(__file__).parents[1] / "examples" / "shorten-t35.yaml"
LOAD = 320.0
WORKSHOP = Surroundings()
NOTICEABLE = Noticeable()


@benchmark("plan_everything")
def plan_everything() -> Timed[str]:
    """Files in, JSON out: reading, checking, matching, ordering, judging."""

    def work() -> str:
        least_work_from.cache_clear()
        return plan_to_json(plan(load_intake(EXAMPLE)))

    return Timed(work=work)


@benchmark("all_options")
def all_options() -> Timed[NDArray[np.float64]]:
    """Five travels by seven counts of volume spacers, each at its pressure of least distance with its behaviours.

    The baseline asks the same kernel one setup at a time: the sag by scipy's brentq, and around it the derivative of
    the squared distance by brentq.
    """
    sheet = load_sheet("specimen/t35")
    chassis = sheet.chassis_named("mid")
    setups = [setup for travel in chassis.travels for setup in reachable(sheet, chassis, travel)]
    found = Setup("mid", StackSetting(0, 0), 1, Charge(Value(540e3)))
    model = model_of(sheet, fit_of(sheet, found), WORKSHOP)
    reference = five_of(behaviour_of(model, state_of(model, Charge(Value(540e3))), LOAD, exponent=STROKE))
    limits = (sheet.air.pressure_gauge.low + AMBIENT_ABS, sheet.air.pressure_gauge.high + AMBIENT_ABS)
    aim = Aim(AimKind.AS_IT_RODE)

    def ready(some: list[Setup]) -> ReachableSetups:
        return reachable_setups_of(sheet, some, LOAD, workshop=WORKSHOP, exponent=STROKE)

    def work() -> NDArray[np.float64]:
        answer = matched(ready(setups), aim, [reference], limits=limits, noticeable=NOTICEABLE)
        return np.stack([answer.setpoint, answer.farthest])

    def baseline() -> NDArray[np.float64]:
        return np.array([_one_at_a_time(ready([setup]), reference, limits) for setup in setups]).T

    return Timed(work=work, baseline=baseline, agree=lambda a, b: np.allclose(a, b, rtol=1e-7, atol=1e-7))


def _one_at_a_time(option: ReachableSetups, reference: Five, limits: tuple[float, float]) -> tuple[float, float]:
    units = [float(np.squeeze(unit)) for unit in scales(reference, NOTICEABLE)]
    travel = float(np.squeeze(option.model.spring.travel))

    def force(x: float, pressure_abs: float) -> float:
        per_unit, rest = option.slow.force(x)
        return float(np.squeeze(pressure_abs * per_unit + rest)) - LOAD

    def readings(pressure_abs: float) -> Readings:
        sag = 0.0 if force(0.0, pressure_abs) >= 0 else brentq(force, 0.0, travel, args=(pressure_abs,), xtol=1e-09)
        lines = (option.off_top, option.middle, option.end, option.capacity)
        return Readings(sag, *(float(np.squeeze(pressure_abs * a + b)) for a, b in lines))

    def off(pressure_abs: float) -> tuple[list[float], list[float]]:
        at = readings(pressure_abs)
        apart = behaviour_differences(option.five(pressure_abs, at), reference, NOTICEABLE)
        slopes = option.slopes(pressure_abs, at)
        return [float(np.squeeze(a)) for a in apart], [
            float(np.squeeze(s)) / u for s, u in zip(slopes, units, strict=True)
        ]

    def pull(pressure_abs: float) -> float:
        apart, slopes = off(pressure_abs)
        return sum(a * s for a, s in zip(apart, slopes, strict=True))

    low, high = limits
    best = low if pull(low) >= 0 else high if pull(high) <= 0 else brentq(pull, low, high, xtol=1e-3)
    return best, float(np.sqrt(sum(a**2 for a in off(best)[0])))
