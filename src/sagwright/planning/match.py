"""All reachable builds, each with the pressure nearest to the aim, as one array computation.

At a fixed exponent every force and energy of a cycled spring is affine in the absolute charge pressure, so each
candidate is a handful of coefficients; only the sag needs a root. A coil's are affine in its preload: for a coil fork
everything here called a pressure [Pa] is a preload [m]. Forks with a second valve are not, and answer the same
questions by numbers (`sagwright.planning.valved`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np

from sagwright.domain.behaviour import Noticeable
from sagwright.domain.build import Build
from sagwright.domain.intake import Aim, AimKind, Surroundings
from sagwright.domain.sheet import Sheet
from sagwright.physics.numeric import Mask, Real, increasing_root
from sagwright.physics.spring import ROOT_TOLERANCE
from sagwright.planning.behave import END, SLOW, Five, Readings, differences, distance, five_from, known, scales
from sagwright.planning.coil_model import Pressed
from sagwright.planning.model import Fit, Model, fit_of, model_of
from sagwright.planning.response import Response, response_of

PRESSURES = 9
"""Pressures at which each candidate is tried before the best is refined."""

PRESSURE_TOLERANCE = 1e-3
"""To which the pressure that meets an aim is solved [Pa]."""

NEAREST = 1e-9
"""To which the pressure of least distance is solved, as a share of its permitted range."""

ROUGH = 1e-4
"""Sag is solved to this while the pressures are tried [m]."""

Affine = tuple[Real, Real]


@dataclass(frozen=True, slots=True)
class Matched:
    """What matching answers, one element a build: pressure [Pa], compression under the load [m], the five behaviours,
    least and greatest distance over the references, and whether a pressure limit holds the pressure back."""

    pressure_abs: Real
    sag: Real
    five: Five
    nearest: Real
    farthest: Real
    at_limit: Real


class Reachable(Protocol):
    """Builds of one chassis under one load, side by side, that can be asked at any pressure."""

    @property
    def model(self) -> Model:
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


@dataclass(frozen=True, slots=True)
class Candidates:
    """Cycled builds of one chassis under one load, ready to be asked at any pressure.

    Attributes
    ----------
    model : Model
    load : float
        [N]
    slow : Response
    off_top, middle, end, capacity : (float or array, float or array)
        Each reading per pascal of charge, and the rest of it.
    """

    model: Model
    load: float
    slow: Response
    off_top: Affine
    middle: Affine
    end: Affine
    capacity: Affine

    def readings(self, pressure_abs: Real, *, start: Real | None = None, tolerance: float = ROOT_TOLERANCE) -> Readings:
        """Readings at a charge; the sag from a first guess, to a tolerance [m]."""
        off_top, middle, end, capacity = (
            pressure_abs * per_pascal + rest
            for per_pascal, rest in (self.off_top, self.middle, self.end, self.capacity)
        )
        return Readings(self._sag(pressure_abs, start, tolerance), off_top, middle, end, capacity)

    def five(self, pressure_abs: Real, readings: Readings) -> Five:
        """Behaviours from readings; slopes with `slopes`."""
        return five_from(self.model.sheet, readings, travel=self.model.spring.travel, load=self.load)

    def slopes(self, pressure_abs: Real, readings: Readings) -> tuple[Real, ...]:
        """Derivative of each behaviour by the charge, in the order of the five [1/Pa, N/Pa, 1/Pa, 1/Pa, J/Pa]."""
        travel = self.model.spring.travel
        per_pascal, rest = self.slow.stiffness(readings.sag)
        moving = (readings.sag > 0) & (readings.sag < travel)
        sag = np.where(moving, -self.slow.per_pascal.force(readings.sag) / (pressure_abs * per_pascal + rest), 0.0)
        end_rise = (self.end[0] - readings.end / readings.middle * self.middle[0]) / readings.middle
        breakaway = np.where(readings.off_top > 0, self.off_top[0], 0.0)
        return sag / travel, breakaway, self.middle[0] / self.load, end_rise, self.capacity[0]

    def pressure_for_sag(self, sag: Real, limits_abs: tuple[Real, Real]) -> Real:
        """In closed form [Pa]; the limits are not needed.

        Near full extension more charge can pull a spring in; a sag there has no pressure, and the answer is infinite.
        """
        del limits_abs
        per_pascal, rest = self.slow.force(sag)
        with np.errstate(divide="ignore"):
            return np.where(per_pascal > 0, (self.load - rest) / np.maximum(per_pascal, 0.0), np.inf)

    def pressure_for_capacity(self, capacity: float, limits_abs: tuple[Real, Real]) -> Real:
        """In closed form [Pa]; the limits are not needed."""
        del limits_abs
        per_pascal, rest = self.capacity
        return np.asarray((capacity - rest) / per_pascal)

    def _sag(self, pressure_abs: Real, start: Real | None, tolerance: float) -> Real:
        """Compression under the load; the equaliser of a cycled spring makes no jump, so one bracket serves."""
        travel = self.model.spring.travel

        def residual(x: Real) -> tuple[Real, Real]:
            per_pascal, stiffness = self.slow.per_pascal.force_and_stiffness(x)
            rest, rest_stiffness = self.slow.rest.force_and_stiffness(x)
            force = pressure_abs * per_pascal + rest + self.slow.offset
            return force - self.load, pressure_abs * stiffness + rest_stiffness

        shape = np.broadcast_shapes(np.shape(pressure_abs), np.shape(travel))
        high = np.broadcast_to(travel, shape)
        guess = 0.2 * high if start is None else start
        return increasing_root(residual, np.zeros(shape), high, start=guess, tolerance=tolerance)


def candidates_of(
    sheet: Sheet, builds: Sequence[Build], load: float, *, workshop: Surroundings, exponent: float
) -> Candidates:
    """Builds of one chassis as one array; their own charges are not looked at.

    Raises
    ------
    OutOfRange
        If a build cannot exist.
    """
    model = model_of(sheet, side_by_side(sheet, builds), workshop)
    slow, stroke = response_of(model, n=SLOW), response_of(model, n=exponent)
    travel = model.spring.travel
    return Candidates(
        model=model,
        load=load,
        slow=slow,
        off_top=slow.force(sheet.top_out.length.si),
        middle=stroke.force(0.5 * travel),
        end=stroke.force(END * travel),
        capacity=stroke.energy(travel),
    )


def matched(
    candidates: Reachable,
    aim: Aim,
    references: Sequence[Five],
    *,
    limits_abs: tuple[Real, Real],
    noticeable: Noticeable,
) -> Matched:
    """Each candidate at the pressure of least distance from the aim.

    Parameters
    ----------
    candidates : Reachable
    aim : Aim
        As it rode: the distance from how it rode is made least. A sag or a capacity: it is met exactly where the
        limits allow, because that is what was asked for; the distance then only ranks the candidates.
    references : sequence of Five
        How it rode, one for each build that as found may turn out to be; the pressure suits their middle.
    limits_abs : (float, float) or (array, array)
        Permitted charge [Pa].
    noticeable : Noticeable
    """
    low, high = limits_abs
    aimed = [with_aim(reference, aim, candidates.model.spring.travel) for reference in references]
    wanted = _wanted_pressure(candidates, aim, limits_abs)
    if wanted is None:
        middle = _middle(aimed)
        wanted = _nearest_pressure(candidates, middle, limits_abs, noticeable)
    held = (np.asarray(wanted) <= low) | (wanted >= high)
    return at_pressure(candidates, np.clip(wanted, low, high), aimed, noticeable=noticeable, held=held)


def at_pressure(
    candidates: Reachable,
    pressure_abs: Real,
    references: Sequence[Five],
    *,
    noticeable: Noticeable,
    held: Mask = False,
) -> Matched:
    """Each candidate at a given pressure."""
    pressure_abs = np.broadcast_to(pressure_abs, np.shape(candidates.model.spring.travel))
    readings = candidates.readings(pressure_abs)
    five = candidates.five(pressure_abs, readings)
    distances = np.stack([np.broadcast_to(distance(five, r, noticeable), pressure_abs.shape) for r in references])
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


def _wanted_pressure(candidates: Reachable, aim: Aim, limits_abs: tuple[Real, Real]) -> Real | None:
    """The charge that meets a sag or a capacity [Pa]; None where the aim is how it rode."""
    if aim.kind is AimKind.SAG:
        return candidates.pressure_for_sag(sag_wanted(aim, candidates.model.spring.travel), limits_abs)
    if aim.kind is AimKind.CAPACITY and aim.capacity is not None:
        return candidates.pressure_for_capacity(aim.capacity, limits_abs)
    return None


def _nearest_pressure(
    candidates: Reachable, reference: Five, limits_abs: tuple[Real, Real], noticeable: Noticeable
) -> Real:
    """The charge of least distance: the best of a few, then the root of the squared distance's derivative around it."""
    shape = np.shape(candidates.model.spring.travel)
    low, high = (np.broadcast_to(end, shape) for end in limits_abs)
    tried = np.linspace(low, high, PRESSURES)
    readings = candidates.readings(tried, tolerance=ROUGH)
    best = np.argmin(distance(candidates.five(tried, readings), reference, noticeable), axis=0)[np.newaxis]
    pick = [np.take_along_axis(tried, np.clip(best + k, 0, PRESSURES - 1), axis=0)[0] for k in (-1, 0, 1)]
    sag = np.take_along_axis(readings.sag, best, axis=0)[0]

    def residual(pressure_abs: Real) -> tuple[Real, Real]:
        nonlocal sag
        at = candidates.readings(pressure_abs, start=sag)
        sag = at.sag
        off = differences(candidates.five(pressure_abs, at), reference, noticeable)
        units = scales(reference, noticeable)
        slopes = [slope / unit for slope, unit in zip(candidates.slopes(pressure_abs, at), units, strict=True)]
        pull = sum(known(o * s) for o, s in zip(off, slopes, strict=True))
        curvature = sum(known(s) ** 2 for s in slopes)
        return pull, curvature

    tolerance = NEAREST * float(np.max(high - low))
    return increasing_root(residual, pick[0], pick[2], start=pick[1], tolerance=tolerance)


