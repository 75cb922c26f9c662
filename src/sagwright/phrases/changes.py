"""A change inside the unit as what it is, before and after."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from sagwright.domain.settings import BY_KEY
from sagwright.domain.setup import Change, Charge, LegState, Setpoint
from sagwright.domain.sheet import Sheet, SpacerStack, TopOutSpacers
from sagwright.domain.value import Quantity, Unknown, Value
from sagwright.phrases.coil import coil_name, turns_text
from sagwright.phrases.quantities import UNKNOWN, number_text
from sagwright.phrases.spring import own_valve_texts
from sagwright.units import UnitChoice

_NAMES: Final = {
    "shaft_travel": "air shaft",
    "top_out_spacers": "top-out spacers",
    "charge": "pressure",
    "legs": "lower legs",
}
NOTES: Final = {
    "travel_spacers": "under the piston",
    "port_position": "one hole per travel spacer, counted from 0",
    "shaft_travel": "by the travel it gives",
    "top_out_spacers": "under the top-out",
    "preload_spacers": "on top of the coil",
    "legs": "lower-leg oil, and where they were closed",
}


@dataclass(frozen=True, slots=True)
class ChangeText:
    """One change: "travel spacers", "1", "3", "10 mm each, under the piston"."""

    what: str
    before: str
    after: str
    note: str = ""

    def __str__(self) -> str:
        return f"{self.what} {self.before} → {self.after}"


def setting_name(key: str) -> str:
    """What a setting is called."""
    return _NAMES.get(key, key.replace("_", " "))


def change_text(change: Change, sheet: Sheet, choice: UnitChoice) -> ChangeText:
    """A change in words and in the units asked for."""
    if change.field == "adjuster":
        stood, stands = (turns_text(each, sheet.coil, choice) for each in (change.before, change.after))
        return ChangeText("preload adjuster", stood, stands, "turns from fully out")
    before, after = (_setting(each, change.field, choice) for each in (change.before, change.after))
    return ChangeText(setting_name(change.field), before, after, _note(change, sheet, choice))


def _note(change: Change, sheet: Sheet, choice: UnitChoice) -> str:
    """What a number of pieces means, or where a pressure is read."""
    if change.field == "charge":
        return _charge_note(change.after, choice)
    if (height := _height(change.field, sheet)) is None:
        return NOTES.get(change.field, "")
    return f"{number_text(height.si, Quantity.LENGTH, choice)} each, {NOTES[change.field]}"


def _height(field: str, sheet: Sheet) -> Value | None:
    """Of one spacer, where spacers are counted."""
    if field == "preload_spacers":
        return sheet.coil.stack.height
    if field in {"travel_spacers", "top_out_spacers"} and isinstance(sheet.mechanism, SpacerStack | TopOutSpacers):
        return sheet.mechanism.height
    return None


def _setting(setting: Setpoint, field: str, choice: UnitChoice) -> str:
    match setting:
        case Unknown():
            return UNKNOWN[setting]
        case tuple():
            return "; ".join(_leg(leg, choice) for leg in setting) or "as the sheet says"
        case Charge():
            main = number_text(setting.pressure_gauge.si, Quantity.PRESSURE, choice)
            return "; ".join([main, *own_valve_texts(setting, choice)])
        case str():
            return coil_name(setting) if field == "coil" else setting
        case _:
            return number_text(setting, BY_KEY[field].quantity or Quantity.COUNT, choice)


def _leg(leg: LegState, choice: UnitChoice) -> str:
    oil = number_text(leg.lower_leg_oil, Quantity.VOLUME, choice)
    closed = f", closed {number_text(leg.closed_at, Quantity.LENGTH, choice)} in" if leg.closed_at else ""
    return f"{leg.name} {oil}{closed}"


def _charge_note(charge: Setpoint, choice: UnitChoice) -> str:
    if not isinstance(charge, Charge):
        return ""
    where = "topped out"
    if charge.compression:
        where = f"at {number_text(charge.compression, Quantity.LENGTH, choice)} of compression"
    return f"gauge, {where}, at {number_text(charge.temperature, Quantity.TEMPERATURE, choice)}"
