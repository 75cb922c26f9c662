"""Answers about a reading as JSON, shape "pressure/1": SI, keys of pressures end in _gauge or _abs."""

from __future__ import annotations

from typing import Final

from sagwright.domain.gauge_reading import PressureAnswer
from sagwright.domain.intake import Surroundings
from sagwright.formats.json_text import Json, dumped

SHAPE: Final = "pressure/1"

ANSWERS: Final = (
    "absolute_abs",
    "before_gauge",
    "again_gauge",
    "taken",
    "there_gauge",
    "set_here_gauge",
    "per_kelvin",
)


def pressure_to_json(answer: PressureAnswer) -> str:
    """The answers as JSON text with a newline at its end."""
    question = answer.question
    return dumped(
        {
            "shape": SHAPE,
            "reading_gauge": _number(question.reading_gauge),
            "sealed": question.sealed,
            "gauge": question.gauge.value,
            "here": _place(question.here),
            "there": _place(question.there),
            **{name: _number(getattr(answer, name), getattr(answer.u, name)) for name in ANSWERS},
        }
    )


def _number(value: float | None, u: float | None = None) -> Json:
    return None if value is None else {"value": value, "u": u}


def _place(where: Surroundings) -> Json:
    return {"temperature": _number(where.temperature), "ambient_abs": _number(where.ambient_abs)}
