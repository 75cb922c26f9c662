"""Shop units at the rim: text to SI and back. Inside, every number is SI."""

from __future__ import annotations

from sagwright.units.choice import UnitChoice, amount_in, choose_units, show_in
from sagwright.units.reading import parse, parse_difference, split
from sagwright.units.showing import show_difference, show_value
from sagwright.units.spelling import nearest
from sagwright.units.table import units_of
from sagwright.units.wording import worded

__all__ = [
    "UnitChoice",
    "amount_in",
    "choose_units",
    "nearest",
    "parse",
    "parse_difference",
    "show_difference",
    "show_in",
    "show_value",
    "split",
    "units_of",
    "worded",
]
