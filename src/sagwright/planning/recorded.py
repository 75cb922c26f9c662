"""The readings that a plan adds to those of the sheet, with the limits that the work gives them."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from sagwright.domain.build import Change
from sagwright.domain.item import ChargeStage, Record
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Step
from sagwright.domain.value import Quantity, Unknown

QUANTITY_OF: Final = {"shaft_travel": Quantity.LENGTH, "coil": None}
"""What is counted, measured or, with None, named inside; a count where nothing is said."""

PRESSURE_READS: Final = 10_000.0
"""How far the last reading may lie from the plan [Pa]: a digital pump's 1 to 2 psi; common practice, no source."""

EXPOSED_READS: Final = 0.002
"""How far the change of exposed stanchion may lie from the plan [m]: two readings of 1 mm; common practice."""

AT_THE_BENCH: Final = (
    " The pressure is decided here: by what the rider asked for or the maker's table says, and where neither says "
    "anything by what was read as found, as long as it lies within the limits. Write it down."
)


def found_inside(change: Change) -> Record:
    """What was found inside; it must be what was expected, where anything was."""
    quantity = QUANTITY_OF.get(change.field, Quantity.COUNT)
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
    return replace(record, low=travel_change - EXPOSED_READS, high=travel_change + EXPOSED_READS)


def with_pressure(step: Step, sheet: Sheet) -> Step:
    """A charging step with what it must write down: how the unit leaves, and what nobody has planned."""
    pressure, span = step.pressure_gauge, sheet.air.pressure_gauge
    final = step.stage is ChargeStage.FINAL
    if pressure is None:
        key = "pressure_left" if final else "pressure_set"
        chosen = Record(key, "pressure at the valve, topped out", Quantity.PRESSURE, span.low, span.high)
        return replace(step, do=step.do + AT_THE_BENCH, records=(*step.records, chosen), gate=True)
    if not final:
        return step
    limits = pressure - PRESSURE_READS, pressure + PRESSURE_READS
    left = Record("pressure_left", "pressure at the valve, topped out", Quantity.PRESSURE, *limits)
    return replace(step, records=(*step.records, left), gate=True)
