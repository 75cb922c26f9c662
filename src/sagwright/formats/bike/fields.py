"""Kinds of fields that only bikes have, each with what was probably meant; tyre markings ("57-622", "29 x 2.25")."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Any, Final

from sagwright.domain.value import Quantity, Value
from sagwright.errors import InputError, OutOfRange, WrongUnit
from sagwright.formats.fields.kinds import Field, QuantityField, check_limits
from sagwright.formats.fields.values import read_value
from sagwright.units import parse, show_value, split

SEATS: Final = (203, 288, 305, 349, 355, 369, 406, 507, 559, 571, 584, 590, 622, 630)
"""Bead seat diameters in use [mm]: ISO 5775-1/-2; 288, 355, 369, 584 and 630 from memory, not seen in print."""

_NAMES: Final = {"29": 622, "28": 622, "27.5": 584, "26": 559, "24": 507, "20": 406}
"""Wheels by the name the trade gives them in inches, and their bead seat [mm]: ISO 5775; 584 from memory."""

WIDTHS: Final = (18.0, 130.0)  # of a tyre [mm]
RIMS: Final = (12.0, 110.0)  # inside a rim [mm]

_ISO: Final = re.compile(r"(\d{1,3}(?:\.\d)?)\s*[-–x×]\s*(\d{3})")
_INCHES: Final = re.compile(r"(\d{2}(?:\.5)?)\s*[x×]\s*(\d(?:\.\d{1,3})?)")


@dataclass(frozen=True, eq=False)
class Steep(Field):
    """A head or seat angle, measured from the horizontal behind; says what was probably meant."""

    low: float
    high: float
    example: str

    def read(self, text: str) -> Value:
        number, unit = split(text)
        if number and not unit:
            remedy = f"Write the unit: {self._meant(text, math.radians(parse(number, 'ratio')))}"
            raise WrongUnit("must be an angle, like 65°", value=text, remedy=remedy)
        value = read_value(text, Quantity.ANGLE)
        if not self.low <= math.degrees(value.si) <= self.high:
            raise OutOfRange(
                f"must be between {self.low:g}° and {self.high:g}°", value=text, remedy=self._meant(text, value.si)
            )
        return value

    def _meant(self, text: str, si: float) -> str:
        degrees = math.degrees(si)
        guesses = (
            (degrees, f"{degrees:.4g}° would do"),
            (math.degrees(degrees), f"{degrees:.4g} rad would be {show_value(degrees, '°')}"),
            (180.0 - degrees, f"{degrees:.4g}° from the front is {show_value(math.pi - si, '°')} from behind"),
        )
        for guess, sentence in guesses:
            if self.low <= guess <= self.high:
                return f"{sentence}; did you mean that?"
        return f"Measure it from the horizontal behind, like {self.example}."

    def schema(self) -> dict[str, Any]:
        return {"type": "string", "pattern": r"\d"}


@dataclass(frozen=True, eq=False)
class Radius(Field):
    """A wheel's radius; a name like 29 in is none."""

    def read(self, text: str) -> Value:
        value = read_value(text, Quantity.LENGTH)
        if value.si < 0.1 and _inches(text):
            raise OutOfRange(
                "must be a wheel's radius, like 372 mm",
                value=text,
                remedy=f"Did you mean {_inches(text)} in? Write the tyre as moulded into it instead, tyre: 57-622.",
            )
        if 0.4 < value.si < 0.85:
            raise OutOfRange(
                "must be a wheel's radius, like 372 mm",
                value=text,
                remedy=f"That is a diameter; did you mean {show_value(value.si / 2.0, 'mm')}?",
            )
        check_limits(value.si, QuantityField(Quantity.LENGTH, 0.15, 0.42), text)
        return value

    def schema(self) -> dict[str, Any]:
        return {"type": "string", "pattern": r"\d"}


def _inches(text: str) -> str:
    """The number of a wheel named in mm: 29 of "29 mm"."""
    number = text.split(maxsplit=1)[0].removesuffix("mm")
    return number if number in {"20", "24", "26", "27.5", "28", "29"} else ""


