r"""Gas that passes a seal, slowly, from one chamber to another or out, while the unit stands under a load.

A leak is stated as its conductance c: the flow of gas, counted as pressure times volume, per pressure
difference,
:math:`q = c (p_1 - p_2)`, isothermal. The unit follows: at every moment it rests where its slow force
carries the load, and where that lies in the band of an open port the two chambers are one. A passing seal
leaks laminar at a small difference and turbulent at a large one; c then belongs to the difference at which
the leak was seen.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sagwright.errors import OutOfRange
from sagwright.physics.gas import R_AIR
from sagwright.physics.numeric import Real, positive
from sagwright.physics.spring import GasState, Port, Spring, Stroke

_Array = NDArray[np.float64]

OUTSIDE = -1
"""Stands for the air around in a leak's `second`."""

PER_STEP = 0.05
"""Largest share of a chamber's gas difference that may pass in one step of the solution."""

_ALWAYS = (-1.0, 1e3)
"""Edges of a port that is never passed [m]."""


@dataclass(frozen=True, slots=True)
class Leak:
    """A seal that passes: from chamber `first` to chamber `second`, or `OUTSIDE`; conductance [m³/s]."""

    first: int
    second: int
    conductance: float


@dataclass(frozen=True, slots=True)
class Sinking:
    """A leak over time: time [s], compression [m], absolute pressures (chambers, times) [Pa], and the gas
    at the end."""

    time: _Array
    compression: _Array
    pressures_abs: _Array
    state: GasState


def conductance_of(fall: float, *, per: float, volume: float, difference: float) -> float:
    """Conductance of a leak seen as a fall of pressure [Pa] in a time [s] at a difference [Pa]:
    V·fall/(per·Δp)."""
    positive(fall=fall, per=per, volume=volume, difference=difference)
    return volume * fall / per / difference


def sink(spring: Spring, state: GasState, leaks: Sequence[Leak], *, load: float, time: _Array) -> Sinking:
    """Follow a leak under a steady load, from the moment the unit first comes to rest.

    Parameters
    ----------
    spring : Spring
        Of plain numbers.
    state : GasState
        The gas topped out, before the load comes on.
    leaks : sequence of Leak
    load : float [N]
        0 for a unit that stands without a rider.
    time : array (times) [s]
        Rising from 0.

    Raises
    ------
    OutOfRange
        If time does not rise from 0, a leak is not between two chambers or outside, or its conductance is
        below 0.
    NoSolution
        If a resting place did not converge.
    """
    _check(spring, leaks, time)
    before = Stroke(spring, state, n=1.0)
    x = float(np.asarray(before.compression_under(load)))
    volumes = _volumes(spring, x)
    masses = np.array([float(np.asarray(p)) for p in before.pressures_abs(x)]) * volumes / (R_AIR * state.temperature)
    rows = [(x, masses)]
    for span in np.diff(time):
        steps = _steps(spring, leaks, float(span))
        for _ in range(steps):
            half = masses + 0.5 * span / steps * _flow(spring, masses, x, leaks, temperature=state.temperature)
            half, x = _rest(spring, half, x, load=load, state=state)
            masses = masses + span / steps * _flow(spring, half, x, leaks, temperature=state.temperature)
            masses, x = _rest(spring, masses, x, load=load, state=state)
        rows.append((x, masses))
    compression = np.array([row[0] for row in rows])
    gas = R_AIR * state.temperature
    pressures = np.array([mass * gas / _volumes(spring, at) for at, mass in rows]).T
    return Sinking(time, compression, pressures, replace(state, masses=tuple(map(float, masses))))


def _check(spring: Spring, leaks: Sequence[Leak], time: _Array) -> None:
    if len(time) < 1 or time[0] != 0 or not np.all(np.diff(time) > 0):
        raise OutOfRange("must rise from 0", field="time", value=str(time))
    for leak in leaks:
        ends = {leak.first, leak.second}
        if len(ends) < 2 or leak.first == OUTSIDE or not ends <= {OUTSIDE, *range(len(spring.chambers))}:
            raise OutOfRange("must join a chamber with another or with the outside", field="leak", value=str(leak))
        if not (np.isfinite(leak.conductance) and leak.conductance >= 0):
            raise OutOfRange("must be 0 or more", field="conductance", value=str(leak.conductance))


def _steps(spring: Spring, leaks: Sequence[Leak], span: float) -> int:
    """Steps so short that no chamber's gas changes by more than a small share in one."""
    least = np.minimum(_volumes(spring, 0.0), _volumes(spring, float(np.asarray(spring.travel))))
    share = sum(leak.conductance for leak in leaks) * span / float(np.min(least))
    return max(1, int(np.ceil(share / PER_STEP)))


def _volumes(spring: Spring, x: float) -> _Array:
    return np.array([float(np.asarray(chamber.at(x))) for chamber in spring.chambers])


def _flow(spring: Spring, masses: _Array, x: float, leaks: Sequence[Leak], *, temperature: Real) -> _Array:
    """Rate of change of each mass [kg/s]."""
    gas = R_AIR * float(np.asarray(temperature))
    pressures = np.append(masses * gas / _volumes(spring, x), spring.ambient_abs)  # the last is OUTSIDE's
    rates = np.zeros(len(masses) + 1)
    for leak in leaks:
        passing = leak.conductance * (pressures[leak.first] - pressures[leak.second]) / gas
        rates[leak.first] -= passing
        rates[leak.second] += passing
    return rates[:-1]


def _rest(spring: Spring, masses: _Array, x: float, *, load: float, state: GasState) -> tuple[_Array, float]:
    """Where the unit comes to rest, and the gas shared out among what stands open to each other there."""
    ports = tuple(Port(p.first, p.second, *_ALWAYS) for p in spring.ports if p.opens < x < p.closes)
    held = Stroke(replace(spring, ports=ports), replace(state, masses=tuple(masses)), n=1.0)
    rest = float(np.asarray(held.compression_under(load)))
    pressures = np.array([float(np.asarray(p)) for p in held.pressures_abs(rest)])
    return pressures * _volumes(spring, rest) / (R_AIR * float(np.asarray(state.temperature))), rest
