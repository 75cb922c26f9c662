"""What the demo workshop needs of files, and readings that are plausible: what was planned, with some scatter."""

from __future__ import annotations

import hashlib
from importlib import resources
from typing import Final

from sagwright.domain.diagnosis import Prediction
from sagwright.domain.item import Record
from sagwright.domain.value import Quantity
from sagwright.formats.records.readings import RequiredReading
from sagwright.formats.sheet.catalogue import shipped_sheets
from sagwright.units import show_value

_UNITS: Final = {
    Quantity.PRESSURE: "psi",
    Quantity.LENGTH: "mm",
    Quantity.VOLUME: "ml",
    Quantity.TORQUE: "N·m",
    Quantity.FORCE: "N",
    Quantity.TEMPERATURE: "°C",
    Quantity.COUNT: "",
}
SIGHTED: Final = {"damage_found": "none", "spring_oil_look": "grey", "damper_oil_look": "grey, a little gritty"}
"""What is seen; anything else is as it should be: "yes"."""

_USUAL: Final = {Quantity.LENGTH: 0.158, Quantity.VOLUME: 4e-6, Quantity.COUNT: 9.0, Quantity.PRESSURE: 5.4e5}
"""Where neither a prediction nor limits say what to expect; typical, from memory, and demo data only."""

SCATTER: Final = {
    Quantity.PRESSURE: 7e3,
    Quantity.LENGTH: 1e-3,
    Quantity.VOLUME: 1e-6,
    Quantity.COUNT: 2.0,
    Quantity.TORQUE: 0.3,
}
"""Of one reading [SI]; shares of the limits where they are narrower."""


def demo_sheets() -> tuple[str, ...]:
    """Every sheet that comes with the program."""
    return shipped_sheets()


def demo_bike() -> str:
    """The text of a bike of an invented maker, bike/1."""
    return (resources.files("sagwright.formats") / "demo_bike.yaml").read_text("utf-8")


def plausible(asked: RequiredReading, seed: str, *, found: float | None = None) -> str:
    """What somebody could have typed for a reading, the same for the same seed: "pressure_left=88 psi".

    `found` is what a gauge should show before anything was touched [Pa].
    """
    record = asked.record
    if record.quantity is None:
        return f"{record.key}={SIGHTED.get(record.key, 'yes')}"
    as_found = found if record.key == "pressure_found" else None
    value = _middle(asked, as_found) + _draw(f"{seed} {record.key}") * _scatter(record)
    if record.quantity is Quantity.COUNT:
        value = round(value)
    return f"{record.key}={show_value(max(value, _least(record)), _UNITS[record.quantity])}"


def plausible_final(prediction: Prediction, seed: str) -> str:
    """What somebody could have read in the final check, well inside the band of its prediction."""
    value = prediction.predicted.value + 0.4 * prediction.tolerance * _draw(f"{seed} {prediction.key}")
    return f"{prediction.key}={show_value(value, _UNITS[prediction.quantity])}"


def _least(asked: Record) -> float:
    return 0.0 if asked.low is None else asked.low


def _middle(asked: RequiredReading, found: float | None) -> float:
    if found is not None or asked.predicted is not None:
        return found if found is not None else asked.predicted or 0.0
    record = asked.record
    if record.low is not None and record.high is not None:
        return (record.low + record.high) / 2
    if record.low is not None or record.high is not None:
        return record.low or 0.0
    return _USUAL.get(record.quantity or Quantity.COUNT, 1.0)


def _scatter(asked: Record) -> float:
    wide = SCATTER.get(asked.quantity or Quantity.COUNT, 0.0)
    if asked.low is None and asked.high is None:
        return wide
    if asked.low is None or asked.high is None:
        return 0.0
    return min(wide, (asked.high - asked.low) / 4)


def _draw(seed: str) -> float:
    """From −1 to 1, the same for the same seed on every machine."""
    return int.from_bytes(hashlib.sha256(seed.encode()).digest()[:4]) / (2**31 - 0.5) - 1.0
