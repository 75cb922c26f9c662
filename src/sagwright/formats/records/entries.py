"""Entries of a log as JSON, shape "entry/1", and half-filled forms, every field as typed.

SI throughout, every reading with its "value" and "u".
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import lru_cache
from typing import Final, get_args

from sagwright.domain.records.payloads import Payload, PutOnHold, Reading, kind_name
from sagwright.errors import RecordError
from sagwright.formats.codec import Codec, Misfit, Row, in_two_keys
from sagwright.formats.json_text import compact

_SHAPE: Final = "entry/1"
CODEC: Final = Codec(
    {
        PutOnHold: Row(sparse="tasks"),
        Reading: Row(inline="predicted"),
        (Reading, "predicted"): in_two_keys("predicted", "predicted_u"),
    },
    bare=True,
)
KINDS: Final[dict[str, type[Payload]]] = {kind_name(kind): kind for kind in get_args(Payload)}


def payload_to_text(payload: Payload) -> str:
    """The payload of an entry as one line of JSON; equal payloads give equal text."""
    return compact({"shape": _SHAPE} | CODEC.encode(payload))


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
        shape, kind = said.pop("shape"), said.get("kind")
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise RecordError("An entry is not JSON with a shape.", remedy="Restore a backup, or ask for help.") from error
    if shape != _SHAPE:
        raise RecordError(
            f'An entry has the shape "{shape}", and this program reads "{_SHAPE}".',
            remedy="It was written by a newer program; use that one.",
        )
    if kind not in KINDS:
        raise RecordError("An entry cannot be read at kind: it is none that this program knows.")
    try:
        return CODEC.decode(KINDS[kind], said)
    except Misfit as error:
        raise RecordError(f"An entry cannot be read at {'.'.join((kind, *error.place))}: it {error.what}.") from error


def typed_to_text(typed: Mapping[str, str]) -> str:
    """Fields and what was typed into them, as JSON without escapes."""
    return compact(dict(typed))


def typed_from_text(text: str) -> dict[str, str]:
    """Fields and what was typed into them."""
    return {str(field): str(said) for field, said in json.loads(text).items()}
