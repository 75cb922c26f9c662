"""All setups of one chassis, each with the setpoint nearest to the aim, as one array computation.

It asks any spring the same questions: one that is affine in its charge (`affine`) answers in closed form, one with a
second valve (`two_valve`) by numbers. A setpoint is what is set from outside: the absolute pressure at the main valve
[Pa], or the preload of a coil [m].
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np

from sagwright.domain.behaviour import Behaviour, Noticeable, Option
from sagwright.domain.intake import Aim, AimKind
from sagwright.domain.setup import Setup
from sagwright.domain.value import Measured
from sagwright.physics.numeric import Mask, Real, increasing_root
from sagwright.physics.spring import ROOT_TOLERANCE
from sagwright.planning.spring.behaviour import (
    Five,
    Readings,
    behaviour_differences,
    behaviour_mismatch,
    known_behaviours,
    scales,
)
from sagwright.planning.spring.parts import SpringModel

SETPOINTS = 9
"""Setpoints at which each option is tried before the best is refined."""

PRESSURE_TOLERANCE = 1e-3
"""To which the pressure that meets an aim is solved [Pa]."""

_NEAREST = 1e-9
"""To which the setpoint of least distance is solved, as a share of its permitted range."""

ROUGH = 1e-4
"""Sag is solved to this while the setpoints are tried [m]."""


@dataclass(frozen=True, slots=True)
class Matched:
    """What matching answers, one element a build: setpoint [Pa or m], compression under the load [m], the five
    behaviours, least and greatest distance over the references, and whether a limit holds the setpoint back."""

    setpoint: Real
    sag: Real
    five: Five
    nearest: Real
    farthest: Real
    at_limit: Real

    def options(self, setups: Sequence[Setup], travel: float) -> Iterator[tuple[Option, float]]:
        """Each build with what it would do at the wanted travel [m], and its setpoint, not yet written into it."""
        numbers = (self.setpoint, self.sag, self.farthest, self.nearest, self.at_limit, *self.five.as_tuple())
        for setup, row in zip(setups, np.stack([np.broadcast_to(one, len(setups)) for one in numbers]).T, strict=True):
            setpoint, sag, far, near, at_limit, *five = (float(number) for number in row)
            behaviour = Behaviour(*map(Measured, (sag, *five)))
            yield Option(setup, travel, None, behaviour, far, near, at_limit=bool(at_limit)), setpoint


class Reachable(Protocol):
    """Builds of one chassis under one load, side by side, that can be asked at any setpoint."""

    @property
    def model(self) -> SpringModel:
        """Their springs."""

    def readings(self, setpoint: Real, /, *, start: Real | None = None, tolerance: float = ROOT_TOLERANCE) -> Readings:
        """Readings at a setpoint; the sag from a first guess, to a tolerance [m]."""

    def five(self, setpoint: Real, readings: Readings, /) -> Five:
        """Behaviours from readings."""

    def slopes(self, setpoint: Real, readings: Readings, /) -> tuple[Real, ...]:
        """Derivative of each behaviour by the setpoint, in the order of the five."""

    def setpoint_for_sag(self, sag: Real, limits: tuple[Real, Real], /) -> Real:
        """The setpoint that rests at a sag [m]; at or beyond a limit where it takes less or more [Pa or m]."""

    def setpoint_for_capacity(self, capacity: float, limits: tuple[Real, Real], /) -> Real:
        """The setpoint that gives a capacity [J]; at or beyond a limit where it takes less or more [Pa or m]."""


def matched(
    options: Reachable,
    aim: Aim,
    references: Sequence[Five],
    *,
    limits: tuple[Real, Real],
    noticeable: Noticeable,
) -> Matched:
    """Each option at the setpoint of least distance from the aim.

    Parameters
    ----------
    options : Reachable
    aim : Aim
        As it rode: the distance from how it rode is made least. A sag or a capacity: it is met exactly where the
        limits allow, because that is what was asked for; the distance then only ranks the options.
    references : sequence of Five
        How it rode, one for each build that as found may turn out to be; the setpoint suits their middle.
    limits : (float, float) or (array, array)
        Permitted setpoints [Pa or m].
    noticeable : Noticeable
    """
    low, high = limits
    aimed = [with_aim(reference, aim, options.model.spring.travel) for reference in references]
    wanted = _wanted_setpoint(options, aim, limits)
    if wanted is None:
        middle = _middle(aimed)
        wanted = _nearest_setpoint(options, middle, limits, noticeable)
    held = (np.asarray(wanted) <= low) | (wanted >= high)
    return at_setpoint(options, np.clip(wanted, low, high), aimed, noticeable=noticeable, held=held)


def at_setpoint(
    options: Reachable,
    setpoint: Real,
    references: Sequence[Five],
    *,
    noticeable: Noticeable,
    held: Mask = False,
) -> Matched:
    """Each option at a given setpoint."""
    setpoint = np.broadcast_to(setpoint, np.shape(options.model.spring.travel))
    readings = options.readings(setpoint)
    five = options.five(setpoint, readings)
    distances = np.stack([np.broadcast_to(behaviour_mismatch(five, r, noticeable), setpoint.shape) for r in references])
    return Matched(
        setpoint=setpoint,
        sag=readings.sag,
        five=five,
        nearest=distances.min(axis=0),
        farthest=distances.max(axis=0),
        at_limit=np.broadcast_to(held, setpoint.shape),
    )


def with_aim(reference: Five, aim: Aim, travel: Real) -> Five:
    """A reference with the aimed value in the place of how it rode."""
    if aim.kind is AimKind.CAPACITY and aim.capacity is not None:
        return replace(reference, capacity=aim.capacity)
    if aim.kind is AimKind.SAG:
        return replace(reference, sag_fraction=sag_wanted(aim, travel) / travel)
    return reference


def sag_wanted(aim: Aim, travel: Real) -> Real:
    """The sag of an aim [m]."""
    return aim.sag if aim.sag is not None else (aim.sag_fraction or 0.0) * travel


def _wanted_setpoint(options: Reachable, aim: Aim, limits: tuple[Real, Real]) -> Real | None:
    """The setpoint that meets a sag or a capacity [Pa or m]; None where the aim is how it rode."""
    if aim.kind is AimKind.SAG:
        return options.setpoint_for_sag(sag_wanted(aim, options.model.spring.travel), limits)
    if aim.kind is AimKind.CAPACITY and aim.capacity is not None:
        return options.setpoint_for_capacity(aim.capacity, limits)
    return None


def _nearest_setpoint(options: Reachable, reference: Five, limits: tuple[Real, Real], noticeable: Noticeable) -> Real:
    """The setpoint of least distance: the best of a few, then the root of the squared distance's derivative by it."""
    shape = np.shape(options.model.spring.travel)
    low, high = (np.broadcast_to(end, shape) for end in limits)
    tried = np.linspace(low, high, SETPOINTS)
    readings = options.readings(tried, tolerance=ROUGH)
    best = np.argmin(behaviour_mismatch(options.five(tried, readings), reference, noticeable), axis=0)[np.newaxis]
    pick = [np.take_along_axis(tried, np.clip(best + k, 0, SETPOINTS - 1), axis=0)[0] for k in (-1, 0, 1)]
    sag = np.take_along_axis(readings.sag, best, axis=0)[0]

    def residual(setpoint: Real) -> tuple[Real, Real]:
        nonlocal sag
        at = options.readings(setpoint, start=sag)
        sag = at.sag
        off = behaviour_differences(options.five(setpoint, at), reference, noticeable)
        units = scales(reference, noticeable)
        slopes = [slope / unit for slope, unit in zip(options.slopes(setpoint, at), units, strict=True)]
        pull = sum(known_behaviours(o * s) for o, s in zip(off, slopes, strict=True))
        curvature = sum(known_behaviours(s) ** 2 for s in slopes)
        return pull, curvature

    tolerance = _NEAREST * float(np.max(high - low))
    return increasing_root(residual, pick[0], pick[2], start=pick[1], tolerance=tolerance)


def _middle(references: Sequence[Five]) -> Five:
    """Halfway between the least and the greatest of each behaviour."""
    columns = zip(*(reference.as_tuple() for reference in references), strict=True)
    return Five(*(0.5 * (np.min(column, axis=0) + np.max(column, axis=0)) for column in map(list, columns)))
