"""Any value of the program as JSON: a dataclass field by field with the name of its class, and without its module."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Set
from dataclasses import fields, is_dataclass
from datetime import date
from enum import Enum
from functools import partial
from types import FunctionType
from typing import Any

import numpy as np

from tests.goldens.fixed import masked


def as_json(value: object) -> Any:  # noqa: ANN401  # whatever JSON has
    """The value as JSON; a text of several lines is a list of them, a function its name.

    Raises
    ------
    TypeError
        If it is of a class that is not known here.
    """
    if value is None or type(value) in {bool, int, float}:
        return value
    if isinstance(value, Enum):
        return f"{type(value).__name__}.{value.name}"
    if isinstance(value, str):
        return as_lines(value)
    if isinstance(value, date):
        return value.isoformat()
    return _whole(value)


def as_lines(text: str) -> list[str] | str:
    """A text as its lines, where it has more than one."""
    told = masked(text)
    return told.split("\n") if "\n" in told else told


def digest(content: bytes | str) -> str:
    """What is too long to read, in brief."""
    data = content.encode() if isinstance(content, str) else content
    return f"sha256 {hashlib.sha256(data).hexdigest()}"


def _whole(value: object) -> Any:  # noqa: ANN401
    if is_dataclass(value) and not isinstance(value, type):
        return {"class": type(value).__name__} | {one.name: as_json(getattr(value, one.name)) for one in fields(value)}
    if isinstance(value, Mapping):
        return {str(key): as_json(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [as_json(each) for each in value]
    if isinstance(value, Set):
        return sorted(map(as_json, value), key=str)
    return _special(value)


def _special(value: object) -> Any:  # noqa: ANN401
    if isinstance(value, np.ndarray | np.generic):
        return as_json(value.tolist())
    if isinstance(value, bytes):
        return digest(value)
    if isinstance(value, partial):
        return [as_json(value.func), *map(as_json, value.args)]
    if isinstance(value, FunctionType):
        return f"function {value.__name__}"
    raise TypeError(f"no golden form is known of {type(value).__name__}")
