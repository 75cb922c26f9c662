"""The five behaviours of a spring under a load, the distance between two sets of them, and what friction adds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from sagwright.domain.behaviour import Behaviour, FrictionView, Noticeable, SagBand
from sagwright.domain.intake import Surroundings
from sagwright.domain.setup import Setup
from sagwright.domain.sheet import Sheet
from sagwright.domain.value import Measured
from sagwright.physics.numeric import Real
from sagwright.physics.spring import GasState, Stroke
from sagwright.planning.spring.model import sprung, stroke_of
from sagwright.planning.spring.parts import SpringModel

SLOW: Final = 1.0
"""Exponent at which sag and breakaway are computed."""

STROKE: Final = 1.2
"""Exponent at which mid-stroke support, ramp-up and capacity are computed: assumed, between slow 1 and fast 1.4."""

END: Final = 0.95
"""Share of travel at which ramp-up is taken."""

WHEEL: Final = 1.4
"""Friction with wheel and axle clamped over friction without, 1.3 to 1.5: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Five:
    """The behaviours as numbers or arrays, defined in `sagwright.domain.behaviour.Behaviour`; NaN where not known."""

    sag_fraction: Real
    breakaway: Real
    mid_stroke_support: Real
    ramp_up: Real
    capacity: Real

    def as_tuple(self) -> tuple[Real, Real, Real, Real, Real]:
        """In the order of the fields."""
        return self.sag_fraction, self.breakaway, self.mid_stroke_support, self.ramp_up, self.capacity


@dataclass(frozen=True, slots=True)
class Readings:
    """What the five are made from: compression under the load [m], slow force at the end of the top-out bumper [N],
    stroke force at half travel and near full travel [N], stroke energy to full travel [J]."""

    sag: Real
    off_top: Real
    middle: Real
    end: Real
    capacity: Real


def five_from(sheet: Sheet, readings: Readings, *, travel: Real, load: Real) -> Five:
    """The five behaviours from their readings; the one place that defines them."""
    return Five(
        sag_fraction=readings.sag / travel,
        breakaway=sheet.friction.breakaway.si + np.maximum(0.0, readings.off_top),
        mid_stroke_support=readings.middle / load,
        ramp_up=readings.end / readings.middle,
        capacity=readings.capacity,
    )


def readings_under(model: SpringModel, state: GasState, load: Real, *, exponent: float) -> Readings:
    """The readings of a charged spring, cycled or not, right or wrong.

    Raises
    ------
    OutOfRange
        If the spring cannot exist.
    NoSolution
        If the sag did not converge.
    """
    slow, stroke = stroke_of(model, state, n=SLOW), stroke_of(model, state, n=exponent)
    travel = model.spring.travel
    return Readings(
        sag=slow.compression_under(load),
        off_top=slow.force(model.sheet.top_out.length.si),
        middle=stroke.force(0.5 * travel),
        end=stroke.force(END * travel),
        capacity=stroke.energy(travel),
    )


def behaviour_of(model: SpringModel, state: GasState, load: float, *, exponent: float) -> Behaviour:
    """The behaviour of one charged setup; errors as `readings_under`."""
    readings = readings_under(model, state, load, exponent=exponent)
    five = five_from(model.sheet, readings, travel=model.spring.travel, load=load)
    return Behaviour(*(Measured(float(number)) for number in (readings.sag, *five.as_tuple())))


def five_of(behaviour: Behaviour) -> Five:
    """A behaviour as the numbers that distances are taken between."""
    return Five(*(getattr(behaviour, name).value for name in Five.__slots__))


def behaviour_differences(five: Five, reference: Five, noticeable: Noticeable) -> tuple[Real, ...]:
    """Each behaviour's difference from the reference, in just-noticeable differences; NaN where not known."""
    units = scales(reference, noticeable)
    return tuple((a - b) / unit for a, b, unit in zip(five.as_tuple(), reference.as_tuple(), units, strict=True))


def scales(reference: Five, noticeable: Noticeable) -> tuple[Real, Real, Real, Real, Real]:
    """One just-noticeable difference of each behaviour, in its own unit."""
    relative = noticeable.relative
    return (
        noticeable.sag,
        noticeable.breakaway,
        relative * reference.mid_stroke_support,
        relative * reference.ramp_up,
        relative * reference.capacity,
    )


def behaviour_mismatch(five: Five, reference: Five, noticeable: Noticeable) -> Real:
    """Root of the summed squares of the differences; what the reference does not know is left out."""
    squares = (known_behaviours(difference) ** 2 for difference in behaviour_differences(five, reference, noticeable))
    total: Real = sum(squares)
    return np.sqrt(total)


def known_behaviours(number: Real) -> Real:
    """A number, or 0 where it is not known."""
    return np.where(np.isnan(number), 0.0, number)


def sag_band(slow: Stroke, friction: float, load: float) -> SagBand:
    """Sag under a load [N] with friction [N] holding the unit up, with none, and with friction holding it down."""
    lifted, middle, pressed = (
        float(np.asarray(slow.compression_under(force))) for force in (load - friction, load, load + friction)
    )
    return SagBand(lifted, middle, pressed)


def friction_view(sheet: Sheet, setup: Setup, load: float, workshop: Surroundings) -> FrictionView | None:
    """What friction makes of a setup under a load; None while its charge or coil is not known.

    Raises
    ------
    OutOfRange
        If the setup cannot exist.
    """
    made = sprung(sheet, setup, workshop)
    if made is None:
        return None
    slow = stroke_of(*made, n=SLOW)
    off_top = max(0.0, float(np.asarray(slow.force(sheet.top_out.length.si))))
    start = sheet.friction.breakaway.si
    return FrictionView(sag_band(slow, sheet.friction.sliding.si, load), off_top + start, off_top + WHEEL * start)
