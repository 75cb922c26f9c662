"""A half-filled form as JSON: every field as typed."""

from __future__ import annotations

import json
from collections.abc import Mapping

from sagwright.formats.entry_json import compact


def typed_to_text(typed: Mapping[str, str]) -> str:
    """Fields and what was typed into them, as JSON without escapes."""
    return compact(dict(typed))


def typed_from_text(text: str) -> dict[str, str]:
    """Fields and what was typed into them."""
    return {str(field): str(said) for field, said in json.loads(text).items()}
