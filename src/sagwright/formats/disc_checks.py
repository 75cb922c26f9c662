"""What must hold between the values of a bumper of disc springs."""

from __future__ import annotations

import math
from typing import Final

from sagwright.domain.sheet import DiscStack, Sheet, Stop
from sagwright.domain.value import Quantity, Value
from sagwright.errors import OutOfRange
from sagwright.formats.faults import Found
from sagwright.formats.nodes import Path
from sagwright.units import Choice, show_in

STIFF: Final = math.sqrt(2.0)
"""Cone over thickness up to which a disc's force never falls before it is flat; standard, from memory."""


def disc_stops(sheet: Sheet) -> Found:
    """Disc springs are discs, stay stiff all the way, and are not flat before the travel ends."""
    for end, stop in (("top_out", sheet.top_out), ("bottom_out", sheet.bottom_out)):
        if stop.discs is not None:
            yield from _stack(("stops", end), stop, stop.discs)


def _stack(path: Path, stop: Stop, discs: DiscStack) -> Found:
    stroke = discs.series * discs.cone.si
    if discs.inside.si >= discs.outside.si:
        yield (*path, "discs", "inside"), _size("must be less than the outside", discs.inside, "Check both diameters.")
    if discs.cone.si > STIFF * discs.thickness.si:
        rule = "must be at most 1.41 times the thickness: beyond it the force falls before the disc is flat"
        yield (*path, "discs", "cone"), _size(rule, discs.cone, "Measure one disc's free height less its thickness.")
    if stroke < stop.length.si - 1e-6:
        rule = f"must be at most the {show_in(Choice(), stroke, Quantity.LENGTH)} in which the discs are flat"
        remedy = "They would be flat before the travel ends: check their number in series and their cone."
        yield (*path, "length"), _size(rule, stop.length, remedy)


def _size(rule: str, value: Value, remedy: str) -> OutOfRange:
    return OutOfRange(rule, value=value.as_written, remedy=remedy)
