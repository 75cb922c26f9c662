"""Kinds of fields that only bikes have; each says what was probably meant."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from sagwright.domain.value import Quantity, Value
from sagwright.errors import OutOfRange, WrongUnit
from sagwright.formats.fields import Field, Written, check_limits
from sagwright.formats.values import read_value
from sagwright.units import parse, show, split


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
            (math.degrees(degrees), f"{degrees:.4g} rad would be {show(degrees, '°')}"),
            (180.0 - degrees, f"{degrees:.4g}° from the front is {show(math.pi - si, '°')} from behind"),
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
                remedy=f"That is a diameter; did you mean {show(value.si / 2.0, 'mm')}?",
            )
        check_limits(value.si, Written(Quantity.LENGTH, 0.15, 0.42), text)
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
