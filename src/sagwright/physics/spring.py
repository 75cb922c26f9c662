"""A spring of sealed chambers, ports between them, and stops.

Compression x [m] runs from full extension, force F [N] pushes the unit open. By virtual work
F(x) = −Σ (p_i − p_ambient) dV_i/dx + F_stops(x), so areas follow from volumes, and force and energy cannot disagree.
Between two port edges nothing opens or closes: such a stretch of travel is a *piece*, and in it every chamber keeps
p·V^n, V being its own volume, or that of all the chambers it is joined with.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from sagwright.errors import OutOfRange
from sagwright.physics.bumper import AnyStop
from sagwright.physics.gas import EXPONENTS, R_AIR, mean_power
from sagwright.physics.numeric import Mask, Real, increasing_root, require_within

ROOT_TOLERANCE = 1e-9
"""Compression to which equilibria are solved [m]."""


@dataclass(frozen=True, slots=True)
class Chamber:
    """A sealed volume of gas, V(x) = volume + slope·x [m³, m²]."""

    name: str
    volume: Real
    slope: Real

    def at(self, x: Real) -> Real:
        """Volume at a compression [m³]."""
        return self.volume + self.slope * x


@dataclass(frozen=True, slots=True)
class Port:
    """An opening that joins two chambers, by their place in the spring, while opens ≤ x ≤ closes [m]."""

    first: int
    second: int
    opens: Real
    closes: Real


@dataclass(frozen=True, slots=True)
class Spring:
    """Chambers, ports and stops over a travel [m], in air of a pressure [Pa]. Numbers may be arrays that broadcast."""

    chambers: tuple[Chamber, ...]
    ports: tuple[Port, ...]
    stops: tuple[AnyStop, ...]
    travel: Real
    ambient_abs: Real


@dataclass(frozen=True, slots=True)
class GasState:
    """Gas in a spring: one mass a chamber [kg], and the temperature of all [K]."""

    masses: tuple[Real, ...]
    temperature: Real


def pressures_at_rest(spring: Spring, state: GasState, *, x: Real = 0.0) -> tuple[Real, ...]:
    """Absolute pressure of each chamber at a compression, each closed on its own [Pa]."""
    gas = R_AIR * state.temperature
    return tuple(mass * gas / chamber.at(x) for mass, chamber in zip(state.masses, spring.chambers, strict=True))


def check_spring(spring: Spring) -> None:
    """Refuse a spring that cannot exist.

    Raises
    ------
    OutOfRange
        If a chamber has no volume left somewhere in the travel, or the travel is not greater than 0.
    """
    if not np.all(np.asarray(spring.travel) > 0):
        raise OutOfRange("must be greater than 0", field="travel", value=str(spring.travel))
    for chamber in spring.chambers:
        least = np.minimum(chamber.at(0.0), chamber.at(spring.travel))
        if not np.all(least > 0):
            raise OutOfRange(
                "must keep a volume greater than 0 over the whole travel",
                field=f"{chamber.name} chamber",
                value="{least}",
                remedy="Check its length, its volume spacers and the oil in it.",
                figures={"least": (float(np.min(least)), "volume")},
            )


@dataclass(frozen=True, slots=True)
class _Gas:
    """One chamber in one piece: p(x) = constant / (volume + slope·x)^n, pushing on `own` [m²]."""

    own: Real
    volume: Real
    slope: Real
    constant: Real


class Stroke:
    """One stroke from full extension at a fixed polytropic exponent: pressures, force, stiffness, energy.

    Parameters
    ----------
    spring : Spring
    state : GasState
        Topped out, every chamber on its own.
    n : float
        1 for a slow stroke (isothermal), 1.4 for a fast one; ideal gas, see `sagwright.physics.gas`.

    Raises
    ------
    OutOfRange
        If n is outside 1 to 1.67, or the spring cannot exist.

    Notes
    -----
    Where a port opens between unlike pressures the gas mixes at constant total energy, p = ΣpV/ΣV, which for an ideal
    gas is also the isothermal answer. Such a first passing drops the force; the energy counts the work put in.
    Compressions outside 0 to travel are computed with the nearest piece.
    """

    def __init__(self, spring: Spring, state: GasState, *, n: float) -> None:
        require_within(*EXPONENTS, n=n)
        check_spring(spring)
        self.spring = spring
        self.n = n
        self._ambient: Real = spring.ambient_abs * sum(chamber.slope for chamber in spring.chambers)
        self.edges = tuple(_edges(spring))
        self.pieces = tuple(_pieces(spring, pressures_at_rest(spring, state), self.edges, n))

    def pressures_abs(self, x: Real) -> tuple[Real, ...]:
        """Absolute pressure of each chamber at a compression [Pa]."""
        return tuple(self._pressure(gas, x) for gas in self._at(x))

    def force(self, x: Real) -> Real:
        """Force along the axis at a compression, friction left out [N]."""
        return self._force(self._at(x), x)[0]

    def stiffness(self, x: Real) -> Real:
        """dF/dx at a compression [N/m]; at a port's edge that of the piece which ends there."""
        return self._force(self._at(x), x)[1]

    def force_and_stiffness(self, x: Real) -> tuple[Real, Real]:
        """Both at once, for solvers."""
        return self._force(self._at(x), x)

    def energy(self, x: Real) -> Real:
        """Work put in from full extension to a compression, friction left out [J]."""
        ambient = self.spring.ambient_abs
        total: Real = sum(stop.work(x) - stop.work(0.0) for stop in self.spring.stops)
        for piece, (start, end) in zip(self.pieces, pairwise(self.edges), strict=True):
            a, b = np.minimum(start, x), np.minimum(end, x)
            for gas in piece:
                at_a, at_b = gas.volume + gas.slope * a, gas.volume + gas.slope * b
                mean = gas.constant * at_a**-self.n * mean_power(at_b / at_a, self.n)
                total = total - (mean - ambient) * gas.own * (b - a)
        return total

    def compression_under(self, load: Real, *, start: Real | None = None) -> Real:
        """Where a unit that is pressed from full extension first carries a load; friction left out.

        Parameters
        ----------
        load : float or array [N]
        start : float or array, optional
            A first guess [m].

        Returns
        -------
        float or array [m]
            0 where it carries the load topped out, the travel where it never does.

        Raises
        ------
        NoSolution
            If the root did not converge.
        """
        chosen: tuple[_Gas, ...] = self.pieces[-1]
        low, high = self.edges[-2], self.edges[-1]
        earlier = list(zip(self.pieces, pairwise(self.edges), strict=True))[:-1]
        for piece, (begin, end) in reversed(earlier):
            reached = (self._force(piece, end)[0] >= load) & (np.asarray(end) > begin)
            chosen = _choose(reached, piece, chosen)
            low, high = np.where(reached, begin, low), np.where(reached, end, high)

        def residual(x: Real) -> tuple[Real, Real]:
            force, stiffness = self._force(chosen, x)
            return force - load, stiffness

        middle = 0.5 * (np.asarray(low) + high) if start is None else start
        return increasing_root(residual, low, high, start=middle, tolerance=ROOT_TOLERANCE)

    def _at(self, x: Real) -> tuple[_Gas, ...]:
        """The gas constants of the piece that x lies in."""
        chosen = self.pieces[0]
        for edge, piece in zip(self.edges[1:-1], self.pieces[1:], strict=True):
            chosen = _choose(np.asarray(x) > edge, piece, chosen)
        return chosen

    def _pressure(self, gas: _Gas, x: Real) -> Real:
        pressure: Real = gas.constant * (gas.volume + gas.slope * x) ** -self.n
        return pressure

    def _force(self, gases: Sequence[_Gas], x: Real) -> tuple[Real, Real]:
        force: Real = self._ambient
        stiffness: Real = 0.0
        for stop in self.spring.stops:
            pushed, stiffer = stop.push(x)
            force = force + pushed
            stiffness = stiffness + stiffer
        for gas in gases:
            volume = gas.volume + gas.slope * x
            push = gas.own * gas.constant * volume**-self.n
            force = force - push
            stiffness = stiffness + self.n * gas.slope * (push / volume)
        return force, stiffness


