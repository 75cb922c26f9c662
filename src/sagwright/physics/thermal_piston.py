r"""A stroke at a given speed where a floating piston parts two gases, with heat passing into the walls.

On its stop the piston is a wall, and each gas obeys the equation of `sagwright.physics.thermal`. Afloat both gases have
one pressure; their equations add up to that of one gas with the sum of their volumes and of their :math:`m R T_{wall}`,
whatever their temperatures. Where the piston then stands follows from the gas behind it: with
:math:`w = V p^{1/\gamma}`,

.. math:: w' = -\frac{w}{\gamma\tau} + \frac{m R T_{wall}}{\gamma\tau} p^{1/\gamma - 1},

which is linear and solved like the other, its right-hand side taken as a straight line in time. The piston has no mass
and no friction. Because gas cools while it is compressed, it goes back to its stop at another compression than it left
it at; so the stroke is followed sample by sample, and a sample is put in where it leaves its stop or reaches it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sagwright.errors import OutOfRange
from sagwright.physics.gas import R_AIR
from sagwright.physics.spring import GasState, Spring, check_spring
from sagwright.physics.thermal import GAMMA, Trace, force_along, motion_of, runs

_Array = NDArray[np.float64]

HALVINGS = 40
"""Of a step, to find where the piston leaves its stop or reaches it."""

_TURNS = 4
"""Most times it does so between two samples; a step too short to tell is taken as it is."""


@dataclass(frozen=True, slots=True)
class Piston:
    """The chambers in front of and behind a floating piston, by their places in the spring."""

    front: int
    behind: int


@dataclass(frozen=True, slots=True)
class Charged:
    """A spring with its gas and its piston, without a port for it; the volume behind is that with it on its stop."""

    spring: Spring
    state: GasState
    piston: Piston


@dataclass(frozen=True, slots=True)
class _Gas:
    """Pressures of all chambers [Pa], the volume behind the piston [m³], and whether the piston is off its stop."""

    pressures: _Array
    held: float
    afloat: bool


@dataclass(frozen=True, slots=True)
class _Stretch:
    """What holds while no port opens or closes: which chambers are joined, on the stop and afloat, and their heat."""

    seated: _Array
    afloat: _Array
    heat: _Array


def piston_stroke(charged: Charged, *, time: _Array, compression: _Array, tau: float) -> Trace:
    """Follow a prescribed motion.

    Parameters
    ----------
    charged : Charged
    time, compression, tau
        As in `sagwright.physics.thermal.stroke`.

    Raises
    ------
    OutOfRange
        If the chamber behind the piston moves with the compression as well, or as `thermal.stroke`.
    """
    spring, piston = charged.spring, charged.piston
    check_spring(spring)
    behind = spring.chambers[piston.behind]
    if np.any(np.asarray(behind.slope) != 0.0):
        raise OutOfRange("must not move with the compression", field=behind.name)
    time, compression = motion_of(spring, time, compression, tau)
    rows = list(_March(charged, tau).rows(time, compression))
    times, x = (np.array([row[i] for row in rows]) for i in (0, 1))
    pressures_abs = np.array([row[2] for row in rows]).T
    return Trace(times, x, force_along(spring, x, pressures_abs), pressures_abs)


_Row = tuple[float, float, _Array]
"""A time, a compression, and the pressure of every chamber."""


class _March:
    """Carries the gas from sample to sample."""

    def __init__(self, charged: Charged, tau: float) -> None:
        spring, state, piston = charged.spring, charged.state, charged.piston
        self.piston, self.tau = piston, tau
        self.base = np.array([float(np.asarray(chamber.volume)) for chamber in spring.chambers])
        self.slope = np.array([float(np.asarray(chamber.slope)) for chamber in spring.chambers])
        self.stop = float(self.base[piston.behind])
        self.heat = R_AIR * float(np.asarray(state.temperature)) * np.array([float(mass) for mass in state.masses])
        self.spring = spring

    def rows(self, time: _Array, x: _Array) -> Iterator[_Row]:
        """Every sample, and those put in; two at one time where a port opens between unlike pressures."""
        start = self.heat / self._volumes(x[0])
        gas = _Gas(start, self.stop, afloat=bool(start[self.piston.front] > start[self.piston.behind]))
        for begin, end, groups in runs(self.spring, x):
            stretch = self._stretch(groups)
            gas = self._met(gas, stretch, x[begin])
            yield float(time[begin]), float(x[begin]), gas.pressures
            for k in range(begin, end):
                for at, where, moved in self._step(gas, stretch, time[k : k + 2], x[k : k + 2]):
                    yield at, where, moved.pressures
                    gas = moved
            self._share(gas, stretch, x[end])

    def _volumes(self, x: float) -> _Array:
        return self.base + self.slope * x

    def _stretch(self, groups: list[list[int]]) -> _Stretch:
        count = len(self.base)
        seated = np.zeros((count, count))
        for group in groups:
            seated[np.ix_(group, group)] = 1.0
        with_behind = sorted({*np.flatnonzero(seated[self.piston.front]).tolist(), self.piston.behind})
        afloat = seated.copy()
        afloat[np.ix_(with_behind, with_behind)] = 1.0
        return _Stretch(seated, afloat, self.heat.copy())

    def _met(self, gas: _Gas, stretch: _Stretch, x: float) -> _Gas:
        """The gas once what a port has just joined has one pressure, at constant energy.

        A piston afloat takes the new pressure without heat; where that would push it beyond its stop it rests there.
        """
        front, behind = self.piston.front, self.piston.behind
        volumes = self._volumes(x)
        volumes[front] += self.stop - gas.held
        volumes[behind] = gas.held
        joined = stretch.afloat if gas.afloat else stretch.seated
        pressures = joined @ (gas.pressures * volumes) / (joined @ volumes)
        held = gas.held * float(gas.pressures[behind] / pressures[behind]) ** (1.0 / GAMMA)
        if not gas.afloat:
            return _Gas(pressures, self.stop, afloat=False)
        if held < self.stop:
            return _Gas(pressures, held, afloat=True)
        volumes[front] -= self.stop - gas.held
        pressures = stretch.seated @ (gas.pressures * volumes) / (stretch.seated @ volumes)
        pressures[behind] = gas.pressures[behind] * (gas.held / self.stop) ** GAMMA
        return _Gas(pressures, self.stop, afloat=False)

    def _step(self, gas: _Gas, stretch: _Stretch, time: _Array, x: _Array) -> Iterator[tuple[float, float, _Gas]]:
        """One step of the motion, parted where the piston leaves its stop or reaches it."""
        done = 0.0
        for _ in range(_TURNS):
            whole = self._moved(gas, stretch, time, x, shares=(done, 1.0))
            if self._past(whole) <= 0.0:
                break
            low, high = done, 1.0
            for _ in range(HALVINGS):
                middle = 0.5 * (low + high)
                over = self._past(self._moved(gas, stretch, time, x, shares=(done, middle))) > 0.0
                low, high = (low, middle) if over else (middle, high)
            gas = self._moved(gas, stretch, time, x, shares=(done, high))
            gas = replace(gas, afloat=not gas.afloat, held=self.stop)
            done = high
            yield float(time[0] + done * (time[1] - time[0])), float(x[0] + done * (x[1] - x[0])), gas
        whole = self._moved(gas, stretch, time, x, shares=(done, 1.0))
        yield float(time[1]), float(x[1]), replace(whole, held=min(whole.held, self.stop))

    def _past(self, gas: _Gas) -> float:
        """Above 0 where the piston should no longer be where it is: beyond its stop, or pushed off it."""
        if gas.afloat:
            return gas.held - self.stop
        return float(gas.pressures[self.piston.front] - gas.pressures[self.piston.behind])

    def _moved(self, gas: _Gas, stretch: _Stretch, time: _Array, x: _Array, *, shares: tuple[float, float]) -> _Gas:
        """The gas after a part of a step, the piston staying on its stop or off it."""
        span = (shares[1] - shares[0]) * float(time[1] - time[0])
        joined = stretch.afloat if gas.afloat else stretch.seated
        before, after = (joined @ self._volumes(x[0] + share * (x[1] - x[0])) for share in shares)
        heat = joined @ stretch.heat
        drive = (heat * before ** (GAMMA - 1.0), heat * after ** (GAMMA - 1.0))
        pressures = _carried(gas.pressures * before**GAMMA, drive, span / self.tau) * after**-GAMMA
        if not gas.afloat:
            return _Gas(pressures, self.stop, afloat=False)
        behind = self.piston.behind
        p0, p1 = float(gas.pressures[behind]), float(pressures[behind])
        pull = tuple(stretch.heat[behind] * p ** (1.0 / GAMMA - 1.0) for p in (p0, p1))
        w = _carried(gas.held * p0 ** (1.0 / GAMMA), pull, span / (GAMMA * self.tau))
        return _Gas(pressures, float(w) * p1 ** (-1.0 / GAMMA), afloat=True)

    def _share(self, gas: _Gas, stretch: _Stretch, x: float) -> None:
        """Shares the gas out among chambers that stood open to each other, as their volumes are now."""
        volumes = self._volumes(x)
        volumes[self.piston.front] += self.stop - gas.held
        volumes[self.piston.behind] = gas.held
        self.heat = (stretch.seated @ stretch.heat) * volumes / (stretch.seated @ volumes)


def _carried(value: _Array | float, drive: tuple[_Array | float, ...], step: float) -> _Array | float:
    """y' = (drive − y)/τ over a step of `step` times τ, the drive a straight line from its first to its second."""
    kept = np.exp(-step)
    mean = -np.expm1(-step) / step if step > 0 else 1.0
    carried: _Array | float = kept * value + drive[1] * (1.0 - mean) + drive[0] * (mean - kept)
    return carried
