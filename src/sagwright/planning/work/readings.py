"""Readings that the work adds to those of the sheet, each with its limits; how far a charged unit may be pressed in."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

from sagwright.domain import measuring
from sagwright.domain.item import ChargeStage, Press, Record
from sagwright.domain.settings import BY_KEY
from sagwright.domain.setup import Change
from sagwright.domain.sheet import Sheet, SpacerStack
from sagwright.domain.step import Step
from sagwright.domain.value import Quantity, Unknown

AT_THE_BENCH: Final = (
    " The pressure is decided here: by what the rider asked for or the maker's table says, and where neither says "
    "anything by what was read as found, as long as it lies within the limits. Write it down."
)

_AMBIENT_ABS: Final = 101_325.0
EXPONENT: Final = 1.2
"""Between a slow and a quick press: common practice has it slow, and the peak is to lie on the safe side."""

_MOST_OF_GAUGE: Final = 0.8
LEAST_SHARE: Final = 0.2
_STEP: Final = 0.05


def found_inside(change: Change) -> Record:
    """What was found inside; it must be what was expected, where anything was."""
    quantity = BY_KEY[change.field].quantity
    before = change.before
    expected = None if isinstance(before, Unknown) or not isinstance(before, int | float) else before
    what = f"{change.field.replace('top_out', 'top-out').replace('_', ' ')} found inside"
    if isinstance(before, str):
        what += f", by what came in: {before}"
    return Record(f"found_{change.field}", what, quantity, expected, expected)


def exposed(record: Record, travel_change: float | None) -> Record:
    """A proof reading with the limits that a change of travel [m] gives it."""
    if record.key != "exposed_change" or travel_change is None:
        return record
    off = 2.0 * measuring.RULE.half_width  # of two readings
    return replace(record, low=travel_change - off, high=travel_change + off)


def with_pressure(step: Step, sheet: Sheet) -> Step:
    """A charging step with what it must write down: how the unit leaves, and what nobody has planned."""
    pressure, span = step.pressure_gauge, sheet.air.pressure_gauge
    final = step.stage is ChargeStage.FINAL
    if pressure is None:
        key = "pressure_left" if final else "pressure_set"
        chosen = Record(key, "pressure at the valve, topped out", Quantity.PRESSURE, span.low, span.high)
        return replace(step, do=step.do + AT_THE_BENCH, records=(*step.records, chosen), hold_point=True)
    if not final:
        return step
    off = measuring.COVERAGE * measuring.PUMP_SCATTER.u  # the pump that set it reads it, so its bias is in both
    limits = pressure - off, pressure + off
    left = Record("pressure_left", "pressure at the valve, topped out", Quantity.PRESSURE, *limits)
    return replace(step, records=(*step.records, left), hold_point=True)


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
    return math.inf if left <= 0.0 else (start_gauge + _AMBIENT_ABS) * (start / left) ** EXPONENT - _AMBIENT_ABS


def within_gauge(sheet: Sheet, start_gauge: float, press: Press) -> tuple[Press, float] | None:
    """A press as far as its gauge bears it, and its peak [Pa, gauge]; None where even a little is too much."""
    share = press.share
    while share >= LEAST_SHARE:
        peak = peak_gauge(sheet, start_gauge, share)
        if peak < _MOST_OF_GAUGE * press.gauge_range.si:
            return replace(press, share=share), peak
        share = round(share - _STEP, 6)
    return None
