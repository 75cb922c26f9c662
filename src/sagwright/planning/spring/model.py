"""A sheet and a setup, or several side by side, as the spring that physics computes with."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from sagwright.domain import sheet
from sagwright.domain.intake import Surroundings
from sagwright.domain.setup import Setup
from sagwright.domain.sheet import Sheet
from sagwright.physics.bumper import AnyStop, Disc, DiscStop, LinearBumper, Stack
from sagwright.physics.floating_piston import release_point
from sagwright.physics.numeric import Real
from sagwright.physics.spring import Chamber, GasState, Spring, Stroke
from sagwright.planning.spring.kind import spring_kind
from sagwright.planning.spring.parts import Fit, SpringModel, disc_area


def bumper(stop: sheet.Bumper, starts: Real, sense: int) -> AnyStop:
    """A bumper that starts at a compression [m]: of one rate, or of disc springs."""
    if stop.discs is None:
        return LinearBumper(starts, stop.rate.si, sense)
    return DiscStop(starts, stack_of(stop.discs), sense)


def stack_of(discs: sheet.DiscStack) -> Stack:
    """Disc springs as the formulas take them."""
    sizes = (discs.outside, discs.inside, discs.thickness, discs.cone, discs.elastic_modulus, discs.poisson)
    return Stack(Disc(*(size.si for size in sizes)), discs.series, discs.parallel)


def fit_of(sheet: Sheet, setup: Setup) -> Fit:
    """What one fully known setup puts into the spring.

    Raises
    ------
    OutOfRange
        If the setup leaves something unknown, names a hole or a coil there is not, or leaves no travel.
    """
    return spring_kind(sheet).fit(sheet, setup)


def model_of(sheet: Sheet, fit: Fit, workshop: Surroundings) -> SpringModel:
    """The spring of one or many setups: positive and negative or a coil, one chamber a leg, the damper's gas.

    Notes
    -----
    In each leg the chambers sum to −(outside area of the stanchion): the shaft stands still in the lower leg, so the
    leg's air is swept by the stanchion's outside area less the shaft's.
    """
    damper = Chamber("damper gas", sheet.damper.gas_volume.si, -disc_area(sheet.damper.rod))
    own = fit.chambers(sheet)
    spring = Spring(
        chambers=(*own, *_leg_chambers(sheet, fit), damper, *fit.behind(sheet)),
        ports=fit.ports(sheet),
        stops=_stops(sheet, fit),
        travel=_travel(sheet, fit),
        ambient_abs=workshop.ambient_abs,
    )
    return SpringModel(sheet, fit, workshop, spring, len(own))


def _travel(sheet: Sheet, fit: Fit) -> Real:
    """Travel as far as the spring lets it in, or what the damper's stroke leaves of it."""
    stroke = sheet.damper.stroke
    return fit.reach if stroke is None else np.minimum(fit.reach, stroke.si)


def sprung(sheet: Sheet, setup: Setup, workshop: Surroundings) -> tuple[SpringModel, GasState] | None:
    """The spring of a setup and its gas; None while its charge, or its coil and preload, is unknown.

    Raises
    ------
    OutOfRange
        If the setup cannot exist, or leaves something else unknown.
    """
    kind = spring_kind(sheet)
    if not kind.known(setup):
        return None
    model = model_of(sheet, fit_of(sheet, setup), workshop)
    return model, kind.state(model, setup)


def stroke_of(model: SpringModel, state: GasState, *, n: float) -> Stroke:
    """A stroke at an exponent, with the floating piston let go where there is one."""
    spring = model.spring
    if model.piston is not None:
        spring = release_point(spring, state, front=0, behind=model.piston, n=n)
    return Stroke(spring, state, n=n)


def _leg_chambers(sheet: Sheet, fit: Fit) -> Iterator[Chamber]:
    for leg, oil in zip(sheet.legs, fit.lower_leg_oil, strict=True):
        swept = disc_area(leg.stanchion) - disc_area(leg.rod)
        yield Chamber(f"{leg.name} leg", leg.air_bottomed.si - oil + swept * fit.travel, -swept)


def _stops(sheet: Sheet, fit: Fit) -> tuple[AnyStop, ...]:
    """The bumpers, and what the spring adds."""
    return (
        bumper(sheet.top_out, sheet.top_out.length.si, -1),
        bumper(sheet.bottom_out, fit.travel - sheet.bottom_out.length.si, +1),
        *fit.stops(sheet),
    )


def side_by_side(sheet: Sheet, setups: Sequence[Setup]) -> Fit:
    """Builds of one chassis as arrays, at no charge or preload yet."""
    return spring_kind(sheet).side_by_side(sheet, setups)
