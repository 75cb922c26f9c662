"""Plain values as JSON text."""

from __future__ import annotations

import json
from typing import Any, TypeAlias

Json: TypeAlias = dict[str, Any] | list[Any] | str | float | int | bool | None


def dumped(shape: Json) -> str:
    """Plain values as JSON text: two spaces, no escapes, no minus zero, no NaN."""
    return json.dumps(_tidy(shape), ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def _tidy(shape: Json) -> Json:
    if isinstance(shape, dict):
        return {key: _tidy(value) for key, value in shape.items()}
    if isinstance(shape, list):
        return [_tidy(value) for value in shape]
    return shape + 0.0 if isinstance(shape, float) else shape
