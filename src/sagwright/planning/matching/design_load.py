"""What the fork carries at rest, and which way that was got."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from sagwright.domain.bike import Bike
from sagwright.domain.finding import Finding
from sagwright.domain.intake import Intake, Rider
from sagwright.domain.setup import Setup
from sagwright.domain.stance import Load, LoadHow
from sagwright.domain.value import Figure, Measured, Quantity
from sagwright.errors import MissingValue
from sagwright.physics.spring import GasState
from sagwright.planning.bike.report import agreed_load
from sagwright.planning.checks.findings import finding
from sagwright.planning.spring.behaviour import SLOW
from sagwright.planning.spring.model import sprung, stroke_of
from sagwright.planning.spring.parts import SpringModel

G0: Final = 9.80665
"""Standard acceleration of free fall [m/s²], exact in [iso-80000-3]."""

USUAL_SAG: Final = 0.20
"""Share of travel aimed at, and assumed as found, where nothing better is said: common practice, no source."""


def load_of(intake: Intake, found: Sequence[Setup]) -> Load:
    """Force along the fork at rest, and which way it was got."""
    if intake.load is not None:
        return Load(Measured(intake.load.si, intake.load.u), LoadHow.GIVEN)
    carried = agreed_load(intake, found[0] if found else None)
    if carried is not None:
        how = LoadHow.SCALE if intake.front_scale is not None else LoadHow.POSTURE
        return Load(Measured(float(carried.fork.along), carried.u), how)
    rider = intake.rider
    if rider is not None:
        mass = rider.mass.si + rider.gear.si
        return Load(Measured(mass * G0 * rider.front_share.si, _share_u(mass, rider)), LoadHow.SHARE)
    if not found:
        raise MissingValue(
            "must be given when the pressure as found is not known: nothing says what the fork carries",
            field="rider",
            remedy="Write rider with mass and gear, or load in N along the fork, or the pressure as found.",
        )
    model, state = sprung_or_missing(intake, found[0])
    slow = stroke_of(model, state, n=SLOW)
    return Load(Measured(float(slow.force(USUAL_SAG * model.spring.travel))), LoadHow.ASSUMED)


def _share_u(mass: float, rider: Rider) -> float | None:
    if rider.front_share.u is None:
        return None
    mass_u = float(np.hypot(rider.mass.u or 0.0, rider.gear.u or 0.0))
    return G0 * float(np.hypot(mass * rider.front_share.u, rider.front_share.si * mass_u))


def sprung_or_missing(intake: Intake, setup: Setup) -> tuple[SpringModel, GasState]:
    """A setup's spring and its gas.

    Raises
    ------
    MissingValue
        If its charge or coil is not known.
    """
    made = sprung(intake.sheet, setup, intake.workshop)
    if made is None:
        raise MissingValue("must be known", field="as_found.charge")
    return made


def about_load(intake: Intake, load: Load) -> Iterator[Finding]:
    """Which way the load was got, where that is worth a word."""
    force = load.force.of(Quantity.FORCE)
    if load.how is LoadHow.ASSUMED:
        yield finding("load.assumed", "rider", load=force)
    if load.how is LoadHow.SCALE and intake.front_scale is not None:
        reading = Figure(intake.front_scale.si, Quantity.MASS, intake.front_scale.u)
        yield finding("load.scale", "front_scale", load=force, reading=reading)
    if load.how is LoadHow.POSTURE and intake.rider is not None:
        mass = Figure(intake.rider.mass.si + intake.rider.gear.si, Quantity.MASS)
        yield finding("load.posture", "rider.height", (("posture", intake.rider.posture.value),), load=force, mass=mass)
    if load.how is LoadHow.SHARE and isinstance(intake.bike, Bike) and intake.rider is not None and intake.rider.height:
        height = Figure(intake.rider.height.si, Quantity.LENGTH)
        words = (("bike", intake.bike.name), ("posture", intake.rider.posture.value))
        yield finding("load.posture-unfit", "rider.height", words, height=height)
    if load.how is LoadHow.SHARE and intake.rider is not None:
        share, rider = intake.rider.front_share, intake.rider
        yield finding(
            "load.share",
            "rider.front_share",
            (("origin", share.origin.value),),
            load=force,
            share=Figure(share.si, Quantity.FRACTION, share.u),
            mass=Figure(rider.mass.si + rider.gear.si, Quantity.MASS),
        )
