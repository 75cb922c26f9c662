"""How high the pressure of a charged unit rises when it is pressed in, and how far that may be done."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

from sagwright.domain.item import Press
from sagwright.domain.sheet import Sheet, SpacerStack

AMBIENT_ABS: Final = 101_325.0
EXPONENT: Final = 1.2
"""Between a slow and a quick press: common practice has it slow, and the peak is to lie on the safe side."""

MOST_OF_GAUGE: Final = 0.8
LEAST_SHARE: Final = 0.2
STEP: Final = 0.05


def peak_gauge(sheet: Sheet, start_gauge: float, share: float) -> float:
    """The highest pressure a press can raise [Pa, gauge].

    Parameters
    ----------
    sheet : Sheet
    start_gauge : float
        Topped out [Pa].
    share : float
        Of the longest travel, 0 to 1.

    Notes
    -----
    Valid for: one positive chamber, taken as small as the sheet permits it (the most volume spacers in), so that the
    peak is never predicted too low; p·Vⁿ with n = 1.2.
    """
    spring, travel = sheet.air, max(chassis.longest.si for chassis in sheet.chassis)
    area = math.pi / 4.0 * spring.bore.si**2
    taken = spring.most_volume_spacers * spring.volume_spacer.si + spring.positive_oil.si
    length = spring.positive_length.si + (travel if isinstance(sheet.mechanism, SpacerStack) else 0.0)
    start = area * length - taken
    left = start - area * travel * share
    return math.inf if left <= 0.0 else (start_gauge + AMBIENT_ABS) * (start / left) ** EXPONENT - AMBIENT_ABS


def within_gauge(sheet: Sheet, start_gauge: float, press: Press) -> tuple[Press, float] | None:
    """A press as far as its gauge bears it, and its peak [Pa, gauge]; None where even a little is too much."""
    share = press.share
    while share >= LEAST_SHARE:
        peak = peak_gauge(sheet, start_gauge, share)
        if peak < MOST_OF_GAUGE * press.gauge_range.si:
            return replace(press, share=share), peak
        share = round(share - STEP, 6)
    return None
