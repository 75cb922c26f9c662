"""What a fork carries: from a scale, or from masses, posture and how the bike stands at sag."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from sagwright.domain import measuring
from sagwright.domain.bike import Bike
from sagwright.domain.intake import Intake, Posture, Rider
from sagwright.domain.stance import Points, Stance
from sagwright.domain.value import Value
from sagwright.errors import NoSolution
from sagwright.physics import rider as body
from sagwright.physics.load import (
    GRAVITY,
    AxleLoads,
    ForkLoad,
    PointMass,
    along_fork,
    axle_loads,
    centre_of_mass,
    front_load_of_scale,
)
from sagwright.planning.bike.geometry import Stand
from sagwright.planning.bike.stance import sag_of, stance_of

UNSPRUNG: Final = Value(3.2, 0.35)
"""Front wheel, rotor, axle and lowers where they were not weighed [kg]: 2.6 to 3.8, common practice, no source."""

BIKE_MASS: Final = Value(14.0, 1.5)
"""A bike that was not weighed [kg]: common practice, no source."""

BIKE_SHARE: Final = Value(0.46, 0.02)
"""Its share on the front wheel: common practice, no source."""

BIKE_CENTRE: Final = 0.55
"""Height of a bike's centre of mass [m]: assumed; it matters on a slope only."""

REAR_SAG: Final = 0.28
"""Share of rear travel taken with a rider on: common practice, no source."""

SLOPE: Final = math.radians(10.0)
"""Slope that "attacking downhill" is taken on, rolling at a steady speed [rad]: assumed."""


@dataclass(frozen=True, slots=True)
class LoadSplit:
    """A load with all that is known about it [N]."""

    axles: AxleLoads
    fork: ForkLoad
    u: float
    head_angle: float
    knows_rear: bool


def rear_rise(bike: Bike) -> float:
    """How far the rear axle is taken to stand in its travel with a rider on [m]."""
    return 0.0 if bike.rear_travel is None else REAR_SAG * bike.rear_travel.travel.si


def fork_loads_at(
    stand: Stand, intake: Intake, rider: Rider | None, axle_to_crown: float
) -> Callable[[float], LoadSplit] | None:
    """What the fork carries, by its sag; None where neither scale nor posture says.

    A scale speaks for the rider of the intake; a rider with a height for themself, if they fit the bike.
    """
    rise = rear_rise(stand.bike)

    def standing(sag: float) -> Stance:
        return stance_of(stand, axle_to_crown, sag=sag_of(stand, front=sag, rear=rise))

    if intake.front_scale is not None and rider is intake.rider:
        reading = intake.front_scale
        return lambda sag: _by_scale(standing(sag), reading, stand.bike)
    if rider is not None and rider.height is not None and stand.bike.geometry.reach is not None:
        known = rider
        if rider_misfit(standing(0.0), known) or rider_misfit(standing(axle_to_crown - stand.bottomed()), known):
            return None
        return lambda sag: _by_posture(standing(sag), known, stand.bike)
    return None


def rider_misfit(stance: Stance, rider: Rider) -> str:
    """Why a rider of that height cannot be on the bike in that posture; empty if they can."""
    try:
        _centre(stance, rider, SLOPE if rider.posture is Posture.ATTACKING else 0.0)
    except NoSolution as error:
        return str(error)
    return ""


def _by_scale(stance: Stance, reading: Value, bike: Bike) -> LoadSplit:
    front = float(front_load_of_scale(reading.si))
    return _carried(
        stance, AxleLoads(front, math.nan), GRAVITY * (reading.u or measuring.BATHROOM_SCALE.u), bike, slope=0.0
    )


def _by_posture(stance: Stance, rider: Rider, bike: Bike) -> LoadSplit:
    slope = SLOPE if rider.posture is Posture.ATTACKING else 0.0
    mass = rider.mass.si + rider.gear.si
    x, y = _centre(stance, rider, slope)
    own = bike.mass or BIKE_MASS
    share = bike.front_share or BIKE_SHARE
    whole = centre_of_mass((PointMass(mass, x, y), PointMass(own.si, share.si * stance.wheelbase, BIKE_CENTRE)))
    loads = axle_loads(whole, wheelbase=stance.wheelbase, slope=slope)
    parts = (
        mass * measuring.RIDER_CENTRE.u / stance.wheelbase,
        math.hypot(rider.mass.u or 0.0, rider.gear.u or 0.0) * x / stance.wheelbase,
        own.si * (share.u or 0.0),
        share.si * (own.u or 0.0),
    )
    return _carried(stance, loads, GRAVITY * math.hypot(*parts), bike, slope=slope)


def _carried(stance: Stance, axles: AxleLoads, front_u: float, bike: Bike, *, slope: float) -> LoadSplit:
    unsprung = bike.unsprung or UNSPRUNG
    fork = along_fork(axles.front, unsprung=unsprung.si, head_angle=stance.head_angle, slope=slope)
    sine = math.sin(stance.head_angle + slope)
    u = sine * math.hypot(front_u, GRAVITY * (unsprung.u or 0.0))
    return LoadSplit(axles, fork, u, stance.head_angle, knows_rear=not math.isnan(float(axles.rear)))


def _centre(stance: Stance, rider: Rider, slope: float) -> tuple[float, float]:
    """The rider's centre over the road: bodies hold themselves by gravity, so they are laid out on the slope."""
    turned = _turned(stance.points, -slope)
    bb, grips = turned["bb"], turned["grips"]
    height = 0.0 if rider.height is None else rider.height.si
    crank = body.CRANK
    pedals = ((bb[0] + crank, bb[1]), (bb[0] - crank, bb[1]))
    hips, arms = _hips(rider.posture, height, turned)
    centre = body.rider_centre(body.MEAN, height=height, hips=hips, held=body.ContactPoints(pedals, grips), arms=arms)
    return _turn((float(centre[0]), float(centre[1])), slope)


def _hips(posture: Posture, height: float, points: dict[str, tuple[float, float]]) -> tuple[tuple[float, float], float]:
    if posture is Posture.SEATED and "saddle" in points:
        saddle = points["saddle"]
        return (saddle[0], saddle[1] + body.HIPS_OVER_SADDLE), body.SEATED_ARMS
    chosen = {Posture.ATTACKING: body.ATTACKING, Posture.SEATED: body.SEATED}.get(posture, body.STANDING_LEVEL)
    hips = body.hips_of(chosen, body.MEAN, height=height, bb=points["bb"])
    return (float(hips[0]), float(hips[1])), chosen.arms


def _turned(points: Points, angle: float) -> dict[str, tuple[float, float]]:
    known = {"bb": points.bb, "grips": points.grips, "saddle": points.saddle}
    return {name: _turn(point, angle) for name, point in known.items() if point is not None}


def _turn(point: tuple[float, float], angle: float) -> tuple[float, float]:
    cos, sin = math.cos(angle), math.sin(angle)
    return point[0] * cos - point[1] * sin, point[0] * sin + point[1] * cos
