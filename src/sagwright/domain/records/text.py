"""Texts that any store can hold, and texts made alike for searching."""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from datetime import date
from typing import Final

from sagwright.errors import InputError, OutOfRange

_LONGEST: Final = 20_000
"""Characters of one text."""

_NO_DECOMPOSITION: Final = str.maketrans(
    {"ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe", "ı": "i", "ħ": "h"}
)


def folded(text: str) -> str:
    """Text without case, accents and doubled spaces, as searches compare it."""
    plain = unicodedata.normalize("NFKD", text.casefold())
    bare = "".join(char for char in plain if not unicodedata.combining(char))
    return " ".join(bare.translate(_NO_DECOMPOSITION).casefold().split())


def require_writable(said: object, field: str = "") -> None:
    """Nothing, if every text and number in a value can be kept as it is.

    Raises
    ------
    InputError
        If a text holds what no database can keep, is too long, or a number is not finite.
    """
    for path, value in _leaves(said, field):
        if isinstance(value, str):
            _require_text(value, path)
        elif isinstance(value, float) and not math.isfinite(value):
            raise OutOfRange("must be a number", field=path, value=str(value))


def require_words(text: str, field: str) -> None:
    """Nothing, if there is a text at all and it can be kept.

    Raises
    ------
    InputError
    """
    if not text.strip():
        raise InputError("must not be empty", field=field, remedy="Write it.")
    _require_text(text, field)


def is_day(text: str) -> bool:
    """Whether a text is a day, year-month-day."""
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def require_day(text: str, field: str, *, needed: bool = True) -> None:
    """Nothing, if a text is a day, year-month-day, or nothing where none is needed.

    Raises
    ------
    OutOfRange
    """
    if (needed or text) and not is_day(text):
        raise OutOfRange("must be a day, like 2026-03-02", value=text, field=field, remedy="Write year-month-day.")


def _require_text(text: str, field: str) -> None:
    if "\0" in text:
        raise OutOfRange("must not hold a NUL character", field=field, value=text, remedy="Remove it.")
    if (whole := text.encode("utf-8", "replace").decode()) != text:
        raise OutOfRange("must not hold half a character", field=field, value=whole, remedy="Type it again.")
    if len(text) > _LONGEST:
        raise OutOfRange(
            f"must not be longer than {_LONGEST} characters", field=field, value=text, remedy="Shorten it."
        )


def _leaves(value: object, path: str) -> Iterator[tuple[str, object]]:
    if is_dataclass(value):
        for one in fields(value):
            yield from _leaves(getattr(value, one.name), f"{path}.{one.name}".lstrip("."))
    elif isinstance(value, tuple):
        for number, one in enumerate(value):
            yield from _leaves(one, f"{path}.{number}")
    else:
        yield path, value
