"""Coils for a sag as JSON, shape "coil/1": SI."""

from __future__ import annotations

import math
from typing import Final

from sagwright.domain.coil_spring import CoilAnswer, CoilChoice
from sagwright.formats.json_text import Json, dumped

SHAPE: Final = "coil/1"


def coil_to_json(answer: CoilAnswer) -> str:
    """The answer as JSON text with a newline at its end; a length at which a coil never bows out is null."""
    question = answer.question
    return dumped(
        {
            "shape": SHAPE,
            "load": _number(question.load),
            "wanted_sag": _number(question.sag),
            "travel": _number(answer.travel),
            "preload": {"low": question.preload[0], "high": question.preload[1]},
            "coils": [_choice(one) for one in answer.choices],
        }
    )


def _number(value: float | None, u: float | None = None) -> Json:
    return None if value is None or math.isinf(value) else {"value": value, "u": u}


def _choice(choice: CoilChoice) -> Json:
    return {
        "name": choice.coil.name,
        "rate": _number(choice.rate, choice.rate_u),
        "preload": _number(choice.preload),
        "sag": _number(choice.sag, choice.sag_u),
        "topped_out": _number(choice.topped_out),
        "full": _number(choice.full),
        "left": _number(choice.left),
        "bound": choice.bound,
        "gaps": _number(choice.gaps),
        "stress": _number(choice.stress),
        "of_yield": _number(choice.of_yield),
        "bows_at": _number(choice.bows_at),
    }
