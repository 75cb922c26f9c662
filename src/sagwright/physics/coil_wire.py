"""Spring wire: moduli and strengths by material and diameter, each with its source."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from sagwright.errors import OutOfRange
from sagwright.physics.numeric import positive, require_within
from sagwright.units import definitions

_INCH: Final = float(definitions.INCH)  # m
KPSI: Final = 1e3 * float(definitions.PSI)  # Pa
MPSI: Final = 1e6 * float(definitions.PSI)  # Pa


class Wire(StrEnum):
    """What a spring is wound from."""

    MUSIC = "music wire"
    HARD_DRAWN = "hard-drawn wire"
    OIL_TEMPERED = "oil-tempered wire"
    CHROME_VANADIUM = "chrome-vanadium wire"
    CHROME_SILICON = "chrome-silicon wire"
    STAINLESS = "stainless wire 302, 304, 316"
    STAINLESS_17_7 = "stainless wire 17-7 PH"
    EN_10270_1 = "patented cold-drawn wire to EN 10270-1"
    EN_10270_2 = "oil-hardened wire to EN 10270-2"
    TITANIUM = "titanium grade 5"


@dataclass(frozen=True, slots=True)
class Moduli:
    """Shear and elastic modulus [Pa]."""

    shear: float
    elastic: float


# Upper end of the diameter band [in], G and E [Mpsi]. [machinerys-handbook], also [budynas-nisbett] table 10-5. The
# bands' printed ends leave a thousandth between them (0.032, 0.033); here a band runs to its upper end.
_BANDS: Final = {
    Wire.MUSIC: ((0.032, 12.0, 29.5), (0.063, 11.85, 29.0), (0.125, 11.75, 28.5), (0.250, 11.6, 28.0)),
    Wire.HARD_DRAWN: ((0.032, 11.7, 28.8), (0.063, 11.6, 28.7), (0.125, 11.5, 28.6), (0.250, 11.4, 28.5)),
}
_PLAIN: Final = {
    # [machinerys-handbook], the same table.
    Wire.OIL_TEMPERED: Moduli(11.2 * MPSI, 28.5 * MPSI),
    Wire.CHROME_VANADIUM: Moduli(11.2 * MPSI, 28.5 * MPSI),
    Wire.CHROME_SILICON: Moduli(11.2 * MPSI, 29.5 * MPSI),
    Wire.STAINLESS: Moduli(10.0 * MPSI, 28.0 * MPSI),
    Wire.STAINLESS_17_7: Moduli(10.5 * MPSI, 29.5 * MPSI),
    # [en-13906-1], the second G from memory.
    Wire.EN_10270_1: Moduli(81.5e9, 206e9),
    Wire.EN_10270_2: Moduli(79.5e9, 206e9),
    # G from a table of moduli, 6.1 Mpsi; E for titanium alloys in general, from memory.
    Wire.TITANIUM: Moduli(6.1 * MPSI, 114e9),
}

# Sut = A/d^m: m, A [kpsi·in^m], least and most diameter [in]. [budynas-nisbett] table 10-4, from memory, not seen
# in print.
_STRENGTHS: Final = {
    Wire.MUSIC: (0.145, 201.0, 0.004, 0.256),
    Wire.OIL_TEMPERED: (0.187, 147.0, 0.020, 0.500),
    Wire.HARD_DRAWN: (0.190, 140.0, 0.028, 0.500),
    Wire.CHROME_VANADIUM: (0.168, 169.0, 0.032, 0.437),
    Wire.CHROME_SILICON: (0.108, 202.0, 0.063, 0.375),
}
# Shear at which it yields over tensile strength, before set is removed: [budynas-nisbett] table 10-6, from memory.
_YIELD_SHARE: Final = {
    Wire.MUSIC: 0.45,
    Wire.HARD_DRAWN: 0.45,
    Wire.OIL_TEMPERED: 0.50,
    Wire.CHROME_VANADIUM: 0.50,
    Wire.CHROME_SILICON: 0.50,
}


def moduli(wire: Wire, diameter: float) -> Moduli:
    """G and E of a wire of a diameter > 0 [m].

    Raises
    ------
    OutOfRange
        If the diameter is not above 0, or thicker than the table goes.
    """
    positive(diameter=diameter)
    if wire not in _BANDS:
        return _PLAIN[wire]
    for upto, shear, elastic in _BANDS[wire]:
        if diameter <= upto * _INCH * (1 + 1e-9):
            return Moduli(shear * MPSI, elastic * MPSI)
    figures = {"most": (_BANDS[wire][-1][0] * _INCH, "length"), "wire": (diameter, "length")}
    raise OutOfRange(f"must be at most {{most}} for {wire}", field="wire", value="{wire}", figures=figures)


def yield_shear(wire: Wire, diameter: float) -> float:
    """Shear stress at which the wire takes a set [Pa], estimated from its tensile strength; a guide, no
    promise.

    Raises
    ------
    OutOfRange
        For a material without figures here, or a diameter outside its range.
    """
    if wire not in _STRENGTHS:
        raise OutOfRange(f"must be one of {', '.join(_STRENGTHS)}", field="material", value=wire)
    exponent, strength, thinnest, thickest = _STRENGTHS[wire]
    require_within(thinnest * _INCH, thickest * _INCH, wire=diameter)
    inches = diameter / _INCH
    return _YIELD_SHARE[wire] * strength * KPSI / float(inches**exponent)
