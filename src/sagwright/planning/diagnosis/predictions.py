"""What the readings after the work would be if everything is as planned, in the order in which they are worth taking.

The order is common practice without a source. A reading is held against its
prediction with both uncertainties: further off than twice their root sum of squares, something is to be explained.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from sagwright.domain import measuring
from sagwright.domain.diagnosis import BenchReading, CheckResult, Diagnosis, Prediction, ReadingKind, Signs
from sagwright.domain.plan import Selection
from sagwright.domain.setup import Charge
from sagwright.domain.stance import Side
from sagwright.domain.value import Measured, Quantity
from sagwright.errors import OutOfRange
from sagwright.planning.diagnosis.explanations import diagnosed
from sagwright.planning.diagnosis.mistakes import Standing, signs_of
from sagwright.planning.spring.setups import found_travel

NOT_CYCLED: Final = (0.18, 0.30)
"""How much a charge that was never cycled falls at the port."""


def predictions(selection: Selection) -> tuple[Prediction, ...]:
    """What to read of a target, in order; a reading without a prediction is left out.

    Raises
    ------
    OutOfRange
        If nothing may be a target.
    """
    if selection.target is None:
        raise OutOfRange("must have a target for a final check", field="plan", value=selection.intake.name)
    return tuple(_all(selection))


def _all(selection: Selection) -> Iterator[Prediction]:
    yield from _exposed(selection)
    yield from _pressures(selection)
    yield from _breakaway(selection)
    yield from _sags(selection)


def _exposed(selection: Selection) -> Iterator[Prediction]:
    target, found = selection.target, found_travel(selection.intake)
    if target is None:
        return
    if found is not None:
        change = Measured(target.travel - found, measuring.RULE.u)
        yield Prediction("exposed_change", Quantity.LENGTH, change, measuring.RULE.difference_u)


def _pressures(selection: Selection) -> Iterator[Prediction]:
    target = selection.target
    if target is None or not isinstance(target.setup.charge, Charge) or not selection.intake.sheet.legs:
        return
    set_to = target.setup.charge.pressure_gauge.si
    signs = signs_of(selection.intake.sheet, target.setup, None, standing=_standing(selection))
    yield Prediction("pressure_before", Quantity.PRESSURE, Measured(set_to, 0.0), measuring.PUMP_SCATTER.u)
    ratio = signs.cycled_gauge / signs.valve_gauge if signs.valve_gauge > 0.0 else 1.0
    yield Prediction("pressure_after", Quantity.PRESSURE, Measured(set_to * ratio, 0.0), measuring.PUMP_SCATTER.u)


def _standing(selection: Selection) -> Standing:
    load = selection.spring.load
    return Standing(load=0.0 if load is None else load.force.value, workshop=selection.intake.workshop)


def _breakaway(selection: Selection) -> Iterator[Prediction]:
    view, target = selection.spring.target_friction, selection.target
    if view is None or target is None:
        return
    u = math.hypot(target.behaviour.breakaway.u or 0.0, measuring.FRICTION.u * view.breakaway)
    yield Prediction("breakaway", Quantity.FORCE, Measured(view.breakaway, u), measuring.LUGGAGE_SCALE.u)


def _sags(selection: Selection) -> Iterator[Prediction]:
    """Sag after pressing and after lifting, under the rider or else the technician as a known mass."""
    sat = {
        one.who: one for one in (selection.stance.rider_loads if selection.stance else ()) if one.side is Side.TARGET
    }
    for who in ("rider", "technician"):
        if who in sat:
            u = math.hypot(sat[who].sag.u or 0.0, measuring.within(0.5 * (sat[who].pressed - sat[who].lifted)))
            yield from _band(who, sat[who].pressed, sat[who].lifted, u)
    view, target = selection.spring.target_friction, selection.target
    if not sat and view is not None and target is not None and selection.intake.rider is not None:
        yield from _band("rider", view.sag.after_pressing, view.sag.after_lifting, target.behaviour.sag.u or 0.0)


def _band(who: str, pressed: float, lifted: float, u: float) -> Iterator[Prediction]:
    for way, sag in (("pressed", pressed), ("lifted", lifted)):
        yield Prediction(f"sag_{way}_{who}", Quantity.LENGTH, Measured(sag, u), measuring.RING.u)


def verdict_of(prediction: Prediction, value: float) -> CheckResult:
    """A reading held against its prediction, with both uncertainties."""
    return CheckResult(prediction, value, abs(value - prediction.predicted.value) <= prediction.tolerance)


@dataclass(frozen=True, slots=True)
class LeakTest:
    """A pressure read, left alone, and read again: gauge [Pa], ambient [Pa], temperatures [K]."""

    start_gauge: float
    end_gauge: float
    ambient_abs: float
    start_temperature: float
    end_temperature: float


def leak_prediction(test: LeakTest) -> Prediction:
    """What the pressure would be at the end if nothing leaked: absolute pressure goes with temperature.

    Raises
    ------
    OutOfRange
        If a temperature or an absolute pressure is not positive.
    """
    start_abs = test.start_gauge + test.ambient_abs
    if not (start_abs > 0.0 and test.start_temperature > 0.0 and test.end_temperature > 0.0):
        raise OutOfRange("must be a pressure and temperatures of a gas", field="leak")
    kept = start_abs * test.end_temperature / test.start_temperature - test.ambient_abs
    per_kelvin = start_abs / test.start_temperature
    predicted = Measured(kept, per_kelvin * measuring.THERMOMETER.difference_u)
    return Prediction("leak", Quantity.PRESSURE, predicted, measuring.PUMP_SCATTER.difference_u)


def explain_readings(verdict: CheckResult) -> tuple[str, ...]:
    """Codes of what would explain a reading outside its band, the usual first; none where it is inside."""
    if verdict.inside:
        return ()
    predicted, key = verdict.prediction.predicted.value, verdict.prediction.key
    low = verdict.value < predicted
    if key == "pressure_after" and predicted > 0.0:
        fall = 1.0 - verdict.value / predicted
        return ("not_cycled",) if NOT_CYCLED[0] - 0.05 <= fall <= NOT_CYCLED[1] + 0.05 else ("leak", "gauge")
    plain = key.removesuffix("_rider").removesuffix("_technician")
    return (_LOW if low else _HIGH).get(plain, ())


_LOW: Final = {
    "exposed_change": ("spacer_too_many", "port_behind_lengthening", "stuck_down"),
    "pressure_before": ("leak", "gauge"),
    "breakaway": ("port_behind_lengthening", "pressure_low"),
    "sag_pressed": ("pressure_high", "port_behind_shortening"),
    "sag_lifted": ("sticky", "pressure_high"),
    "leak": ("leak", "reconnected"),
}
_HIGH: Final = {
    "exposed_change": ("spacer_too_few", "ring_not_seated"),
    "pressure_before": ("gauge", "pressure_high"),
    "breakaway": ("port_behind_shortening", "not_cycled", "sticky"),
    "sag_pressed": ("sticky", "pressure_low"),
    "sag_lifted": ("pressure_low", "legs_closed_in"),
    "leak": ("gauge",),
}
"""What usually makes a reading low or high: common practice, no source."""

READ_NEXT: Final = {
    "not_cycled": "pressure_after",
    "leak": "leak",
    "gauge": "pressure_before",
    "spacer_too_many": "exposed_change",
    "spacer_too_few": "exposed_change",
    "port_behind_shortening": "pressure_after",
    "port_behind_lengthening": "exposed_change",
    "stuck_down": "exposed_change",
    "ring_not_seated": "exposed_change",
    "sticky": "breakaway",
    "pressure_low": "pressure_before",
    "pressure_high": "pressure_before",
    "legs_closed_in": "breakaway",
    "reconnected": "leak",
}
"""The reading that distinguishes each one from the others."""


def diagnosis_of(selection: Selection, read: Mapping[str, float]) -> Diagnosis | None:
    """Which simulated mistakes would explain readings by their keys; None where the target or the readings say nothing.

    Raises
    ------
    OutOfRange, NoSolution
        If the target cannot exist; a plan's can.
    """
    target, sheet = selection.target, selection.intake.sheet
    if target is None or not isinstance(target.setup.charge, Charge):
        return None
    standing = _standing(selection)
    right = signs_of(sheet, target.setup, None, standing=standing)
    told = {one.key: one for one in predictions(selection)}
    readings = tuple(_compared(told, read, right))
    return diagnosed(sheet, target.setup, readings, standing=standing) if readings and sheet.legs else None


def _compared(told: Mapping[str, Prediction], read: Mapping[str, float], right: Signs) -> Iterator[BenchReading]:
    """Readings as the simulated mistakes are compared with."""
    if "exposed_change" in told and "exposed_change" in read:
        one = told["exposed_change"]
        off = read["exposed_change"] - one.predicted.value
        yield BenchReading(ReadingKind.EXPOSED, right.exposed + off, one.u)
    if {"pressure_before", "pressure_after"} <= set(read):
        fall = read["pressure_before"] - read["pressure_after"]
        yield BenchReading(ReadingKind.GAUGE_FALL, fall, measuring.PUMP_SCATTER.difference_u)
    if "breakaway" in told and "breakaway" in read:
        yield BenchReading(ReadingKind.BREAKAWAY, read["breakaway"], told["breakaway"].u)
    pressed, lifted = (told.get(f"sag_{way}_rider") for way in ("pressed", "lifted"))
    if pressed is not None and lifted is not None and {pressed.key, lifted.key} <= set(read):
        middle = 0.5 * (read[pressed.key] + read[lifted.key])
        yield BenchReading(ReadingKind.SAG, middle, pressed.u)
