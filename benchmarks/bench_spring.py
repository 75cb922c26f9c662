"""The spring's kernel, beside what a good scipy user would write on it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from benchmarks.sampled import Sampled
from benchmarks.timing import Timed, benchmark
from sagwright.domain.behaviour import Behaviour
from sagwright.domain.intake import Surroundings
from sagwright.domain.setup import Charge, Setup, StackSetting
from sagwright.domain.value import Value
from sagwright.formats.intake.load import load_intake
from sagwright.formats.sheet.load import load_sheet
from sagwright.physics import thermal
from sagwright.physics.bumper import LinearBumper
from sagwright.physics.gas import R_AIR
from sagwright.physics.spring import GasState, Spring, Stroke
from sagwright.planning.plan import make_plan
from sagwright.planning.spring.air import state_of
from sagwright.planning.spring.model import fit_of, model_of
from sagwright.planning.spring.parts import SpringModel
from sagwright.planning.spring.uncertainty import with_uncertainty
from tests.support.selections import selection_of

Array = NDArray[np.float64]

PSI = 6894.757293168
LOAD = 330.0
CASES = 100_000
JUDGED = 200
"""Of the many cases, how many the slow way is tried on; its time is for these alone."""


def demo() -> tuple[SpringModel, GasState]:
    """The demo fork with two chambers, two legs and its damper's gas, charged."""
    sheet = load_sheet("specimen/t35")
    charge = Charge(Value(88 * PSI))
    setup = Setup("mid", StackSetting(1, 1), 1, charge)
    model = model_of(sheet, fit_of(sheet, setup), Surroundings())
    return model, state_of(model, charge)


@benchmark("one_curve")
def one_curve() -> Timed[Array]:
    model, state = demo()
    stroke = Stroke(model.spring, state, n=1.2)
    x = np.linspace(0.0, 0.14, 400)
    sampled = Sampled(stroke)
    return Timed(
        work=lambda: sampled.force(x),
        baseline=lambda: _by_numpy(model.spring, state, x, 1.2),
        agree=lambda ours, theirs: np.allclose(ours, theirs, rtol=1e-12, atol=1e-9),
    )


def _by_numpy(spring: Spring, state: GasState, x: Array, n: float) -> Array:
    """The same formulas written down for this one fork: two chambers that join while the port is open, the others
    shut, and a bumper at each end."""
    positive, negative, *others = spring.chambers
    port = spring.ports[0]
    opens, closes = float(port.opens), float(port.closes)
    gas = R_AIR * state.temperature
    both = positive.volume + negative.volume, positive.slope + negative.slope

    def joined(at: Array | float) -> Array | float:
        return both[0] + both[1] * at

    first, second = (
        mass * gas / chamber.volume * (chamber.volume / chamber.at(opens)) ** n
        for mass, chamber in zip(state.masses[:2], (positive, negative), strict=True)
    )
    met = (first * positive.at(opens) + second * negative.at(opens)) / joined(opens)
    parted = met * (joined(opens) / joined(closes)) ** n
    regions = [x <= opens, x <= closes]
    force = np.zeros_like(x)
    for chamber, met_first in ((positive, first), (negative, second)):
        volume = chamber.at(x)
        shut = met_first * (chamber.at(opens) / volume) ** n
        shared = met * (joined(opens) / joined(x)) ** n
        after = parted * (chamber.at(closes) / volume) ** n
        force -= (np.select(regions, [shut, shared], after) - spring.ambient_abs) * chamber.slope
    for chamber, mass in zip(others, state.masses[2:], strict=True):
        start = mass * gas / chamber.volume
        force -= (start * (chamber.volume / chamber.at(x)) ** n - spring.ambient_abs) * chamber.slope
    top, bottom = (stop for stop in spring.stops if isinstance(stop, LinearBumper))
    force -= top.rate * np.clip(top.starts - x, 0.0, None)
    force += bottom.rate * np.clip(x - bottom.starts, 0.0, None)
    return force


@benchmark("monte_carlo_sags")
def monte_carlo_sags() -> Timed[Array]:
    model, state = demo()
    rng = np.random.default_rng(7)
    loads = LOAD * (1 + 0.1 * rng.standard_normal(CASES))
    shares = 1 + 0.02 * rng.standard_normal(CASES)
    masses = tuple(mass * shares if i < 2 else mass for i, mass in enumerate(state.masses))

    def work() -> Array:
        return np.asarray(Stroke(model.spring, GasState(masses, state.temperature), n=1.0).compression_under(loads))

    def one(i: int) -> float:
        alone = GasState(tuple(float(np.broadcast_to(m, CASES)[i]) for m in masses), state.temperature)
        stroke = Stroke(model.spring, alone, n=1.0)
        return float(brentq(lambda x: float(np.asarray(stroke.force(x))) - loads[i], 0.0, 0.14, xtol=1e-10))

    return Timed(
        work=work,
        baseline=lambda: np.array([one(i) for i in range(JUDGED)]),
        agree=lambda all_of_them, some: np.allclose(all_of_them[:JUDGED], some, atol=1e-7),
    )


@benchmark("thermal_stroke")
def thermal_stroke() -> Timed[Array]:
    model, state = demo()
    time = np.linspace(0.0, 2.0, 10_001)
    x = 0.075 - 0.055 * np.cos(np.pi * time)  # beyond the transfer port, so that one equation serves the slow way
    return Timed(
        work=lambda: thermal.stroke(model.spring, state, time=time, compression=x, tau=3.0).pressures_abs[0],
        baseline=lambda: _by_solver(model.spring, state, time),
        agree=lambda a, b: np.allclose(a, b, rtol=1e-6),
    )


def _by_solver(spring: Spring, state: GasState, time: Array) -> Array:
    heat = R_AIR * float(np.asarray(state.temperature)) * np.array([float(np.asarray(m)) for m in state.masses])
    base = np.array([float(np.asarray(c.volume)) for c in spring.chambers])
    slope = np.array([float(np.asarray(c.slope)) for c in spring.chambers])

    def rate(t: float, p: Array) -> Array:
        volume = base + slope * (0.075 - 0.055 * np.cos(np.pi * t))
        moved = slope * 0.055 * np.pi * np.sin(np.pi * t)
        change: Array = -1.4 * p * moved / volume - (p - heat / volume) / 3.0
        return change

    start = heat / (base + slope * 0.02)
    solved: Array = solve_ivp(rate, (0.0, 2.0), start, t_eval=time, method="DOP853", rtol=1e-9, atol=1e-3).y[0]
    return solved


@benchmark("table_uncertainty")
def table_uncertainty() -> Timed[Array]:
    intake = load_intake("examples/shorten-t35.yaml")
    plan = make_plan(intake, program="benchmark")
    load = selection_of(plan).spring.load
    known = [(one.setup, one.behaviour) for one in selection_of(plan).options]
    if load is None:
        raise ValueError("the example has a load")

    def table(rows: list[list[tuple[Setup, Behaviour]]]) -> Array:
        tables = (with_uncertainty(intake, some, load, exponent=1.2, reading="left") for some in rows)
        return np.array([[one.sag.u, one.breakaway.u, one.capacity.u] for each in tables for one in each], dtype=float)

    return Timed(
        work=lambda: table([known]),
        baseline=lambda: table([[one] for one in known]),
        agree=lambda a, b: np.allclose(a, b, rtol=1e-6),
    )
