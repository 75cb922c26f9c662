"""A sheet and a setup, or several side by side, as the spring that physics computes with."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from sagwright.domain import sheet
from sagwright.domain.air_spring import AirSpring
from sagwright.domain.intake import Surroundings
from sagwright.domain.setup import Setup, StackSetting
from sagwright.domain.sheet import Sheet
from sagwright.domain.value import Unknown
from sagwright.errors import OutOfRange
from sagwright.physics.bumper import AnyStop, Disc, DiscStop, LinearBumper, Stack
from sagwright.physics.floating_piston import release_point
from sagwright.physics.numeric import Real
from sagwright.physics.spring import Chamber, GasState, Spring, Stroke
from sagwright.planning.spring.air import air_chambers, state_of, transfer_port
from sagwright.planning.spring.coil import coil_fit, is_coil_known
from sagwright.planning.spring.parts import Fit, Pressed, SpringModel, disc_area, other_masses, travel_of, with_legs


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
    if sheet.coil is not None:
        return coil_fit(sheet, setup)
    setting = setup.setting
    travel = travel_of(sheet, sheet.chassis_named(setup.chassis), setting)
    stack, hole = (setting.travel_spacers, setting.port_position) if isinstance(setting, StackSetting) else (0, 0)
    spacers = setup.volume_spacers
    if isinstance(travel, Unknown) or isinstance(stack, Unknown):
        raise OutOfRange("must be known to compute the spring", field="as_found.travel_spacers")
    if isinstance(hole, Unknown) or isinstance(spacers, Unknown):
        raise OutOfRange("must be known to compute the spring", field="as_found.volume_spacers")
    if not 0 <= hole < sheet.air.transfer_port.positions:
        raise OutOfRange(
            f"must be a hole between 0 and {sheet.air.transfer_port.positions - 1}",
            field="as_found.port_position",
            value=str(hole),
            remedy="Count from 0, the hole for no travel spacers.",
        )
    return with_legs(sheet, setup, Fit(travel, stack, hole, spacers, (), ()))


def model_of(sheet: Sheet, fit: Fit, workshop: Surroundings) -> SpringModel:
    """The spring of one or many setups: positive and negative or a coil, one chamber a leg, the damper's gas.

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
        return SpringModel(sheet, fit, workshop, spring)
    piston = sheet.spring.second
    behind = () if piston is None else (Chamber("second positive", piston.volume.si, 0.0),)
    chambers = (*air_chambers(sheet, fit), *legs, damper, *behind)
    return SpringModel(sheet, fit, workshop, replace(spring, chambers=chambers, ports=(transfer_port(sheet, fit),)))


def _travel(sheet: Sheet, fit: Fit) -> Real:
    """Travel, or what the damper's stroke or a coil's solid length leaves of it."""
    stroke = sheet.damper.stroke
    travel = fit.travel if stroke is None else np.minimum(fit.travel, stroke.si)
    return travel if fit.coil is None else np.minimum(travel, fit.coil.travel_to_solid)


def sprung(sheet: Sheet, setup: Setup, workshop: Surroundings) -> tuple[SpringModel, GasState] | None:
    """The spring of a setup and its gas; None while nobody knows its charge, or its coil and preload.

    Raises
    ------
    OutOfRange
        If the setup cannot exist, or leaves something else unknown.
    """
    if sheet.coil is not None:
        if setup.fitting is None or not is_coil_known(setup.fitting):
            return None
        model = model_of(sheet, fit_of(sheet, setup), workshop)
        return model, GasState(other_masses(model), workshop.temperature)
    if isinstance(setup.charge, Unknown):
        return None
    model = model_of(sheet, fit_of(sheet, setup), workshop)
    return model, state_of(model, setup.charge)


def stroke_of(model: SpringModel, state: GasState, *, n: float) -> Stroke:
    """A stroke at an exponent, with the floating piston let go where there is one."""
    spring = model.spring
    if isinstance(model.sheet.spring, AirSpring) and model.sheet.spring.second is not None:
        spring = release_point(spring, state, front=0, behind=len(spring.chambers) - 1, n=n)
    return Stroke(spring, state, n=n)


def _leg_chambers(sheet: Sheet, fit: Fit) -> Iterator[Chamber]:
    for leg, oil in zip(sheet.legs, fit.lower_leg_oil, strict=True):
        swept = disc_area(leg.stanchion) - disc_area(leg.rod)
        yield Chamber(f"{leg.name} leg", leg.air_bottomed.si - oil + swept * fit.travel, -swept)


def _stops(sheet: Sheet, fit: Fit) -> tuple[AnyStop, ...]:
    """The bumpers; a negative coil, which is a bumper that pulls in; and a coil, one that starts before its travel."""
    pulls = sheet.spring.negative_coil if isinstance(sheet.spring, AirSpring) else None
    return (
        bumper(sheet.top_out, sheet.top_out.length.si, -1),
        bumper(sheet.bottom_out, fit.travel - sheet.bottom_out.length.si, +1),
        *(() if pulls is None else (LinearBumper(pulls.length.si, pulls.rate.si, -1),)),
        *(() if fit.coil is None else (LinearBumper(-fit.coil.preload, fit.coil.rate, +1),)),
    )


def _turned_out(setup: Setup) -> Setup:
    """A coil setup whose preload is still to be chosen."""
    return replace(setup, fitting=None if setup.fitting is None else replace(setup.fitting, adjuster=0.0))


def _unpressed(fits: Sequence[Fit]) -> Pressed | None:
    """Their coils touching their seats, not pressed topped out; None where there is gas."""
    rates = [fit.coil.rate for fit in fits if fit.coil is not None]
    return Pressed(np.array(rates, dtype=float), 0.0, np.inf) if rates else None


def side_by_side(sheet: Sheet, setups: Sequence[Setup]) -> Fit:
    """Setups of one chassis as arrays."""
    fits = [fit_of(sheet, _turned_out(setup)) for setup in setups]
    return Fit(
        travel=np.array([fit.travel for fit in fits]),
        stack=np.array([fit.stack for fit in fits], dtype=float),
        hole=np.array([fit.hole for fit in fits], dtype=float),
        volume_spacers=np.array([fit.volume_spacers for fit in fits], dtype=float),
        lower_leg_oil=fits[0].lower_leg_oil,
        closed_at=fits[0].closed_at,
        closed_in=fits[0].closed_in,
        coil=_unpressed(fits),
    )
