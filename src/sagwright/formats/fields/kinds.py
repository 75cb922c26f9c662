"""Kinds of fields: each reads the text of one scalar, and says in the published schema what it may be.

They are annotations for pydantic: `bore: Annotated[Value, Written(Quantity.LENGTH, 0.005, 0.1)]`. A fault travels
through pydantic as the context of a custom error and comes out as an `InputError` with its place (see faults).
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import Enum
from typing import Any, Final

from pydantic import BaseModel, ConfigDict, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from sagwright.domain.item import Torque
from sagwright.domain.value import Quantity, Span, Unknown, Value
from sagwright.errors import InputError, OutOfRange, WrongUnit
from sagwright.formats.fields.values import read_part, read_span, read_tool, read_torque, read_value
from sagwright.units import UnitChoice, nearest, show_in

FAULT: Final = "fault"
_USUAL: Final = UnitChoice()
_WHOLE: Final = re.compile(r"-?\d{1,9}", re.ASCII)


class Field:
    """A scalar that is read from its text. Subclasses say how, and what the schema shows."""

    def read(self, text: str) -> object:
        """What the text means.

        Raises
        ------
        InputError
            If it is not what the field takes.
        """
        raise NotImplementedError

    def schema(self) -> dict[str, Any]:
        """JSON Schema of what may be written."""
        return {"type": "string"}

    def validate(self, raw: object) -> object:
        """Reads a raw scalar for pydantic."""
        if not isinstance(raw, str):
            raise _as_custom(WrongUnit("must be one value", remedy="Write it on one line, without keys or dashes."))
        try:
            return self.read(raw)
        except InputError as fault:
            raise _as_custom(fault) from fault

    def __get_pydantic_core_schema__(self, _source: Any, _handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.validate)

    def __get_pydantic_json_schema__(self, _core: CoreSchema, _handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return self.schema()


def _as_custom(fault: InputError) -> PydanticCustomError:
    return PydanticCustomError(FAULT, "a fault", {FAULT: fault})


@dataclass(frozen=True, eq=False)
class QuantityField(Field):
    """A number with its unit, perhaps ± its tolerance, perhaps its origin; between two limits, SI."""

    quantity: Quantity
    low: float
    high: float

    def read(self, text: str) -> Value:
        value = read_value(text, self.quantity)
        check_limits(value.si, self, text)
        return value

    def schema(self) -> dict[str, Any]:
        bare = self.quantity in (Quantity.FRACTION, Quantity.RATIO)
        return {"type": ["string", "number"] if bare else "string", "pattern": r"\d"}


def check_limits(si: float, field: QuantityField | Range, text: str) -> None:
    """Refuses a number outside its field's limits.

    Raises
    ------
    OutOfRange
    """
    if field.low <= si <= field.high:
        return
    low, high = (show_in(_USUAL, end, field.quantity) for end in (field.low, field.high))
    raise OutOfRange(f"must be between {low} and {high}", value=text, remedy="Check the number, its sign and unit.")


@dataclass(frozen=True, eq=False)
class Range(Field):
    """A permitted range, "40..140 psi", between two limits, SI."""

    quantity: Quantity
    low: float
    high: float

    def read(self, text: str) -> Span:
        span = read_span(text, self.quantity)
        check_limits(span.low, self, text)
        check_limits(span.high, self, text)
        return span

    def schema(self) -> dict[str, Any]:
        return {"type": "string", "pattern": r"\d.*(\.\.|…).*\d"}


@dataclass(frozen=True, eq=False)
class Count(Field):
    """A whole number of pieces."""

    low: int = 0
    high: int = 20

    def read(self, text: str) -> int:
        if not _WHOLE.fullmatch(text):
            raise WrongUnit("must be a whole number, like 2", value=text, remedy="Count pieces; write no unit.")
        number = int(text)
        if not self.low <= number <= self.high:
            raise OutOfRange(f"must be between {self.low} and {self.high}", value=text, remedy="Count again.")
        return number

    def schema(self) -> dict[str, Any]:
        return {"type": ["integer", "string"], "minimum": self.low, "maximum": self.high, "pattern": r"^\d+$"}


@dataclass(frozen=True, eq=False)
class OrUnknown(Field):
    """A field, or the words for a value that is not known yet."""

    field: Field
    unknown: Unknown

    def read(self, text: str) -> object:
        if text == self.unknown.value:
            return self.unknown
        if text in {each.value for each in Unknown} or nearest(text, [self.unknown.value]):
            raise OutOfRange(
                f'can only be a value or "{self.unknown.value}"', value=text, remedy="Write one of the two."
            )
        return self.field.read(text)

    def schema(self) -> dict[str, Any]:
        return {"anyOf": [{"const": self.unknown.value}, self.field.schema()]}


@dataclass(frozen=True, eq=False)
class Word(Field):
    """One of a few words."""

    words: Mapping[str, object]

    def read(self, text: str) -> object:
        if text not in self.words:
            near = nearest(text, self.words)
            raise OutOfRange(
                "must be one of: " + ", ".join(self.words),
                value=text,
                remedy=f"Did you mean {near}?" if near else "",
            )
        return self.words[text]

    def schema(self) -> dict[str, Any]:
        return {"enum": list(self.words)}


def word(kind: type[Enum], *but: Enum) -> Word:
    """The words of an enumeration, without some."""
    return Word({str(each.value): each for each in kind if each not in but})


class YesNo(Field):
    """yes or no."""

    def read(self, text: str) -> bool:
        if text not in {"yes", "no"}:
            raise OutOfRange("must be yes or no", value=text, remedy="Write yes or no.")
        return text == "yes"

    def schema(self) -> dict[str, Any]:
        return {"enum": ["yes", "no", True, False]}


@dataclass(frozen=True, eq=False)
class Words(Field):
    """Free text, not empty."""

    most: int = 2000

    def read(self, text: str) -> str:
        plain = " ".join(text.split())
        if not plain:
            raise OutOfRange("must not be empty", value=text, remedy="Write it, or remove the line.")
        if len(plain) > self.most:
            raise OutOfRange(f"must not be longer than {self.most} characters", value=text, remedy="Shorten it.")
        if not plain.isprintable():
            raise OutOfRange("must be printable text", value=ascii(text), remedy="Remove control characters.")
        return plain

    def schema(self) -> dict[str, Any]:
        return {"type": ["string", "number"], "minLength": 1, "maxLength": self.most}


class Day(Field):
    """A day of the calendar, year first."""

    def read(self, text: str) -> str:
        try:
            return dt.date.fromisoformat(text).isoformat()
        except ValueError:
            raise WrongUnit("must be a day, like 2026-03-02", value=text, remedy="Write year-month-day.") from None

    def schema(self) -> dict[str, Any]:
        return {"type": "string", "format": "date"}


@dataclass(frozen=True, eq=False)
class Name(Field):
    """A key that other lines refer to: small letters, digits and underscores, beginning with a letter."""

    pattern: str = r"[a-z][a-z0-9_]{0,39}"

    def read(self, text: str) -> str:
        if not re.fullmatch(self.pattern, text, re.ASCII):
            raise OutOfRange(
                "must be a short name of small letters, digits and underscores",
                value=text,
                remedy="Like air_cap.",
            )
        return str(text)

    def schema(self) -> dict[str, Any]:
        return {"type": "string", "pattern": f"^{self.pattern}$"}


@dataclass(frozen=True, eq=False)
class Phrase(Field):
    """A short text with a grammar of its own: a torque, a tool, a part."""

    reader: Callable[[str], object]
    pattern: str = r"\S"

    def read(self, text: str) -> object:
        Words(200).read(text)
        return self.reader(text)

    def schema(self) -> dict[str, Any]:
        return {"type": "string", "pattern": self.pattern}


def torque(text: str) -> Torque:
    """A torque no spanner of this trade leaves: 0 to 100 N·m."""
    found = read_torque(text)
    if found.value is not None:
        check_limits(found.value.si, QuantityField(Quantity.TORQUE, 0.05, 100.0), text)
    return found


TORQUE: Final = Phrase(torque, r"dry|greased|oiled|threadlocker")
TOOL: Final = Phrase(read_tool)
PART: Final = Phrase(read_part)


class Shape(BaseModel):
    """Base of everything that is written: no key but those named."""

    model_config = ConfigDict(extra="forbid", frozen=True)
