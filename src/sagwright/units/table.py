"""Every unit that is read and shown, as exact fractions of `definitions`, so that a number is rounded once and not at
every step."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from sagwright.errors import OutOfRange
from sagwright.units.definitions import FLUID_OUNCE, INCH, KILOGRAM_FORCE, POUND, POUND_FORCE, PSI
from sagwright.units.spelling import nearest


@dataclass(frozen=True, slots=True)
class QuantityUnits:
    """One quantity as a sentence needs it: "a length", "31.8 mm"."""

    noun: str
    example: str


@dataclass(frozen=True, slots=True)
class MeasureUnit:
    """A unit: SI = (number + offset) · scale.

    Attributes
    ----------
    name : str
        As it is shown.
    quantity : str
    scale : Fraction or float
        SI per unit; a float only where the definition is irrational.
    digits : int
        Most decimals the trade reads in it.
    also : tuple of str
        Other spellings that are read.
    offset : Fraction
        Added before scaling, in the unit.
    gap : str
        What stands between number and unit.
    """

    name: str
    quantity: str
    scale: Fraction | float
    digits: int
    also: tuple[str, ...] = ()
    offset: Fraction = Fraction(0)
    gap: str = " "


QUANTITY_UNITS: Final[dict[str, QuantityUnits]] = {
    "length": QuantityUnits("a length", "31.8 mm"),
    "volume": QuantityUnits("a volume", "8 ml"),
    "pressure": QuantityUnits("a pressure", "78 psi"),
    "mass": QuantityUnits("a mass", "80 kg"),
    "force": QuantityUnits("a force", "320 N"),
    "rate": QuantityUnits("a spring rate", "60 N/mm"),
    "torque": QuantityUnits("a torque", "24 N·m"),
    "temperature": QuantityUnits("a temperature", "20 °C"),
    "time": QuantityUnits("a time", "3 min"),
    "angle": QuantityUnits("an angle", "65°"),
    "fraction": QuantityUnits("a share", "40 %"),
    "energy": QuantityUnits("an energy", "140 J"),
    "count": QuantityUnits("a whole number", "2"),
    "ratio": QuantityUnits("a plain number", "1.2"),
}


def _products(forces: tuple[str, ...], length: str) -> tuple[str, ...]:
    """How a torque is written: either factor first, and any sign of a product between them."""
    pairs = [pair for force in forces for pair in ((force, length), (length, force))]
    return tuple(f"{first}{sign}{second}" for first, second in pairs for sign in "·*-. ")


UNITS: Final[tuple[MeasureUnit, ...]] = (
    MeasureUnit("mm", "length", Fraction(1, 1000), 1, ("millimetre", "millimetres", "millimeter", "millimeters")),
    MeasureUnit("cm", "length", Fraction(1, 100), 2),
    MeasureUnit("m", "length", Fraction(1), 4),
    MeasureUnit("in", "length", INCH, 2, ("inch", "inches", '"', "″", "”")),
    MeasureUnit("ml", "volume", Fraction(1, 10**6), 1, ("mL", "millilitre", "millilitres", "milliliters")),
    MeasureUnit("cm³", "volume", Fraction(1, 10**6), 1, ("cm3", "cm^3", "cc", "ccm")),
    MeasureUnit("l", "volume", Fraction(1, 1000), 3, ("L", "litre", "litres", "liter", "liters")),
    MeasureUnit("in³", "volume", INCH**3, 2, ("in3", "in^3", "cu in")),
    MeasureUnit("fl oz", "volume", FLUID_OUNCE, 2, ("floz", "fl.oz", "fl. oz.", "fluid ounces")),
    MeasureUnit("psi", "pressure", PSI, 0, ("lbf/in²", "lbf/in2")),
    MeasureUnit("bar", "pressure", Fraction(10**5), 2),
    MeasureUnit("kPa", "pressure", Fraction(1000), 0),
    MeasureUnit("MPa", "pressure", Fraction(10**6), 3),
    MeasureUnit("hPa", "pressure", Fraction(100), 0),
    MeasureUnit("mbar", "pressure", Fraction(100), 0),
    MeasureUnit("Pa", "pressure", Fraction(1), 0),
    MeasureUnit("kg", "mass", Fraction(1), 1, ("kilo", "kilos")),
    MeasureUnit("g", "mass", Fraction(1, 1000), 0),
    MeasureUnit("lb", "mass", POUND, 1, ("lbs", "pound", "pounds")),
    MeasureUnit("N", "force", Fraction(1), 0),
    MeasureUnit("kgf", "force", KILOGRAM_FORCE, 1),
    MeasureUnit("lbf", "force", POUND_FORCE, 1),
    MeasureUnit("N/mm", "rate", Fraction(1000), 1),
    MeasureUnit("N/m", "rate", Fraction(1), 0),
    MeasureUnit("lbf/in", "rate", POUND_FORCE / INCH, 0, ("lb/in", "lbs/in")),
    MeasureUnit("N·m", "torque", Fraction(1), 1, ("Nm", "N m", "N*m", "N-m", "N.m")),
    MeasureUnit("lbf·in", "torque", POUND_FORCE * INCH, 0, _products(("lbf", "lb", "lbs"), "in")),
    MeasureUnit("lbf·ft", "torque", POUND_FORCE * INCH * 12, 1, _products(("lbf", "lb", "lbs"), "ft")),
    MeasureUnit("kgf·cm", "torque", KILOGRAM_FORCE / 100, 0, _products(("kgf",), "cm")),
    MeasureUnit("°C", "temperature", Fraction(1), 0, ("C", "degC", "deg C"), offset=Fraction("273.15")),
    MeasureUnit("°F", "temperature", Fraction(5, 9), 0, ("F", "degF", "deg F"), offset=Fraction("459.67")),
    MeasureUnit("K", "temperature", Fraction(1), 0, ("kelvin",)),
    MeasureUnit("s", "time", Fraction(1), 0, ("sec", "second", "seconds")),
    MeasureUnit("min", "time", Fraction(60), 1, ("minute", "minutes")),
    MeasureUnit("h", "time", Fraction(3600), 1, ("hour", "hours")),
    MeasureUnit("days", "time", Fraction(86400), 1, ("d", "day")),
    MeasureUnit("weeks", "time", Fraction(604800), 1, ("week",)),
    MeasureUnit("°", "angle", math.pi / 180.0, 1, ("deg", "degree", "degrees"), gap=""),
    MeasureUnit("rad", "angle", Fraction(1), 4),
    MeasureUnit("%", "fraction", Fraction(1, 100), 1, ("percent", "per cent")),
    MeasureUnit("", "fraction", Fraction(1), 3, gap=""),
    MeasureUnit("J", "energy", Fraction(1), 0),
    MeasureUnit("", "count", Fraction(1), 0, gap=""),
    MeasureUnit("", "ratio", Fraction(1), 2, gap=""),
)

_LOOKALIKES: Final = str.maketrans({"⋅": "·", "º": "°", "˚": "°"})  # what keyboards offer instead

BARE: Final = {unit.quantity: unit for unit in UNITS if not unit.name}


def _folded(spelling: str) -> str:
    """A spelling with its case dropped, where that cannot turn one unit into another (mPa is not MPa)."""
    return spelling.casefold() if len(spelling) > 1 and not spelling.endswith("Pa") else spelling


def _spelled(unit: MeasureUnit) -> tuple[str, ...]:
    return (unit.name, *unit.also)


_EXACT: Final = {spelling: unit for unit in UNITS if unit.name for spelling in _spelled(unit)}
_FOLDED: Final = {_folded(spelling): unit for spelling, unit in _EXACT.items()}


def find_unit(spelling: str) -> MeasureUnit | None:
    """The unit of that spelling, whatever its quantity; None if there is none."""
    plain = " ".join(spelling.translate(_LOOKALIKES).split())
    return _EXACT.get(plain) or _FOLDED.get(_folded(plain))


def intended_unit(spelling: str, quantity: str = "") -> str:
    """The name of the unit that is spelled most like it, of one quantity or of any; empty if none is."""
    offered = [known for known, unit in _EXACT.items() if quantity in ("", unit.quantity)]
    near = nearest(spelling, offered)
    return _EXACT[near].name if near else ""


def unit_named(name: str) -> MeasureUnit:
    """The unit to show a number in; the empty name is that of a plain number.

    Raises
    ------
    OutOfRange
        If there is none of that name.
    """
    unit = find_unit(name) if name else BARE["ratio"]
    if unit is None:
        raise OutOfRange("must be a unit we know", value=name, remedy="Choose one of: " + ", ".join(all_names()) + ".")
    return unit


def all_names() -> tuple[str, ...]:
    """The name of every unit, in the order of the table."""
    return tuple(unit.name for unit in UNITS if unit.name)


def units_of(quantity: str) -> tuple[str, ...]:
    """The names of the units of one quantity, the usual one first; empty text for a plain number."""
    return tuple(unit.name for unit in UNITS if unit.quantity == quantity)