def _middle(references: Sequence[Five]) -> Five:
    """Halfway between the least and the greatest of each behaviour."""
    columns = zip(*(reference.as_tuple() for reference in references), strict=True)
    return Five(*(0.5 * (np.min(column, axis=0) + np.max(column, axis=0)) for column in map(list, columns)))


def _turned_out(build: Build) -> Build:
    """A coil build whose preload is still to be chosen."""
    return replace(build, fitting=None if build.fitting is None else replace(build.fitting, adjuster=0.0))


def _unpressed(fits: Sequence[Fit]) -> Pressed | None:
    """Their coils touching their seats, not pressed topped out; None where there is gas."""
    rates = [fit.coil.rate for fit in fits if fit.coil is not None]
    return Pressed(np.array(rates, dtype=float), 0.0, np.inf) if rates else None


def side_by_side(sheet: Sheet, builds: Sequence[Build]) -> Fit:
    """Builds of one chassis as arrays."""
    fits = [fit_of(sheet, _turned_out(build)) for build in builds]
    return Fit(
        travel=np.array([fit.travel for fit in fits]),
        stack=np.array([fit.stack for fit in fits], dtype=float),
        hole=np.array([fit.hole for fit in fits], dtype=float),
        volume_spacers=np.array([fit.volume_spacers for fit in fits], dtype=float),
        bath_oil=fits[0].bath_oil,
        closed_at=fits[0].closed_at,
        closed_in=fits[0].closed_in,
        coil=_unpressed(fits),
    )
