"""The five behaviours of a spring under a load, and the distance between two sets of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from sagwright.domain.behaviour import Behaviour, Noticeable
from sagwright.domain.sheet import Sheet
from sagwright.physics.numeric import Real
from sagwright.physics.spring import State
from sagwright.planning.model import Model, stroke_of

SLOW: Final = 1.0
"""Exponent at which sag and breakaway are computed."""

STROKE: Final = 1.2
"""Exponent at which mid support, end rise and capacity are computed: assumed, between slow 1 and fast 1.4."""

END: Final = 0.95
"""Share of travel at which end rise is taken."""


@dataclass(frozen=True, slots=True)
class Five:
    """The behaviours as numbers or arrays, defined in `sagwright.domain.behaviour.Behaviour`; NaN where not known."""

    sag_fraction: Real
    breakaway: Real
    mid_support: Real
    end_rise: Real
    capacity: Real

    def as_tuple(self) -> tuple[Real, Real, Real, Real, Real]:
        """In the order of the fields."""
        return self.sag_fraction, self.breakaway, self.mid_support, self.end_rise, self.capacity


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
        mid_support=readings.middle / load,
        end_rise=readings.end / readings.middle,
        capacity=readings.capacity,
    )


def readings_of(model: Model, state: State, load: Real, *, exponent: float) -> Readings:
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


def behaviour_of(model: Model, state: State, load: float, *, exponent: float) -> Behaviour:
    """The behaviour of one charged build; errors as `readings_of`."""
    readings = readings_of(model, state, load, exponent=exponent)
    five = five_from(model.sheet, readings, travel=model.spring.travel, load=load)
    return Behaviour(float(readings.sag), *(float(number) for number in five.as_tuple()))


def five_of(behaviour: Behaviour) -> Five:
    """A behaviour as the numbers that distances are taken between."""
    return Five(
        behaviour.sag_fraction,
        behaviour.breakaway,
        behaviour.mid_support,
        behaviour.end_rise,
        behaviour.capacity,
    )


def differences(five: Five, reference: Five, noticeable: Noticeable) -> tuple[Real, ...]:
    """Each behaviour's difference from the reference, in just-noticeable differences; NaN where not known."""
    units = scales(reference, noticeable)
    return tuple((a - b) / unit for a, b, unit in zip(five.as_tuple(), reference.as_tuple(), units, strict=True))


def scales(reference: Five, noticeable: Noticeable) -> tuple[Real, Real, Real, Real, Real]:
    """One just-noticeable difference of each behaviour, in its own unit."""
    relative = noticeable.relative
    return (
        noticeable.sag,
        noticeable.breakaway,
        relative * reference.mid_support,
        relative * reference.end_rise,
        relative * reference.capacity,
    )


def distance(five: Five, reference: Five, noticeable: Noticeable) -> Real:
    """Root of the summed squares of the differences; what the reference does not know is left out."""
    squares = (known(difference) ** 2 for difference in differences(five, reference, noticeable))
    total: Real = sum(squares)
    return np.sqrt(total)


def known(number: Real) -> Real:
    """A number, or 0 where it is not known."""
    return np.where(np.isnan(number), 0.0, number)
