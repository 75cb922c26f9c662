"""The units that others are made of, exactly: the one place where an inch, a pound and a psi are defined.

The definitions are those of [nist-sp-811], appendix B. They are numbers without text, so that a layer which computes in
SI may name a figure as its source prints it: `1.5 * float(PSI)`.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

INCH: Final = Fraction("0.0254")  # m
POUND: Final = Fraction("0.45359237")  # kg
_GRAVITY: Final = Fraction("9.80665")  # m/s²
POUND_FORCE: Final = POUND * _GRAVITY  # N
KILOGRAM_FORCE: Final = _GRAVITY  # N
PSI: Final = POUND_FORCE / INCH**2  # Pa
FLUID_OUNCE: Final = 231 * INCH**3 / 128  # m³, US
