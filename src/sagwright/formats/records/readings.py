"""Readings as typed at the stand, held against what the decided plan asks for."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from sagwright.domain.records.payloads import Reading
from sagwright.domain.value import Quantity
from sagwright.errors import InputError, OutOfRange
from sagwright.formats.fields.values import read_value
from sagwright.units import nearest


@dataclass(frozen=True, slots=True)
class Asked:
    """A reading that a step asks for: SI limits, and what it should be where the plan says so."""

    key: str
    what: str
    quantity: Quantity | None
    low: float | None
    high: float | None
    predicted: float | None


def asked_by(work: str, step: str | None = None) -> dict[str, Asked]:
    """Every reading that a decided plan or sequence, as JSON text, asks for; of one step, or of all."""
    steps: list[dict[str, Any]] = json.loads(work)["steps"]
    return {one["key"]: _asked(one, each) for each in steps if step in {None, each["key"]} for one in each["records"]}


def _asked(record: Mapping[str, Any], step: Mapping[str, Any]) -> Asked:
    quantity = Quantity(record["quantity"]) if record["quantity"] else None
    pressure = quantity is Quantity.PRESSURE
    end = "_gauge" if pressure else ""
    predicted = step["pressure_gauge"]["value"] if pressure and step["pressure_gauge"] else None
    return Asked(record["key"], record["what"], quantity, record[f"low{end}"], record[f"high{end}"], predicted)


def readings_of(
    typed: Iterable[str], asked: Mapping[str, Asked], *, instrument: str | None = None
) -> tuple[Reading, ...]:
    """Readings written as "pressure_left=88 psi".

    Raises
    ------
    InputError
        If one names no reading that is asked for, or is no number with a unit of its quantity.
    """
    return tuple(_reading(one, asked, instrument) for one in typed)


def _reading(typed: str, asked: Mapping[str, Asked], instrument: str | None) -> Reading:
    key, _, said = (part.strip() for part in typed.partition("="))
    if key not in asked:
        near = nearest(key, list(asked))
        remedy = f"{f'Did you mean {near}? ' if near else ''}There are: {', '.join(asked) or 'none'}."
        raise OutOfRange("must be a reading that is asked for", value=key, field="reading", remedy=remedy)
    if not said:
        raise OutOfRange("must say what was read", value=typed, field=key, remedy=f"Write {key}=…")
    return _read(asked[key], said, instrument)


def _read(asked: Asked, said: str, instrument: str | None) -> Reading:
    if asked.quantity is None:
        return Reading(asked.key, asked.what, said, instrument=instrument)
    try:
        value = read_value(said, asked.quantity)
    except InputError as error:
        raise error.at(file=None, line=None, field=asked.key) from error
    return Reading(
        asked.key,
        asked.what,
        said,
        asked.quantity,
        value.si,
        value.u,
        instrument,
        asked.predicted,
        passes=_passes(value.si, asked),
    )


def _passes(value: float, asked: Asked) -> bool | None:
    if asked.low is None and asked.high is None:
        return None
    return (asked.low is None or asked.low <= value) and (asked.high is None or value <= asked.high)
