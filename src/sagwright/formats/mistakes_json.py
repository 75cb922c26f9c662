"""How mistakes show as JSON, shape "mistakes/1": SI, keys of pressures end in _gauge."""

from __future__ import annotations

from typing import Final

from sagwright.domain.diagnosis import Diagnosis, Explanation, Signs
from sagwright.domain.sheet import Sheet
from sagwright.formats.json_text import Json, dumped

SHAPE: Final = "mistakes/1"

NUMBERS: Final = (
    *("travel", "rests", "exposed", "off_top", "sag", "middle", "end"),
    *("valve_gauge", "cycled_gauge"),
)


def mistakes_to_json(sheet: Sheet, diagnosis: Diagnosis) -> str:
    """As it should be, and every mistake, as JSON text with a newline at its end."""
    return dumped(
        {
            "shape": SHAPE,
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


def _number(value: float) -> Json:
    return {"value": value, "u": None}
