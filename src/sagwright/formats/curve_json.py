"""Curves as JSON, shape "curve/1", and as CSV. SI throughout; keys that carry a pressure end in _abs."""

from __future__ import annotations

import csv
import io
from typing import Final

from sagwright.domain.behaviour import SagBand
from sagwright.domain.curve import BuildCurve, Comparison, Loop
from sagwright.formats.json_text import Json, dumped
from sagwright.formats.plan_json import build_shape

SHAPE: Final = "curve/1"


def curve_to_json(comparison: Comparison) -> str:
    """The comparison as JSON text with a newline at its end; the same comparison gives the same bytes."""
    sheet, question = comparison.sheet, comparison.question
    return dumped(
        {
            "shape": SHAPE,
            "program": comparison.program,
            "sheet": {"name": sheet.name, "maker": sheet.maker, "model": sheet.model, "revision": sheet.revision},
            "exponent": _number(question.exponent),
            "time_constant": _number(question.time_constant),
            "speed": _number(question.speed),
            "load": _number(question.load),
            "real_air": question.real_air,
            "ambient_abs": _number(comparison.ambient_abs),
            "curves": [_curve(one) for one in comparison.curves],
        }
    )


def curve_to_csv(comparison: Comparison) -> str:
    """The comparison as a table, one row a build and compression, its units in the heading."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    chambers = [name for name, _ in comparison.curves[0].pressures_abs]
    writer.writerow(
        (
            "build",
            "compression m",
            "slow force N",
            "u slow force N",
            "stroke force N",
            "u stroke force N",
            "stroke stiffness N/m",
            "stroke energy J",
            *(f"{name} Pa abs" for name in chambers),
        )
    )
    for curve in comparison.curves:
        columns = (*_columns(curve), *(column for _, column in curve.pressures_abs))
        writer.writerows((curve.label, *(repr(number) for number in row)) for row in zip(*columns, strict=True))
    return text.getvalue()


def _columns(curve: BuildCurve) -> tuple[tuple[float, ...], ...]:
    return (
        curve.compression,
        curve.slow_force,
        curve.slow_force_u,
        curve.stroke_force,
        curve.stroke_force_u,
        curve.stiffness,
        curve.energy,
    )


def _number(value: float | None, u: float | None = None) -> Json:
    return None if value is None else {"value": value, "u": u}


def _line(value: tuple[float, ...], u: tuple[float, ...] | None = None) -> Json:
    return {"value": list(value), "u": None if u is None else list(u)}


def _curve(curve: BuildCurve) -> Json:
    return {
        "label": curve.label,
        "build": build_shape(curve.build),
        "travel": _number(curve.travel),
        "compression": _line(curve.compression),
        "slow_force": _line(curve.slow_force, curve.slow_force_u),
        "stroke_force": _line(curve.stroke_force, curve.stroke_force_u),
        "stroke_stiffness": _line(curve.stiffness),
        "energy": _line(curve.energy),
        "legs_force": _line(curve.legs_force),
        "legs_force_weeped": _line(curve.legs_force_weeped),
        "pressures_abs": {name: _line(column) for name, column in curve.pressures_abs},
        "ideal_error": _number(curve.ideal_error),
        "sag": None if curve.sag is None else _sag(curve.sag),
        "loop": None if curve.loop is None else _loop(curve.loop),
    }


def _sag(sag: SagBand) -> Json:
    return {name: _number(getattr(sag, name)) for name in SagBand.__slots__}


def _loop(loop: Loop) -> Json:
    return {
        "compression": _line(loop.compression),
        "force": _line(loop.force),
        "lost": _number(loop.lost),
        "period": _number(loop.period),
    }
