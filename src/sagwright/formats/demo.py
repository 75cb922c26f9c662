"""What the demo workshop needs of files, and readings that are plausible: what was planned, with some scatter."""

from __future__ import annotations

import hashlib
from importlib import resources
from typing import Final

from sagwright.domain.value import Quantity
from sagwright.formats.records.readings import Asked
from sagwright.formats.sheet.catalogue import shipped_sheets
from sagwright.units import show

UNITS: Final = {
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

USUAL: Final = {Quantity.LENGTH: 0.158, Quantity.VOLUME: 4e-6, Quantity.COUNT: 9.0, Quantity.PRESSURE: 5.4e5}
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


def plausible(asked: Asked, seed: str, *, found: float | None = None) -> str:
    """What somebody could have typed for a reading, the same for the same seed: "pressure_left=88 psi".

    `found` is what a gauge should show before anything was touched [Pa].
    """
    if asked.quantity is None:
        return f"{asked.key}={SIGHTED.get(asked.key, 'yes')}"
    as_found = found if asked.key == "pressure_found" else None
    value = _middle(asked, as_found) + _draw(f"{seed} {asked.key}") * _scatter(asked)
    if asked.quantity is Quantity.COUNT:
        value = round(value)
    return f"{asked.key}={show(max(value, _least(asked)), UNITS[asked.quantity])}"


def _least(asked: Asked) -> float:
    return 0.0 if asked.low is None else asked.low


def _middle(asked: Asked, found: float | None) -> float:
    if found is not None or asked.predicted is not None:
        return found if found is not None else asked.predicted or 0.0
    if asked.low is not None and asked.high is not None:
        return (asked.low + asked.high) / 2
    if asked.low is not None or asked.high is not None:
        return asked.low or 0.0
    return USUAL.get(asked.quantity or Quantity.COUNT, 1.0)


def _scatter(asked: Asked) -> float:
    wide = SCATTER.get(asked.quantity or Quantity.COUNT, 0.0)
    if asked.low is None and asked.high is None:
        return wide
    if asked.low is None or asked.high is None:
        return 0.0
    return min(wide, (asked.high - asked.low) / 4)


def _draw(seed: str) -> float:
    """From −1 to 1, the same for the same seed on every machine."""
    return int.from_bytes(hashlib.sha256(seed.encode()).digest()[:4]) / (2**31 - 0.5) - 1.0
