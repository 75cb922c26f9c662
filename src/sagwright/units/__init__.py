"""Shop units at the rim: text to SI and back. Inside, every number is SI."""

from __future__ import annotations

from sagwright.units.choice import Choice, amount_in, choose, show_in
from sagwright.units.reading import parse, parse_difference, split
from sagwright.units.showing import show, show_difference
from sagwright.units.spelling import nearest
from sagwright.units.table import units_of
from sagwright.units.wording import worded

__all__ = [
    "Choice",
    "amount_in",
    "choose",
    "nearest",
    "parse",
    "parse_difference",
    "show",
    "show_difference",
    "show_in",
    "split",
    "units_of",
    "worded",
]
