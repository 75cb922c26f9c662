"""The inside of a spring leg, for the cutaway: the same chambers that the spring is computed with."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from sagwright.domain.coil_spring import CoilOnOffer
from sagwright.domain.cutaway import CoilInside, Inside, LegInside
from sagwright.domain.intake import Surroundings
from sagwright.domain.setup import Setup
from sagwright.domain.sheet import Leg, Sheet, SpacerStack, TopOutSpacers
from sagwright.domain.value import Unknown
from sagwright.errors import OutOfRange
from sagwright.planning.spring.air import AIR, AirFit
from sagwright.planning.spring.coil import COIL, coil_named, coil_of
from sagwright.planning.spring.model import model_of
from sagwright.planning.spring.parts import Fit


def inside_of(sheet: Sheet, setup: Setup, *, compression: float = 0.0) -> Inside:
    """The spring leg of one fully known setup; arguments and errors as `leg_inside`."""
    return _INSIDE[sheet.spring.kind](sheet, setup, compression)


def coil_inside(sheet: Sheet, setup: Setup, compression: float = 0.0) -> CoilInside:
    """The spring leg of a coil fork at a compression [m]; errors as `leg_inside`."""
    fit, spring, fitting = COIL.fit(sheet, setup), sheet.coil, coil_of(setup)
    name, spacers, adjuster = fitting.coil, fitting.preload_spacers, fitting.adjuster
    if isinstance(name, Unknown) or isinstance(spacers, Unknown) or isinstance(adjuster, Unknown):
        raise OutOfRange("must be known to draw it", field="as_found.coil")
    place, leg = _spring_leg(sheet)
    shelved, travel = coil_named(spring, name), float(fit.travel)
    stacked = spacers * spring.stack.height.si + adjuster
    inside = CoilInside(
        bore=spring.bore.si,
        shaft=spring.shaft.si,
        stanchion=leg.stanchion.si,
        travel=travel,
        compression=compression,
        between=spring.seats.si + travel - compression - stacked,
        coil=name,
        rate=float(fit.coil.rate),
        free_length=float(fit.coil.preload) + spring.seats.si + travel - stacked,
        preload=float(fit.coil.preload),
        left=float(fit.coil.travel_to_solid) - travel,
        preload_spacers=spacers,
        preload_height=spring.stack.height.si,
        adjuster=adjuster,
        lower_leg_oil=fit.lower_leg_oil[place],
    )
    return _with_wire(_with_top_out(inside, sheet, fit), shelved)


def _with_top_out(inside: CoilInside, sheet: Sheet, fit: Fit) -> CoilInside:
    if not isinstance(sheet.mechanism, TopOutSpacers):
        return inside
    return replace(inside, top_out_spacers=int(fit.stack), top_out_height=sheet.mechanism.height.si)


def _with_wire(inside: CoilInside, shelved: CoilOnOffer) -> CoilInside:
    wound = shelved.wound
    if wound is None:
        return inside
    return replace(inside, wire=wound.wire.si, diameter=wound.diameter.si, turns=wound.turns.si)


def leg_inside(sheet: Sheet, setup: Setup, compression: float = 0.0) -> LegInside:
    """The spring leg of one fully known setup of an air fork.

    Parameters
    ----------
    sheet, setup : Sheet, Setup
    compression : float
        0 to the travel [m].

    Raises
    ------
    OutOfRange
        If the setup leaves something unknown.
    """
    fit = AIR.fit(sheet, setup)
    model = model_of(sheet, fit, Surroundings())
    positive, negative = model.spring.chambers[:2]
    place, leg = _spring_leg(sheet)
    spring = sheet.air
    lengths = _lengths(sheet, fit)
    inside = LegInside(
        bore=spring.bore.si,
        shaft=spring.shaft.si,
        stanchion=leg.stanchion.si,
        travel=float(fit.travel),
        compression=compression,
        positive_length=lengths[0] - compression,
        negative_length=lengths[1] + compression,
        positive_volume=float(positive.at(compression)),
        negative_volume=float(negative.at(compression)),
        volume_spacers=int(fit.volume_spacers),
        volume_spacer=spring.volume_spacer.si,
        transfer_port_opens=float(model.spring.ports[0].opens),
        positive_oil=spring.positive_oil.si,
        lower_leg_oil=fit.lower_leg_oil[place],
    )
    return _with_stack(inside, sheet, fit)


def _spring_leg(sheet: Sheet) -> tuple[int, Leg]:
    """The leg that the spring's shaft belongs to, and its place; the first where no item says so."""
    said = [item.leg for item in sheet.having(sheet.spring.shaft_role) if item.leg]
    found = [place for place, leg in enumerate(sheet.legs) if leg.name in said]
    place = found[0] if found else 0
    return place, sheet.legs[place]


def _lengths(sheet: Sheet, fit: Fit) -> tuple[float, float]:
    """Cap to piston, and piston to seal head, topped out."""
    spring, mechanism = sheet.air, sheet.mechanism
    if isinstance(mechanism, SpacerStack):
        positive = spring.positive_length.si + float(fit.travel)
        return positive, spring.negative_length.si + float(fit.stack) * mechanism.height.si
    return spring.positive_length.si, spring.negative_length.si


def _with_stack(inside: LegInside, sheet: Sheet, fit: AirFit) -> LegInside:
    """With its travel spacers and the hole of the transfer port, where it has them."""
    mechanism, holes = sheet.mechanism, sheet.air.transfer_port.positions
    if not isinstance(mechanism, SpacerStack):
        return inside
    height, outside = mechanism.height.si, mechanism.outside.si
    stacked = replace(inside, travel_spacers=int(fit.stack), spacer_height=height, spacer_outside=outside)
    return replace(stacked, port_position=int(fit.hole), positions=holes) if holes > 1 else stacked


_INSIDE: Final[dict[str, Callable[[Sheet, Setup, float], Inside]]] = {"air": leg_inside, "coil": coil_inside}
