"""Colours, line patterns and lettering: one of each per meaning, on every drawing. Never by colour alone."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Final

PAPER: Final = "#fbf9f4"
INK: Final = "#1f262b"
SOFT: Final = "#58646d"
RULE: Final = "#cfc8b8"
POSITIVE: Final = "#dce6f0"
NEGATIVE: Final = "#efe3cf"
OIL: Final = "#c9b06a"
SPACER: Final = "#8d9aa5"
METAL: Final = "#b9c0c6"
FAMILY: Final = "Source Sans Pro"
FONT: Final = f"'{FAMILY}', sans-serif"


@dataclass(frozen=True, slots=True)
class Pen:
    """A colour, a dash pattern (empty for a solid line) and a width [px]."""

    colour: str
    dash: str
    width: float


class Meaning(Enum):
    """What a line stands for."""

    AS_FOUND = Pen("#2f62a3", "7 4", 1.8)
    TARGET = Pen("#b84a14", "", 2.2)
    PROOF = Pen("#1e7350", "0.1 4", 2.6)
    FIRST = Pen(INK, "", 2.0)
    SECOND = Pen("#5b6670", "9 3", 1.8)
    THIRD = Pen(INK, "2.5 2.5", 1.8)
    FOURTH = Pen("#5b6670", "9 3 2 3", 1.8)
    FIFTH = Pen(INK, "1 4", 2.2)
    SIXTH = Pen("#5b6670", "14 3 2 3 2 3", 1.8)

    @property
    def pen(self) -> Pen:
        """How it is drawn."""
        return self.value


IN_TURN: Final = (Meaning.FIRST, Meaning.SECOND, Meaning.THIRD, Meaning.FOURTH, Meaning.FIFTH, Meaning.SIXTH)
"""What tells several things of one kind apart."""
