"""What the calculators of springs answer as JSON: shapes "curve/1" (also as CSV), "coil/1", "pressure/1", "mistakes/1".

SI throughout; keys that carry a pressure end in _gauge or _abs. A length at which a coil never bows out is null.
"""

from __future__ import annotations

import csv
import io
import math
from typing import Any, Final

from sagwright.domain.coil_spring import CoilAnswer, CoilChoice, CoilQuestion
from sagwright.domain.curve import Comparison, CurveQuestion, SetupCurve
from sagwright.domain.diagnosis import Diagnosis, Explanation, Signs
from sagwright.domain.gauge_reading import PressureAnswer, PressureQuestion
from sagwright.domain.sheet import Sheet
from sagwright.formats.codec import NUMBER, Codec, Coder, Row
from sagwright.formats.json_text import Json, dump_json
from sagwright.formats.output.work import ROWS as OF_WORK

CURVE: Final = "curve/1"
COIL: Final = "coil/1"
_PRESSURE: Final = "pressure/1"
MISTAKES: Final = "mistakes/1"

ROWS: Final[dict[Any, Row | Coder]] = OF_WORK | {
    Sheet: Row("name maker model revision"),
    CurveQuestion: Row("exponent time_constant speed load real_air"),
    SetupCurve: Row(
        "label setup travel compression slow_force stroke_force stiffness=stroke_stiffness energy"
        " legs_force legs_force_vented pressures_abs ideal_error sag loop"
    ),
    Comparison: Row("program sheet question ambient_abs curves", inline="question"),
    PressureQuestion: Row("reading_gauge sealed gauge here there"),
    PressureAnswer: Row(
        "question absolute_abs before_gauge reconnected_gauge taken there_gauge set_here_gauge per_kelvin",
        inline="question",
    ),
    Signs: Row(
        "travel rest_position exposed top_out_force sag middle end valve_gauge cycled_gauge"
        " valve_middle=valve_middle_gauge valve_deep=valve_deep_gauge over_time"
    ),
}
CODEC: Final = Codec(ROWS)
OF_COILS: Final = Codec(
    {
        float: Coder(lambda value: None if math.isinf(value) else NUMBER.encode(value)),
        CoilQuestion: Row("load sag=wanted_sag preload"),
        (CoilQuestion, "preload"): Coder(lambda ends: {"low": ends[0], "high": ends[1]}),
        CoilChoice: Row(
            "coil=name rate preload sag topped_out full_travel reserve bound gaps stress yield_ratio buckles_at"
        ),
        (CoilChoice, "coil"): Coder(lambda coil: coil.name),
        (CoilChoice, "bound"): Coder(lambda bound: bound),
        CoilAnswer: Row("question travel choices=coils", inline="question"),
    }
)


def curve_to_json(comparison: Comparison) -> str:
    """The comparison as JSON text with a newline at its end; the same comparison gives the same bytes."""
    return dump_json({"shape": CURVE} | CODEC.encode(comparison))


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
        curve.slow_force.value,
        curve.slow_force.u,
        curve.stroke_force.value,
        curve.stroke_force.u,
        curve.stiffness,
        curve.energy,
    )


def coil_to_json(answer: CoilAnswer) -> str:
    """The answer as JSON text with a newline at its end."""
    order = {"shape": COIL, "load": None, "wanted_sag": None, "travel": None}
    return dump_json(order | OF_COILS.encode(answer))


def pressure_to_json(answer: PressureAnswer) -> str:
    """The answers as JSON text with a newline at its end."""
    return dump_json({"shape": _PRESSURE} | CODEC.encode(answer))


def mistakes_to_json(sheet: Sheet, diagnosis: Diagnosis) -> str:
    """As it should be, and every mistake, as JSON text with a newline at its end."""
    mistakes = [_mistake(each) for each in diagnosis.explanations]
    return dump_json({"shape": MISTAKES, "sheet": CODEC.encode(sheet), "mistakes": mistakes})


def _mistake(each: Explanation) -> Json:
    mistake = each.mistake
    named: dict[str, Json] = {"mistake": None, "amount": None}
    if mistake is not None:
        named = {"mistake": mistake.kind.name.lower(), "amount": NUMBER.encode(mistake.amount)}
    return named | CODEC.encode(each.signs)
