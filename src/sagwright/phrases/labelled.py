"""A text and what it is about."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LabelledLine:
    """One line of a list of facts: "tool", "socket 26 mm"."""

    label: str
    text: str
