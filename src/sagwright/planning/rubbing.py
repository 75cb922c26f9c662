"""What friction makes of a sag and of the force that starts a unit."""

from __future__ import annotations

from typing import Final

import numpy as np

from sagwright.domain.behaviour import FrictionView, SagBand
from sagwright.domain.build import Build
from sagwright.domain.intake import Surroundings
from sagwright.domain.sheet import Sheet
from sagwright.physics.spring import Stroke
from sagwright.planning.behave import SLOW
from sagwright.planning.model import sprung, stroke_of

WHEEL: Final = 1.4
"""Friction with wheel and axle clamped over friction without, 1.3 to 1.5: common practice, no source."""


def sag_band(slow: Stroke, friction: float, load: float) -> SagBand:
    """Sag under a load [N] with friction [N] holding the unit up, with none, and with friction holding it down."""
    lifted, middle, pressed = (
        float(np.asarray(slow.compression_under(force))) for force in (load - friction, load, load + friction)
    )
    return SagBand(lifted, middle, pressed)


def friction_view(sheet: Sheet, build: Build, load: float, workshop: Surroundings) -> FrictionView | None:
    """What friction makes of a build under a load; None while its charge or coil is not known.

    Raises
    ------
    OutOfRange
        If the build cannot exist.
    """
    made = sprung(sheet, build, workshop)
    if made is None:
        return None
    slow = stroke_of(*made, n=SLOW)
    off_top = max(0.0, float(np.asarray(slow.force(sheet.top_out.length.si))))
    start = sheet.friction.breakaway.si
    return FrictionView(sag_band(slow, sheet.friction.sliding.si, load), off_top + start, off_top + WHEEL * start)