def _edges(spring: Spring) -> Iterator[Real]:
    """Full extension, every port edge inside the travel in rising order, full travel."""
    yield 0.0
    inner = [edge for port in spring.ports for edge in (port.opens, port.closes)]
    if inner:
        clipped = np.broadcast_arrays(*(np.clip(edge, 0.0, spring.travel) for edge in inner))
        yield from np.sort(np.stack(clipped), axis=0)
    yield spring.travel


def _pieces(
    spring: Spring, start_abs: tuple[Real, ...], edges: tuple[Real, ...], n: float
) -> Iterator[tuple[_Gas, ...]]:
    """The gas constants of each piece, carried from edge to edge."""
    pressures = start_abs
    for begin, end in pairwise(edges):
        joined = _joined(spring, 0.5 * (np.asarray(begin) + end))
        amounts = [(chamber, p * chamber.at(begin)) for chamber, p in zip(spring.chambers, pressures, strict=True)]
        piece = tuple(_mixed(amounts, own, joined[own], begin, n) for own in range(len(amounts)))
        yield piece
        pressures = tuple(gas.constant * (gas.volume + gas.slope * end) ** -n for gas in piece)


def _joined(spring: Spring, x: Real) -> list[dict[int, Mask]]:
    """For each chamber the others it is joined with at a compression, through any number of open ports."""
    joined: list[dict[int, Mask]] = [{i: True} for i in range(len(spring.chambers))]
    for port in spring.ports:
        is_open = (np.asarray(port.opens) < x) & (x < port.closes)
        first, second = joined[port.first], joined[port.second]
        links = [(i, j, first[i] & second[j] & is_open) for i in first for j in second]
        for i, j, link in links:
            joined[i][j] = joined[i].get(j, False) | link
            joined[j][i] = joined[j].get(i, False) | link
    return joined


def _mixed(amounts: list[tuple[Chamber, Real]], own: int, joined: dict[int, Mask], x: Real, n: float) -> _Gas:
    """One chamber's gas from a compression on, after mixing with all it is joined with; amounts are p·V [J]."""
    volume: Real = 0.0
    slope: Real = 0.0
    amount: Real = 0.0
    for j, mask in joined.items():
        chamber, own_amount = amounts[j]
        volume, slope = volume + chamber.volume * mask, slope + chamber.slope * mask
        amount = amount + own_amount * mask
    return _Gas(amounts[own][0].slope, volume, slope, amount * (volume + slope * x) ** (n - 1.0))


def _choose(where: Mask, these: tuple[_Gas, ...], those: tuple[_Gas, ...]) -> tuple[_Gas, ...]:
    """Element by element these or those; what is the same in both is left alone."""
    return tuple(
        a
        if a.constant is b.constant
        else _Gas(
            a.own,
            np.where(where, a.volume, b.volume),
            np.where(where, a.slope, b.slope),
            np.where(where, a.constant, b.constant),
        )
        for a, b in zip(these, those, strict=True)
    )
