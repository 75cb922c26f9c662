"""A sheet and a setup, or several side by side, as the spring that physics computes with."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from sagwright.domain import sheet
from sagwright.domain.air_spring import AirSpring
from sagwright.domain.build import Build, StackSetting
from sagwright.domain.intake import Surroundings
from sagwright.domain.sheet import Sheet
from sagwright.domain.value import Unknown
from sagwright.errors import OutOfRange
from sagwright.physics.bumper import AnyStop, Disc, DiscStop, Stack, Stop
from sagwright.physics.floating_piston import let_go
from sagwright.physics.numeric import Real
from sagwright.physics.spring import Chamber, Spring, State, Stroke
from sagwright.planning.spring.air import air_chambers, state_of, transfer_port
from sagwright.planning.spring.coil import coil_fit, coil_known
from sagwright.planning.spring.parts import Fit, Model, Pressed, disc_area, other_masses, travel_of, with_legs


def bumper(stop: sheet.Stop, starts: Real, sense: int) -> AnyStop:
    """A bumper that starts at a compression [m]: of one rate, or of disc springs."""
    if stop.discs is None:
        return Stop(starts, stop.rate.si, sense)
    return DiscStop(starts, stack_of(stop.discs), sense)


def stack_of(discs: sheet.DiscStack) -> Stack:
    """Disc springs as the formulas take them."""
    sizes = (discs.outside, discs.inside, discs.thickness, discs.cone, discs.elastic_modulus, discs.poisson)
    return Stack(Disc(*(size.si for size in sizes)), discs.series, discs.parallel)


def fit_of(sheet: Sheet, build: Build) -> Fit:
    """What one fully known build puts into the spring.

    Raises
    ------
    OutOfRange
        If the build leaves something unknown, names a hole or a coil there is not, or leaves no travel.
    """
    if sheet.coil is not None:
        return coil_fit(sheet, build)
    setting = build.setting
    travel = travel_of(sheet, sheet.chassis_named(build.chassis), setting)
    stack, hole = (setting.travel_spacers, setting.equaliser_hole) if isinstance(setting, StackSetting) else (0, 0)
    spacers = build.volume_spacers
    if isinstance(travel, Unknown) or isinstance(stack, Unknown):
        raise OutOfRange("must be known to compute the spring", field="as_found.travel_spacers")
    if isinstance(hole, Unknown) or isinstance(spacers, Unknown):
        raise OutOfRange("must be known to compute the spring", field="as_found.volume_spacers")
    if not 0 <= hole < sheet.air.equaliser.holes:
        raise OutOfRange(
            f"must be a hole between 0 and {sheet.air.equaliser.holes - 1}",
            field="as_found.equaliser_hole",
            value=str(hole),
            remedy="Count from 0, the hole for no travel spacers.",
        )
    return with_legs(sheet, build, Fit(travel, stack, hole, spacers, (), ()))


def model_of(sheet: Sheet, fit: Fit, workshop: Surroundings) -> Model:
    """The spring of one or many builds: positive and negative or a coil, one chamber a leg, the damper's gas.

    Notes
    -----
    In each leg the chambers sum to −(outside area of the stanchion): the shaft stands still in the lower leg, so the
    leg's air is swept by the stanchion's outside area less the shaft's.
    """
    damper = Chamber("damper gas", sheet.damper.gas_volume.si, -disc_area(sheet.damper.rod))
    legs = tuple(_leg_chambers(sheet, fit))
    spring = Spring(
        chambers=(*legs, damper),
        ports=(),
        stops=_stops(sheet, fit),
        travel=_travel(sheet, fit),
        ambient_abs=workshop.ambient_abs,
    )
    if not isinstance(sheet.spring, AirSpring):
        return Model(sheet, fit, workshop, spring)
    piston = sheet.spring.second
    behind = () if piston is None else (Chamber("second positive", piston.volume.si, 0.0),)
    chambers = (*air_chambers(sheet, fit), *legs, damper, *behind)
    return Model(sheet, fit, workshop, replace(spring, chambers=chambers, ports=(transfer_port(sheet, fit),)))


def _travel(sheet: Sheet, fit: Fit) -> Real:
    """Travel, or what the damper's stroke or a coil's solid length leaves of it."""
    stroke = sheet.damper.stroke
    travel = fit.travel if stroke is None else np.minimum(fit.travel, stroke.si)
    return travel if fit.coil is None else np.minimum(travel, fit.coil.room)


def sprung(sheet: Sheet, build: Build, workshop: Surroundings) -> tuple[Model, State] | None:
    """The spring of a build and its gas; None while nobody knows its charge, or its coil and preload.

    Raises
    ------
    OutOfRange
        If the build cannot exist, or leaves something else unknown.
    """
    if sheet.coil is not None:
        if build.fitting is None or not coil_known(build.fitting):
            return None
        model = model_of(sheet, fit_of(sheet, build), workshop)
        return model, State(other_masses(model), workshop.temperature)
    if isinstance(build.charge, Unknown):
        return None
    model = model_of(sheet, fit_of(sheet, build), workshop)
    return model, state_of(model, build.charge)


def stroke_of(model: Model, state: State, *, n: float) -> Stroke:
    """A stroke at an exponent, with the floating piston let go where there is one."""
    spring = model.spring
    if isinstance(model.sheet.spring, AirSpring) and model.sheet.spring.second is not None:
        spring = let_go(spring, state, front=0, behind=len(spring.chambers) - 1, n=n)
    return Stroke(spring, state, n=n)


def _leg_chambers(sheet: Sheet, fit: Fit) -> Iterator[Chamber]:
    for leg, oil in zip(sheet.legs, fit.bath_oil, strict=True):
        swept = disc_area(leg.stanchion) - disc_area(leg.rod)
        yield Chamber(f"{leg.name} leg", leg.air_bottomed.si - oil + swept * fit.travel, -swept)


def _stops(sheet: Sheet, fit: Fit) -> tuple[AnyStop, ...]:
    """The bumpers; a negative coil, which is a bumper that pulls in; and a coil, one that starts before its travel."""
    pulls = sheet.spring.negative_coil if isinstance(sheet.spring, AirSpring) else None
    return (
        bumper(sheet.top_out, sheet.top_out.length.si, -1),
        bumper(sheet.bottom_out, fit.travel - sheet.bottom_out.length.si, +1),
        *(() if pulls is None else (Stop(pulls.length.si, pulls.rate.si, -1),)),
        *(() if fit.coil is None else (Stop(-fit.coil.preload, fit.coil.rate, +1),)),
    )


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