class AxlePoint(Field):
    """A point of an axle path: "75 mm up, 4 mm back"."""

    def read(self, text: str) -> tuple[float, float]:
        up, comma, back = (part.strip() for part in text.partition(","))
        if not comma or not up.endswith(" up") or not back.endswith(" back"):
            raise WrongUnit("must be a point of the path, like 75 mm up, 4 mm back", value=text)
        return parse(up.removesuffix(" up"), "length"), parse(back.removesuffix(" back"), "length")

    def schema(self) -> dict[str, Any]:
        return {"type": "string", "pattern": r"\d.* up, *-?\d.* back"}


@dataclass(frozen=True, slots=True)
class Marking:
    """Width and bead seat diameter [m], and the marking in ISO form."""

    width: float
    bead_seat: float
    text: str


def read_tyre(text: str) -> Marking:
    """A tyre's marking, in ISO 5775 form or in inches.

    Raises
    ------
    InputError
        If it is none; the remedy says what was probably meant.
    """
    if found := _INCHES.fullmatch(text.strip()):
        return _in_inches(found[1], found[2], text)
    return _marking(text, WIDTHS, "tyre", "57-622")


def read_rim(text: str) -> Marking:
    """A rim's marking in ISO 5775 form, "30-622"; errors as `read_tyre`."""
    return _marking(text, RIMS, "rim", "30-622")


def _in_inches(name: str, width: str, text: str) -> Marking:
    if name not in _NAMES:
        raise OutOfRange("must be a wheel we know", value=text, remedy=f"Known are {', '.join(_NAMES)} in.")
    millimetres = round(float(width) * 25.4)
    return _marking(f"{millimetres}-{_NAMES[name]}", WIDTHS, "tyre", "57-622")


def _marking(text: str, widths: tuple[float, float], what: str, example: str) -> Marking:
    found = _ISO.fullmatch(text.strip())
    if found is None:
        raise _no_marking(text, what, example)
    width, seat = float(found[1]), int(found[2])
    if seat not in SEATS:
        nearest = min(SEATS, key=lambda each: abs(each - seat))
        raise OutOfRange(
            "must have a bead seat diameter of ISO 5775", value=text, remedy=f"Did you mean {found[1]}-{nearest}?"
        )
    if not widths[0] <= width <= widths[1]:
        raise OutOfRange(f"must be between {widths[0]:g} and {widths[1]:g} mm wide", value=text)
    return Marking(width * 1e-3, seat * 1e-3, f"{found[1]}-{found[2]}")


def _no_marking(text: str, what: str, example: str) -> InputError:
    meant = ""
    number = text.split(maxsplit=1)[0].removesuffix("mm").removesuffix("in") if text.split() else ""
    if number in _NAMES:
        inches = f"Did you mean {number} in? That names the bead seat {_NAMES[number]}; "
        meant = f"{inches}the width is missing. "
    return WrongUnit(
        f"must be a {what}'s ISO 5775 marking, width first, like {example}",
        value=text,
        remedy=f"{meant}Read it off the {what}'s side.",
    )


_NARROWEST: Final = 1.1  # of the rim's inside width
_WIDEST: Final = 4.5


def misfit(tyre: Marking, rim: Marking) -> InputError | None:
    """Why a tyre cannot go on a rim; None where nothing speaks against it.

    The bead seats must be the same (ISO 5775). A tyre narrower than 1.1 or wider than 4.5 times the rim's inside width
    is taken for a slip of the pen: common practice, no source; makers' own tables are narrower.
    """
    if tyre.bead_seat != rim.bead_seat:
        seats = f"{tyre.bead_seat * 1e3:.0f} mm, the rim's {rim.bead_seat * 1e3:.0f} mm"
        rule, remedy = "must fit its rim", f"The tyre's bead seat is {seats}. Read both again."
    elif not _NARROWEST * rim.width <= tyre.width <= _WIDEST * rim.width:
        rule = "must fit its rim"
        remedy = f"A rim {rim.width * 1e3:g} mm wide inside takes no such width. Read both again; width comes first."
    else:
        return None
    return OutOfRange(rule, value=tyre.text, remedy=remedy)
