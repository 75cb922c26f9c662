"""What each instrument is good for: one row for an instrument in a situation, and nowhere else a second number for it.

A range that the trade names as "±" is the half-width of a rectangular distribution, u = a/√3 ([jcgm-100] 4.3.7). What
is the same in two readings, like the bias of one pump, is no part of their difference.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from sagwright.domain.value import Quantity
from sagwright.units.definitions import PSI

COVERAGE: Final = 2.0
"""Standard uncertainties within which two numbers agree, about 95 %: [jcgm-100] 6.2 with k = 2."""

PRACTICE: Final = "common practice, no source"
ASSUMED: Final = "assumed, no source"


@dataclass(frozen=True, slots=True)
class Accuracy:
    """What an instrument is good for in one situation.

    Attributes
    ----------
    instrument : str
        What it is read with, or what it comes from where nothing is read.
    situation : str
        What is read with it, and how.
    quantity : Quantity
        A fraction is a share of what is read, a count is in turns.
    u : float
        Standard uncertainty of one reading, SI.
    origin : str
    """

    instrument: str
    situation: str
    quantity: Quantity
    u: float
    origin: str = PRACTICE

    @property
    def half_width(self) -> float:
        """The furthest that one reading can be off, SI."""
        return half_width(self.u)

    @property
    def difference_u(self) -> float:
        """Standard uncertainty of the difference of two readings, SI."""
        return self.u * math.sqrt(2.0)


def within(tolerance: float) -> float:
    """Standard uncertainty of what lies anywhere within ± a tolerance."""
    return tolerance / math.sqrt(3.0)


def half_width(u: float) -> float:
    """The tolerance that `within` makes a standard uncertainty of."""
    return u * math.sqrt(3.0)


# Digital pump: 1 to 2 psi, repeats to 1 psi. Dial pump: 3 to 5 psi.
PUMP_BIAS: Final = Accuracy(
    "digital pump", "mismatch the same in every reading of one pump", Quantity.PRESSURE, within(1.5 * float(PSI))
)
PUMP_SCATTER: Final = Accuracy("digital pump", "repeats, new in every reading", Quantity.PRESSURE, within(float(PSI)))
PUMP_DEEP: Final = Accuracy(
    "digital pump", "read while the unit is pressed far in", Quantity.PRESSURE, 2.0 * float(PSI)
)
DIAL_BIAS: Final = Accuracy(
    "dial pump", "mismatch the same in every reading of one pump", Quantity.PRESSURE, within(4.0 * float(PSI))
)

# Rule: 1 mm. Ring with a rider on: 3 mm; all told 4 to 5 mm, which is what a sag says of a pressure.
RULE: Final = Accuracy("steel rule", "a length read once", Quantity.LENGTH, within(0.001))
RING: Final = Accuracy(
    "travel ring", "rider on, the reading alone; load and friction are counted apart", Quantity.LENGTH, within(0.003)
)
RING_READING: Final = Accuracy(
    "travel ring", "rider on, with posture, load and friction in it", Quantity.LENGTH, within(0.0045)
)

# Bathroom scale: 0.5 to 1 kg. Luggage scale: 3 N.
BATHROOM_SCALE: Final = Accuracy("bathroom scale", "under a wheel, rider on", Quantity.MASS, 0.4)
LUGGAGE_SCALE: Final = Accuracy("luggage scale", "force that starts a unit moving", Quantity.FORCE, within(3.0))

# Syringe: 0.5 ml. Bottle of 50 to 100 ml: 3 to 5 ml. Thermometer: 1 °C.
SYRINGE: Final = Accuracy("syringe", "volume of a pump's hose", Quantity.VOLUME, within(0.5e-6))
BOTTLE: Final = Accuracy("bottle of known volume", "volume of a chamber let into it", Quantity.VOLUME, within(4e-6))
THERMOMETER: Final = Accuracy("thermometer", "gas or room", Quantity.TEMPERATURE, within(1.0))
ADJUSTER: Final = Accuracy("preload adjuster", "turns counted from fully out", Quantity.COUNT, within(0.25))

# A chart prints lengths to 1 mm and angles to 0.1°. A marked tyre rolls out 1 to 3 % less than its numbers say.
CHART: Final = Accuracy("maker's geometry chart", "two ways to one length", Quantity.LENGTH, within(0.003), ASSUMED)
MARKING: Final = Accuracy(
    "tyre marking", "radius of a wheel", Quantity.FRACTION, within(0.03), "from memory, not seen in print"
)

DRAWN_GAP: Final = Accuracy(
    "dimensions", "gap round a tyre, beside the tyre's own uncertainty", Quantity.LENGTH, 0.0015, ASSUMED
)
VOLUME: Final = Accuracy("dimensions", "a volume, at worst", Quantity.FRACTION, 0.2, ASSUMED)
FRICTION: Final = Accuracy(
    "dimensions", "breakaway by friction, from one unit to the next", Quantity.FRACTION, 0.25, ASSUMED
)
RIDER_CENTRE: Final = Accuracy("posture", "where a rider's mass is, fore and aft", Quantity.LENGTH, 0.03, ASSUMED)
