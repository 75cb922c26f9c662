"""What this browser remembers in cookies: units and decimal mark, and who is at it.

Neither goes into a record by itself. The name is written beside every entry; it is a name and no sign-in.
"""

from __future__ import annotations

from typing import Final
from unicodedata import category
from urllib.parse import quote, unquote

from sagwright.units import UnitChoice, choose_units

COOKIE: Final = "shown_in"
YEARS: Final = 2 * 365 * 86_400  # s, how long a browser keeps it

OFFERED: Final[dict[str, tuple[str, ...]]] = {
    "pressure": ("psi", "bar", "kPa"),
    "length": ("mm", "in"),
    "torque": ("N·m", "lbf·in", "lbf·ft"),
    "mass": ("kg", "lb"),
    "force": ("N", "lbf", "kgf"),
    "volume": ("ml", "fl oz", "in³"),
    "temperature": ("°C", "°F"),
}
"""What a browser may choose, by quantity, the usual one first."""

MARKS: Final = (".", ",")

BY: Final = "by"
"""The cookie that remembers it, and the field that asks for it."""
_LONGEST: Final = 80  # characters
CONTROL: Final = frozenset({"Cc", "Cs", "Zl", "Zp"})


def choice_of(cookie: str) -> UnitChoice:
    """The choice a cookie holds; the usual one where it holds nothing that can be used."""
    units, _, mark = unquote(cookie)[:200].partition(";")
    known = [name for name in units.split(",") if any(name in names for names in OFFERED.values())]
    return choose_units(",".join(_one_each(known)), base=UnitChoice(decimal=mark if mark in MARKS else "."))


def _one_each(names: list[str]) -> list[str]:
    """The last unit named of each quantity."""
    return list({quantity: name for name in names for quantity, units in OFFERED.items() if name in units}.values())


def cookie_of(choice: UnitChoice) -> str:
    """A choice as a cookie holds it."""
    return quote(",".join(choice.unit(quantity) for quantity in OFFERED) + ";" + choice.decimal)


def brief(choice: UnitChoice) -> str:
    """The choice in a few characters, for the title block."""
    mark = "1.5" if choice.decimal == "." else "1,5"
    return " · ".join((choice.pressure, choice.length, choice.torque, mark))


def one_line(name: str) -> str:
    """A name on one line, without control characters; empty if nothing is left."""
    return " ".join("".join(" " if category(char) in CONTROL else char for char in name).split())[:_LONGEST].strip()


def name_of(cookie: str) -> str:
    """The name a cookie holds; empty where it holds none."""
    return one_line(unquote(cookie[: _LONGEST * 12], errors="ignore"))


def cookie_of_name(name: str) -> str:
    """A name as a cookie holds it."""
    return quote(name, safe="")
