"""What the calculators of springs answer as JSON: shapes "curve/1" (also as CSV), "coil/1", "pressure/1", "mistakes/1".

SI throughout; keys that carry a pressure end in _gauge or _abs.
"""

from __future__ import annotations

import csv
import io
import math
from typing import Final

from sagwright.domain.behaviour import SagBand
from sagwright.domain.coil_spring import CoilAnswer, CoilChoice
from sagwright.domain.curve import Comparison, Loop, SetupCurve
from sagwright.domain.diagnosis import Diagnosis, Explanation, Signs
from sagwright.domain.gauge_reading import PressureAnswer
from sagwright.domain.intake import Surroundings
from sagwright.domain.sheet import Sheet
from sagwright.formats.json_text import Json, dump_json
from sagwright.formats.output.work import setup_shape

CURVE: Final = "curve/1"

COIL: Final = "coil/1"

_PRESSURE: Final = "pressure/1"

_ANSWERS: Final = (
    "absolute_abs",
    "before_gauge",
    "reconnected_gauge",
    "taken",
    "there_gauge",
    "set_here_gauge",
    "per_kelvin",
)

MISTAKES: Final = "mistakes/1"

NUMBERS: Final = (
    *("travel", "rests", "exposed", "off_top", "sag", "middle", "end"),
    *("valve_gauge", "cycled_gauge"),
)


def curve_to_json(comparison: Comparison) -> str:
    """The comparison as JSON text with a newline at its end; the same comparison gives the same bytes."""
    sheet, question = comparison.sheet, comparison.question
    return dump_json(
        {
            "shape": CURVE,
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
    """The comparison as a table, one row a setup and compression, its units in the heading."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    chambers = [name for name, _ in comparison.curves[0].pressures_abs]
    writer.writerow(
        (
            "setup",
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


def _columns(curve: SetupCurve) -> tuple[tuple[float, ...], ...]:
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


def _curve(curve: SetupCurve) -> Json:
    return {
        "label": curve.label,
        "setup": setup_shape(curve.setup),
        "travel": _number(curve.travel),
        "compression": _line(curve.compression),
        "slow_force": _line(curve.slow_force, curve.slow_force_u),
        "stroke_force": _line(curve.stroke_force, curve.stroke_force_u),
        "stroke_stiffness": _line(curve.stiffness),
        "energy": _line(curve.energy),
        "legs_force": _line(curve.legs_force),
        "legs_force_weeped": _line(curve.legs_force_vented),
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
        "lost": _number(loop.heat_loss),
        "period": _number(loop.period),
    }


def coil_to_json(answer: CoilAnswer) -> str:
    """The answer as JSON text with a newline at its end; a length at which a coil never bows out is null."""
    question = answer.question
    return dump_json(
        {
            "shape": COIL,
            "load": _finite(question.load),
            "wanted_sag": _finite(question.sag),
            "travel": _finite(answer.travel),
            "preload": {"low": question.preload[0], "high": question.preload[1]},
            "coils": [_choice(one) for one in answer.choices],
        }
    )


def _finite(value: float | None, u: float | None = None) -> Json:
    return None if value is None or math.isinf(value) else {"value": value, "u": u}


def _choice(choice: CoilChoice) -> Json:
    return {
        "name": choice.coil.name,
        "rate": _finite(choice.rate, choice.rate_u),
        "preload": _finite(choice.preload),
        "sag": _finite(choice.sag, choice.sag_u),
        "topped_out": _finite(choice.topped_out),
        "full": _finite(choice.full_travel),
        "left": _finite(choice.reserve),
        "bound": choice.bound,
        "gaps": _finite(choice.gaps),
        "stress": _finite(choice.stress),
        "of_yield": _finite(choice.yield_ratio),
        "bows_at": _finite(choice.buckles_at),
    }


def pressure_to_json(answer: PressureAnswer) -> str:
    """The answers as JSON text with a newline at its end."""
    question = answer.question
    return dump_json(
        {
            "shape": _PRESSURE,
            "reading_gauge": _number(question.reading_gauge),
            "sealed": question.sealed,
            "gauge": question.gauge.value,
            "here": _place(question.here),
            "there": _place(question.there),
            **{name: _number(getattr(answer, name), getattr(answer.u, name)) for name in _ANSWERS},
        }
    )


def _place(where: Surroundings) -> Json:
    return {"temperature": _number(where.temperature), "ambient_abs": _number(where.ambient_abs)}


def mistakes_to_json(sheet: Sheet, diagnosis: Diagnosis) -> str:
    """As it should be, and every mistake, as JSON text with a newline at its end."""
    return dump_json(
        {
            "shape": MISTAKES,
            "sheet": {"name": sheet.name, "maker": sheet.maker, "model": sheet.model, "revision": sheet.revision},
            "mistakes": [_one(each) for each in diagnosis.explanations],
        }
    )


def _one(each: Explanation) -> Json:
    mistake = each.mistake
    kind = None if mistake is None else mistake.kind.name.lower()
    amount = None if mistake is None else _number(mistake.amount)
    return {"mistake": kind, "amount": amount, **_signs(each.signs)}


def _signs(signs: Signs) -> dict[str, Json]:
    deep = {"valve_middle_gauge": _number(signs.valve_middle), "valve_deep_gauge": _number(signs.valve_deep)}
    over_time: list[Json] = [
        {
            "time": _number(moment.time),
            "compression": _number(moment.compression),
            "valve_gauge": _number(moment.valve_gauge),
        }
        for moment in signs.over_time
    ]
    return {name: _number(getattr(signs, name)) for name in NUMBERS} | deep | {"over_time": over_time}
