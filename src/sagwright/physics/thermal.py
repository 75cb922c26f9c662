r"""A stroke at a given speed, with heat passing between the gas and its walls.

Each chamber obeys :math:`p' = -\gamma p V'/V - (p - p_{wall})/\tau` with :math:`p_{wall} = m R T_{wall} / V` and one
time constant τ. With :math:`y = p V^\gamma` that is linear, :math:`y' = -y/\tau + m R T_{wall} V^{\gamma-1} / \tau`,
and so solved exactly from one sample to the next while :math:`V^{\gamma-1}` is taken as a straight line in time.
The equation is that of [otis-pourmovahed]; Newton's law of cooling leaves out the phase shift between heat flux and
bulk temperature [hartig-2020], and γ is that of an ideal gas.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from sagwright.errors import OutOfRange
from sagwright.physics.gas import R_AIR
from sagwright.physics.numeric import Mask, Real, finite, positive, require_within
from sagwright.physics.spring import GasState, Spring, check_spring

_Array = NDArray[np.float64]

GAMMA = 1.4
"""Ratio of heat capacities of ideal air."""

AIR_CONDUCTIVITY = 0.0259
"""Of air at 20 °C and up to 20 bar, within 5 % [W/(m·K)]; computed with CoolProp 8.0.0."""

AIR_HEAT_CAPACITY = 1_015.0
"""At constant pressure, of air at 20 °C, 5 to 20 bar, within 2 % [J/(kg·K)]; computed with CoolProp 8.0.0."""


@dataclass(frozen=True, slots=True)
class Trace:
    """What one stroke did, sample by sample.

    Attributes
    ----------
    time, compression, force : array (samples)
        [s], [m], [N]. Where the stroke passes a port's edge there are two samples at one time: before and
        after.
    pressures_abs : array (chambers, samples)
        [Pa].
    """

    time: _Array
    compression: _Array
    force: _Array
    pressures_abs: _Array


def index(omega: Real, tau: Real, *, gamma: float = GAMMA) -> complex | NDArray[np.complex128]:
    r"""Complex polytropic index of a small oscillation, exact for the equation above.

    .. math:: n(\omega) = (1 + i \gamma \omega \tau) / (1 + i \omega \tau)

    The real part is the stiffness over that of a slow stroke; π p V ε² times the imaginary part is the
    work lost in one cycle of a volume that swings by ±εV. 1 for slow, γ for fast.
    """
    swing = 1j * np.asarray(omega) * tau
    n: complex | NDArray[np.complex128] = ((1 + gamma * swing) / (1 + swing))[()]
    return n


def longest_time_constant(radius: Real, density: Real) -> Real:
    """Time constant of a long cylinder of still air [s]: R²/(5.783 α), α its diffusivity.

    An upper bound: convection shortens it. 0.5 to 20 s is the plausible band for the air chambers of a
    bicycle.

    Parameters
    ----------
    radius : float or array, > 0 [m]
    density : float or array, > 0 [kg/m³]

    References
    ----------
    The lowest root of J₀, 2.405, squared: the slowest mode of conduction in a cylinder with a wall of fixed
    temperature, [carslaw-jaeger].
    """
    positive(radius=radius, density=density)
    return radius**2 * density * AIR_HEAT_CAPACITY / (5.783 * AIR_CONDUCTIVITY)


def relaxed(time: _Array, volume: _Array, *, start_abs: Real, heat: Real, tau: float) -> _Array:
    """Absolute pressure of closed chambers that follow given volumes [Pa].

    Parameters
    ----------
    time : array (samples) [s]
        Rising; it need not be even.
    volume : array (..., samples) [m³]
    start_abs : float or array (...) [Pa]
        At the first sample.
    heat : float or array (...) [J]
        m R T_wall of each chamber, its p·V at the temperature of the wall.
    tau : float, > 0 [s]
        infinity leaves the gas without heat (isentropic).

    Returns
    -------
    array (..., samples)
        Exact where V^(γ−1) is linear between samples; otherwise the error falls with the square of the step.
    """
    step = np.diff(time) / tau
    kept = np.exp(-step)
    mean_kept = np.where(step > 0, -np.expm1(-step) / np.where(step > 0, step, 1.0), 1.0)
    drive = np.asarray(heat)[..., None] * volume ** (GAMMA - 1.0)
    gained = drive[..., 1:] * (1.0 - mean_kept) + drive[..., :-1] * (mean_kept - kept)
    first = np.asarray(start_abs * volume[..., 0] ** GAMMA)[..., None]
    carried = _scan(np.broadcast_to(kept, gained.shape), gained, first)
    return carried * volume**-GAMMA


def _scan(factor: _Array, term: _Array, first: _Array) -> _Array:
    """y[0] = first, y[k+1] = factor[k]·y[k] + term[k], all steps at once: runs of steps are joined
    pairwise, twice as many each round, so nothing overflows whatever the factors."""
    term = np.concatenate([np.broadcast_to(first, (*term.shape[:-1], 1)), term], axis=-1)
    factor = np.concatenate([np.zeros((*factor.shape[:-1], 1)), factor], axis=-1)
    reach = 1
    while reach < term.shape[-1]:
        joined = factor[..., reach:] * term[..., :-reach]
        grown = factor[..., reach:] * factor[..., :-reach]
        term = np.concatenate([term[..., :reach], term[..., reach:] + joined], axis=-1)
        factor = np.concatenate([factor[..., :reach], grown], axis=-1)
        reach *= 2
    return term


def stroke(spring: Spring, state: GasState, *, time: _Array, compression: _Array, tau: float) -> Trace:
    """Follow a prescribed motion, heat and ports included.

    Parameters
    ----------
    spring : Spring
        Of plain numbers, not arrays.
    state : GasState
        The gas at the first sample, each chamber on its own and at the temperature of its wall.
    time, compression : array (samples) [s], [m]
        time rises; compression stays within the travel and moves in a straight line between samples.
    tau : float, > 0 [s]

    Raises
    ------
    OutOfRange
        If the spring cannot exist, or an argument is outside what is said above.

    Notes
    -----
    Gas that meets through a port mixes at once and without loss of energy, p = ΣpV/ΣV, and shares one
    temperature from then on.
    """
    check_spring(spring)
    time, compression = motion_of(spring, time, compression, tau)
    heat = R_AIR * state.temperature * np.array([float(mass) for mass in state.masses])
    volumes = np.stack([np.asarray(chamber.at(compression)) for chamber in spring.chambers])
    pressures = heat / volumes[:, 0]
    spans = []
    for begin, end, groups in runs(spring, compression):
        part = np.empty((len(heat), end - begin + 1))
        for group in groups:
            mine = volumes[group, begin : end + 1]
            whole = mine.sum(axis=0)
            met = (pressures[group] * mine[:, 0]).sum() / whole[0]
            part[group] = relaxed(time[begin : end + 1], whole, start_abs=met, heat=heat[group].sum(), tau=tau)
            heat[group] = heat[group].sum() * mine[:, -1] / whole[-1]
        pressures = part[:, -1]
        spans.append((slice(begin, end + 1), part))
    picked = np.concatenate([np.arange(len(time))[span] for span, _ in spans])
    pressures_abs = np.concatenate([part for _, part in spans], axis=1)
    x = compression[picked]
    return Trace(time[picked], x, force_along(spring, x, pressures_abs), pressures_abs)


def work(trace: Trace) -> float:
    """Work put into the spring along the stroke [J]; over a closed loop, what it lost to heat."""
    return float(np.trapezoid(trace.force, trace.compression))


def force_along(spring: Spring, x: _Array, pressures_abs: _Array) -> _Array:
    """Force [N] at compressions [m] with given pressures (chambers, samples) [Pa]."""
    force = np.zeros_like(x)
    for chamber, pressure in zip(spring.chambers, pressures_abs, strict=True):
        force -= (pressure - spring.ambient_abs) * chamber.slope
    for stop in spring.stops:
        force += np.asarray(stop.push(x)[0])
    return force


def motion_of(spring: Spring, time: _Array, compression: _Array, tau: float) -> tuple[_Array, _Array]:
    """A motion that can be followed, with a sample more wherever it passes the edge of a port.

    Raises
    ------
    OutOfRange
        As `stroke` says.
    """
    _require_motion(spring, time, compression, tau)
    return _with_edges(spring, time, compression)


def _require_motion(spring: Spring, time: _Array, compression: _Array, tau: float) -> None:
    if time.ndim != 1 or time.shape != compression.shape or len(time) < 2:
        raise OutOfRange("must be a row of at least two samples, one for each time", field="compression")
    finite(time=time)
    if not np.all(np.diff(time) > 0):
        raise OutOfRange("must rise from sample to sample", field="time")
    require_within(0.0, float(np.asarray(spring.travel)), compression=compression)
    if not tau > 0:
        raise OutOfRange("must be greater than 0", field="tau", value=str(tau))


def _with_edges(spring: Spring, time: _Array, compression: _Array) -> tuple[_Array, _Array]:
    """The motion with a sample more wherever it passes the edge of a port."""
    rows = [(time, compression)]
    for port in spring.ports:
        for edge in (float(np.asarray(port.opens)), float(np.asarray(port.closes))):
            before, after = compression[:-1] - edge, compression[1:] - edge
            at = np.flatnonzero(before * after < 0)
            share = before[at] / (before[at] - after[at])
            rows.append((time[at] + share * np.diff(time)[at], np.full(len(at), edge)))
    times = np.concatenate([row[0] for row in rows])
    order = np.argsort(times, kind="stable")
    fresh = np.append(True, np.diff(times[order]) > 0)
    return times[order][fresh], np.concatenate([row[1] for row in rows])[order][fresh]


def runs(spring: Spring, compression: _Array) -> Iterator[tuple[int, int, list[list[int]]]]:
    """First and last sample of every stretch between port edges, and which chambers are joined in it."""
    middle = 0.5 * (compression[:-1] + compression[1:])
    is_open = np.zeros((len(spring.ports), len(middle)), dtype=bool)
    for row, port in zip(is_open, spring.ports, strict=True):
        row[:] = (middle > port.opens) & (middle < port.closes)
    turns = np.flatnonzero(np.any(np.diff(is_open, axis=1), axis=0)) + 1
    for begin, end in pairwise([0, *map(int, turns), len(middle)]):
        yield begin, end, _groups(spring, is_open[:, begin])


def _groups(spring: Spring, is_open: Mask) -> list[list[int]]:
    """Chambers that open ports join, directly or through others."""
    belongs = list(range(len(spring.chambers)))
    for port, open_now in zip(spring.ports, np.atleast_1d(is_open), strict=True):
        if open_now:
            kept, gone = belongs[port.first], belongs[port.second]
            belongs = [kept if name == gone else name for name in belongs]
    return [[i for i, name in enumerate(belongs) if name == group] for group in dict.fromkeys(belongs)]
