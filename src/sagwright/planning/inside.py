"""The inside of a spring leg, for the cutaway: the same chambers that the spring is computed with."""

from __future__ import annotations

from dataclasses import replace

from sagwright.domain.build import Build
from sagwright.domain.cutaway import LegInside
from sagwright.domain.intake import Surroundings
from sagwright.domain.item import Role
from sagwright.domain.sheet import Leg, Sheet, SpacerStack
from sagwright.planning.model import Fit, fit_of, model_of


def leg_inside(sheet: Sheet, build: Build, *, compression: float = 0.0) -> LegInside:
    """The spring leg of one fully known build.

    Parameters
    ----------
    sheet, build : Sheet, Build
    compression : float
        0 to the travel [m].

    Raises
    ------
    OutOfRange
        If the build leaves something unknown.
    """
    fit = fit_of(sheet, build)
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
        equaliser_opens=float(model.spring.ports[0].opens),
        positive_oil=spring.positive_oil.si,
        bath_oil=fit.bath_oil[place],
    )
    return _with_stack(inside, sheet, fit)


def _spring_leg(sheet: Sheet) -> tuple[int, Leg]:
    """The leg that the air shaft belongs to, and its place; the first where no item says so."""
    named = [item.leg for item in sheet.having(Role.AIR_SHAFT) if item.leg]
    found = [place for place, leg in enumerate(sheet.legs) if leg.name in named]
    place = found[0] if found else 0
    return place, sheet.legs[place]


def _lengths(sheet: Sheet, fit: Fit) -> tuple[float, float]:
    """Cap to piston, and piston to seal head, topped out."""
    spring, mechanism = sheet.air, sheet.mechanism
    if isinstance(mechanism, SpacerStack):
        positive = spring.positive_length.si + float(fit.travel)
        return positive, spring.negative_length.si + float(fit.stack) * mechanism.height.si
    return spring.positive_length.si, spring.negative_length.si


def _with_stack(inside: LegInside, sheet: Sheet, fit: Fit) -> LegInside:
    """With its travel spacers and the hole of the equaliser, where it has them."""
    mechanism, holes = sheet.mechanism, sheet.air.equaliser.holes
    if not isinstance(mechanism, SpacerStack):
        return inside
    height, outside = mechanism.height.si, mechanism.outside.si
    stacked = replace(inside, travel_spacers=int(fit.stack), spacer_height=height, spacer_outside=outside)
    return replace(stacked, equaliser_hole=int(fit.hole), holes=holes) if holes > 1 else stacked
