"""Entries of a log as JSON, shape "entry/1", and half-filled forms, every field as typed.

SI throughout, every reading with its "value" and "u".
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache, lru_cache
from typing import Annotated, Final

from pydantic import Field, TypeAdapter, ValidationError

from sagwright.domain.records.payloads import Payload, PutOnHold
from sagwright.errors import RecordError
from sagwright.formats.json_text import Json, compact

_SHAPE: Final = "entry/1"


_LATER: Final = ("tasks",)
"""Keys of waits that came after the shape was released: not written while they are empty, so that what was kept stays
as it was written."""


@cache
def _adapter() -> TypeAdapter[Payload]:
    return TypeAdapter(Annotated[Payload, Field(discriminator="kind")])


def payload_to_text(payload: Payload) -> str:
    """What an entry says as one line of JSON; the same payload gives the same text."""
    return compact({"shape": _SHAPE} | _plain(payload))


def _plain(payload: Payload) -> dict[str, Json]:
    said: dict[str, Json] = _adapter().dump_python(payload, mode="json")
    if not isinstance(payload, PutOnHold):
        return said
    return {key: value for key, value in said.items() if value or key not in _LATER}


@lru_cache(maxsize=4096)  # payloads are immutable, and the jobs in work are read over and over
def payload_from_text(text: str) -> Payload:
    """What an entry says.

    Raises
    ------
    RecordError
        If it is of another shape, or not what `payload_to_text` writes.
    """
    try:
        said = json.loads(text)
        shape = said.pop("shape")
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise RecordError("An entry is not JSON with a shape.", remedy="Restore a backup, or ask for help.") from error
    if shape != _SHAPE:
        raise RecordError(
            f'An entry has the shape "{shape}", and this program reads "{_SHAPE}".',
            remedy="It was written by a newer program; use that one.",
        )
    return _checked(said)


def _checked(said: Json) -> Payload:
    """The payload; every key of the JSON must have a place in it, so that nothing is lost on reading."""
    try:
        payload = _adapter().validate_python(said, strict=False)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        place = ".".join(str(part) for part in first["loc"])
        raise RecordError(f"An entry cannot be read at {place}: {first['msg']}.") from error
    if compact(_plain(payload)) != compact(said):
        raise RecordError(f'An entry of the shape "{_SHAPE}" has keys or values that this program does not know.')
    return payload


def typed_to_text(typed: Mapping[str, str]) -> str:
    """Fields and what was typed into them, as JSON without escapes."""
    return compact(dict(typed))


def typed_from_text(text: str) -> dict[str, str]:
    """Fields and what was typed into them."""
    return {str(field): str(said) for field, said in json.loads(text).items()}
