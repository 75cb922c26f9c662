"""A change inside the unit as what it is, before and after."""

from __future__ import annotations

from dataclasses import dataclass

from sagwright.domain.build import Change, Charge, LegState, Setpoint
from sagwright.domain.sheet import Sheet, SpacerStack
from sagwright.domain.value import Quantity, Unknown
from sagwright.phrases.figures import UNKNOWN, number
from sagwright.phrases.spring import own_texts
from sagwright.units import Choice


@dataclass(frozen=True, slots=True)
class ChangeText:
    """One change: "travel spacers", "1", "3", "10 mm each, under the piston"."""

    what: str
    before: str
    after: str
    note: str

    def __str__(self) -> str:
        return f"{self.what} {self.before} → {self.after}"


def change_text(change: Change, sheet: Sheet, choice: Choice) -> ChangeText:
    """A change in words and in the units asked for."""
    before, after = (_setting(each, change.field, choice) for each in (change.before, change.after))
    match change.field:
        case "travel_spacers":
            return ChangeText("travel spacers", before, after, _spacer_note(sheet, choice))
        case "equaliser_hole":
            return ChangeText("equaliser hole", before, after, "one hole per travel spacer, counted from 0")
        case "shaft_travel":
            return ChangeText("air shaft", before, after, "by the travel it gives")
        case "charge":
            return ChangeText("pressure", before, after, _charge_note(change.after, choice))
        case "legs":
            return ChangeText("lower legs", before, after, "bath oil, and where they were closed")
        case _:
            return ChangeText(change.field.replace("_", " "), before, after, "")


def _setting(setting: Setpoint, field: str, choice: Choice) -> str:
    match setting:
        case Unknown():
            return UNKNOWN[setting]
        case tuple():
            return "; ".join(_leg(leg, choice) for leg in setting) or "as the sheet says"
        case Charge():
            main = number(setting.pressure_gauge.si, Quantity.PRESSURE, choice)
            return "; ".join([main, *own_texts(setting, choice)])
        case _:
            quantity = Quantity.LENGTH if field == "shaft_travel" else Quantity.COUNT
            return number(setting, quantity, choice)


def _leg(leg: LegState, choice: Choice) -> str:
    oil = number(leg.bath_oil, Quantity.VOLUME, choice)
    closed = f", closed {number(leg.closed_at, Quantity.LENGTH, choice)} in" if leg.closed_at else ""
    return f"{leg.name} {oil}{closed}"


def _spacer_note(sheet: Sheet, choice: Choice) -> str:
    if not isinstance(sheet.mechanism, SpacerStack):
        return ""
    return f"{number(sheet.mechanism.height.si, Quantity.LENGTH, choice)} each, under the piston"


def _charge_note(charge: Setpoint, choice: Choice) -> str:
    if not isinstance(charge, Charge):
        return ""
    where = "topped out"
    if charge.compression:
        where = f"at {number(charge.compression, Quantity.LENGTH, choice)} of compression"
    return f"gauge, {where}, at {number(charge.temperature, Quantity.TEMPERATURE, choice)}"
