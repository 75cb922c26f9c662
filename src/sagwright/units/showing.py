"""SI → text as the trade reads it."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

from sagwright.errors import OutOfRange
from sagwright.units.table import MeasureUnit, unit_named


def show_value(si: float, unit: str, *, digits: int | None = None, decimal: str = ".") -> str:
    """A number with its unit: `show(537e3, "psi")` → "78 psi".

    Parameters
    ----------
    si : float
        In the SI unit of the unit's quantity; finite.
    unit : str
        A name or spelling of the table; empty for a plain number.
    digits : int, optional
        Decimals, kept even where they are zero. Left out: as many as the trade reads in that unit, without
        zeros at the end.
    decimal : {".", ","}

    Raises
    ------
    OutOfRange
        If the number is not finite, or the unit is not known.
    """
    return show_as(unit_named(unit), si, digits=digits, decimal=decimal)


def show_difference(si: float, unit: str, *, digits: int | None = None, decimal: str = ".") -> str:
    """A difference or an uncertainty [SI] with its unit: 2 K are "2 °C", not −271 °C. Errors as `show`."""
    return show_as(replace(unit_named(unit), offset=Fraction(0)), si, digits=digits, decimal=decimal)


def show_as(unit: MeasureUnit, si: float, *, digits: int | None = None, decimal: str = ".") -> str:
    """As `show_value`, with the unit at hand."""
    number = f"{in_unit(si, unit):.{unit.digits if digits is None else digits}f}"
    if digits is None and "." in number:
        number = number.rstrip("0").rstrip(".")
    if float(number) == 0.0:
        number = number.lstrip("-")
    return number.replace("-", "−").replace(".", decimal) + (unit.gap + unit.name if unit.name else "")


def in_unit(si: float, unit: MeasureUnit) -> float:
    """The number in that unit, rounded once; never −0.

    Raises
    ------
    OutOfRange
        If the number is not finite, or too large to be so in that unit.
    """
    try:
        number = float(Fraction(si) / unit.scale - unit.offset)
    except (ValueError, OverflowError):  # the fraction of a NaN, of an infinity, or too large for a float
        number = math.nan
    if not math.isfinite(number):
        raise OutOfRange("must be a finite number to be shown", value=str(si), remedy="Check what it came from.")
    return number
