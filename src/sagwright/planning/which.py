"""Which chassis a unit has, where nobody said so."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from sagwright.domain.item import Act, Record, Role
from sagwright.domain.sheet import Chassis, Sheet
from sagwright.domain.step import Step
from sagwright.errors import MissingValue, OutOfRange
from sagwright.planning.builds import permitted


def chassis_of(sheet: Sheet, name: str, travel: float | None) -> Chassis:
    """The chassis of that name; without one, the only one there is, or the only one that permits the travel.

    Where no travel is asked for, any will do: no other task depends on it.

    Raises
    ------
    MissingValue
        If several permit the travel.
    OutOfRange
        If there is none of that name, or none permits the travel.
    """
    names = [chassis.name for chassis in sheet.chassis]
    if name and name not in names:
        remedy = f"Choose one of: {', '.join(names)}."
        raise OutOfRange("must be a chassis of the sheet", value=name, field="chassis", remedy=remedy)
    if name:
        return sheet.chassis_named(name)
    fitting = [one for one in sheet.chassis if travel is None or permitted(one, travel)]
    if not fitting and len(names) > 1 and travel is not None:
        remedy = " ".join(f"Chassis {one.name}: {_offered(one)}." for one in sheet.chassis)
        shown = f"{travel * 1e3:g} mm"
        raise OutOfRange("must be what a chassis permits", value=shown, field="change-travel", remedy=remedy)
    if travel is not None and len(fitting) > 1:
        remedy = f"Look at its marking, and add --chassis with one of: {', '.join(one.name for one in fitting)}."
        raise MissingValue("must be given, because several permit this travel", field="chassis", remedy=remedy)
    return fitting[0] if fitting else sheet.chassis[0]


def _offered(chassis: Chassis) -> str:
    return f"{', '.join(f'{each * 1e3:g}' for each in chassis.travels)} mm"


SEEN: Final = "chassis_seen"


def seen_as(sheet: Sheet, steps: Iterable[Step], chassis: Chassis) -> tuple[Step, ...]:
    """The steps; the first readings also see that the unit is of the chassis that its travel points at."""
    return _also(sheet, steps, Record(SEEN, f"Its marking says chassis {chassis.name}; with another one stop and ask."))


def seen_as_before(sheet: Sheet, steps: Iterable[Step], before: Iterable[Step]) -> tuple[Step, ...]:
    """The same, where it was asked for before."""
    asked = next((record for step in before for record in step.records if record.key == SEEN), None)
    return tuple(steps) if asked is None else _also(sheet, steps, asked)


def _also(sheet: Sheet, steps: Iterable[Step], record: Record) -> tuple[Step, ...]:
    first = {f"{Act.OFF}:{item.key}" for item in sheet.having(Role.READINGS)}
    return tuple(replace(step, records=(*step.records, record)) if step.key in first else step for step in steps)
