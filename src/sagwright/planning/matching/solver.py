"""All setups of one chassis, each with the pressure nearest to the aim, as one array computation.

It asks any spring the same questions: one that is affine in its charge (`affine`) answers in closed form, one with a
second valve (`two_valve`) by numbers. For a coil fork everything here called a pressure [Pa] is a preload [m].
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np

from sagwright.domain.behaviour import Noticeable
from sagwright.domain.intake import Aim, AimKind
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

_PRESSURES = 9
"""Pressures at which each option is tried before the best is refined."""

PRESSURE_TOLERANCE = 1e-3
"""To which the pressure that meets an aim is solved [Pa]."""

_NEAREST = 1e-9
"""To which the pressure of least distance is solved, as a share of its permitted range."""

ROUGH = 1e-4
"""Sag is solved to this while the pressures are tried [m]."""


@dataclass(frozen=True, slots=True)
class Matched:
    """What matching answers, one element a setup: pressure [Pa], compression under the load [m], the five behaviours,
    least and greatest distance over the references, and whether a pressure limit holds the pressure back."""

    pressure_abs: Real
    sag: Real
    five: Five
    nearest: Real
    farthest: Real
    at_limit: Real


class Reachable(Protocol):
    """Setups of one chassis under one load, side by side, that can be asked at any pressure."""

    @property
    def model(self) -> SpringModel:
        """Their springs."""

    def readings(self, pressure_abs: Real, *, start: Real | None = None, tolerance: float = ROOT_TOLERANCE) -> Readings:
        """Readings at a charge; the sag from a first guess, to a tolerance [m]."""

    def five(self, pressure_abs: Real, readings: Readings) -> Five:
        """Behaviours from readings."""

    def slopes(self, pressure_abs: Real, readings: Readings) -> tuple[Real, ...]:
        """Derivative of each behaviour by the charge, in the order of the five."""

    def pressure_for_sag(self, sag: Real, limits_abs: tuple[Real, Real]) -> Real:
        """The charge that rests at a sag [m]; at or beyond a limit where it takes less or more [Pa]."""

    def pressure_for_capacity(self, capacity: float, limits_abs: tuple[Real, Real]) -> Real:
        """The charge of a capacity [J]; the same."""


def matched(
    options: Reachable,
    aim: Aim,
    references: Sequence[Five],
    *,
    limits_abs: tuple[Real, Real],
    noticeable: Noticeable,
) -> Matched:
    """Each option at the pressure of least distance from the aim.

    Parameters
    ----------
    options : Reachable
    aim : Aim
        As it rode: the distance from how it rode is made least. A sag or a capacity: it is met exactly where the
        limits allow, because that is what was asked for; the distance then only ranks the options.
    references : sequence of Five
        How it rode, one for each setup that as found may turn out to be; the pressure suits their middle.
    limits_abs : (float, float) or (array, array)
        Permitted charge [Pa].
    noticeable : Noticeable
    """
    low, high = limits_abs
    aimed = [with_aim(reference, aim, options.model.spring.travel) for reference in references]
    wanted = _wanted_pressure(options, aim, limits_abs)
    if wanted is None:
        middle = _middle(aimed)
        wanted = _nearest_pressure(options, middle, limits_abs, noticeable)
    held = (np.asarray(wanted) <= low) | (wanted >= high)
    return at_pressure(options, np.clip(wanted, low, high), aimed, noticeable=noticeable, held=held)


def at_pressure(
    options: Reachable,
    pressure_abs: Real,
    references: Sequence[Five],
    *,
    noticeable: Noticeable,
    held: Mask = False,
) -> Matched:
    """Each option at a given pressure."""
    pressure_abs = np.broadcast_to(pressure_abs, np.shape(options.model.spring.travel))
    readings = options.readings(pressure_abs)
    five = options.five(pressure_abs, readings)
    distances = np.stack(
        [np.broadcast_to(behaviour_mismatch(five, r, noticeable), pressure_abs.shape) for r in references]
    )
    return Matched(
        pressure_abs=pressure_abs,
        sag=readings.sag,
        five=five,
        nearest=distances.min(axis=0),
        farthest=distances.max(axis=0),
        at_limit=np.broadcast_to(held, pressure_abs.shape),
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


def _wanted_pressure(options: Reachable, aim: Aim, limits_abs: tuple[Real, Real]) -> Real | None:
    """The charge that meets a sag or a capacity [Pa]; None where the aim is how it rode."""
    if aim.kind is AimKind.SAG:
        return options.pressure_for_sag(sag_wanted(aim, options.model.spring.travel), limits_abs)
    if aim.kind is AimKind.CAPACITY and aim.capacity is not None:
        return options.pressure_for_capacity(aim.capacity, limits_abs)
    return None


def _nearest_pressure(
    options: Reachable, reference: Five, limits_abs: tuple[Real, Real], noticeable: Noticeable
) -> Real:
    """The charge of least distance: the best of a few, then the root of the squared distance's derivative around it."""
    shape = np.shape(options.model.spring.travel)
    low, high = (np.broadcast_to(end, shape) for end in limits_abs)
    tried = np.linspace(low, high, _PRESSURES)
    readings = options.readings(tried, tolerance=ROUGH)
    best = np.argmin(behaviour_mismatch(options.five(tried, readings), reference, noticeable), axis=0)[np.newaxis]
    pick = [np.take_along_axis(tried, np.clip(best + k, 0, _PRESSURES - 1), axis=0)[0] for k in (-1, 0, 1)]
    sag = np.take_along_axis(readings.sag, best, axis=0)[0]

    def residual(pressure_abs: Real) -> tuple[Real, Real]:
        nonlocal sag
        at = options.readings(pressure_abs, start=sag)
        sag = at.sag
        off = behaviour_differences(options.five(pressure_abs, at), reference, noticeable)
        units = scales(reference, noticeable)
        slopes = [slope / unit for slope, unit in zip(options.slopes(pressure_abs, at), units, strict=True)]
        pull = sum(known_behaviours(o * s) for o, s in zip(off, slopes, strict=True))
        curvature = sum(known_behaviours(s) ** 2 for s in slopes)
        return pull, curvature

    tolerance = _NEAREST * float(np.max(high - low))
    return increasing_root(residual, pick[0], pick[2], start=pick[1], tolerance=tolerance)


def _middle(references: Sequence[Five]) -> Five:
    """Halfway between the least and the greatest of each behaviour."""
    columns = zip(*(reference.as_tuple() for reference in references), strict=True)
    return Five(*(0.5 * (np.min(column, axis=0) + np.max(column, axis=0)) for column in map(list, columns)))
