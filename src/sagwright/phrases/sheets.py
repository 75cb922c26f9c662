"""A spec sheet in a few lines, and all its values as rows: name, value in the units asked for, tolerance, origin."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass
from typing import Final

from sagwright.domain.sheet import Chassis, Sheet, SpacerStack, TopOutSpacers
from sagwright.domain.value import Quantity, Span, Value
from sagwright.phrases import quantities
from sagwright.phrases.coil import coil_text
from sagwright.phrases.labelled import LabelledLine
from sagwright.units import UnitChoice, split
from sagwright.units.table import find_unit

SECTIONS: Final = ("chassis", "mechanism", "spring", "legs", "damper", "top_out", "bottom_out", "friction", "bushings")
"""The parts of a sheet that are numbers, in the order in which they are shown."""

LATER: Final = ("charging", "service")
NOT_VALUES: Final = frozenset({"name", "kind", "what"})


def sheet_lines(sheet: Sheet, choice: UnitChoice) -> tuple[LabelledLine, ...]:
    """Identity, chassis, what sets the travel, items, torques to be found."""
    base = f", on {sheet.base}" if sheet.base else ""
    return (
        LabelledLine("sheet", f"{sheet.name}, revision {sheet.revision}{base}"),
        LabelledLine("describes", f"{sheet.maker} {sheet.model}"),
        *(LabelledLine("chassis", chassis_text(chassis, choice)) for chassis in sheet.chassis),
        LabelledLine("travel by", mechanism_text(sheet, choice)),
        *(LabelledLine("coil", coil_text(coil, choice)) for coil in sheet.spring.coils),
        LabelledLine("items", str(len(sheet.items))),
        LabelledLine("torques", torques_text(sheet)),
    )


def chassis_text(chassis: Chassis, choice: UnitChoice) -> str:
    """A chassis with every travel it permits."""
    return f"{chassis.name}: {_travels(chassis.travels, choice)}"


def mechanism_text(sheet: Sheet, choice: UnitChoice) -> str:
    """What sets the travel."""
    mechanism = sheet.mechanism
    if isinstance(mechanism, SpacerStack):
        height = quantities.exact(mechanism.height.si, Quantity.LENGTH, choice)
        return f"travel spacers of {height}, at most {mechanism.most}"
    if isinstance(mechanism, TopOutSpacers):
        height = quantities.exact(mechanism.height.si, Quantity.LENGTH, choice)
        return f"spacers under the top-out of {height}, at most {mechanism.most}"
    if len(mechanism.shafts) == 1:
        return f"nothing: fixed at {quantities.number_text(mechanism.shafts[0].travel.si, Quantity.LENGTH, choice)}"
    return f"air shafts for {_travels(tuple(shaft.travel.si for shaft in mechanism.shafts), choice)}"


def torques_text(sheet: Sheet) -> str:
    """The torques whose value is still to be found."""
    torques = [(item.name, work.torque) for item in sheet.items for _, work in item.works if work.torque]
    unknown = [name for name, torque in torques if torque.value is None]
    if not unknown:
        return f"{len(torques)}, all with a value"
    return f"{len(torques)}, of which to be found: {', '.join(unknown)}"


def _travels(travels: tuple[float, ...], choice: UnitChoice) -> str:
    *shorter, longest = sorted(travels)
    listed = [quantities.bare(travel, Quantity.LENGTH, choice) for travel in shorter]
    return ", ".join([*listed, quantities.number_text(longest, Quantity.LENGTH, choice)])


@dataclass(frozen=True, slots=True)
class WrittenRow:
    """One value: what it is within its section, the value with its unit, half the width of its tolerance, its
    origin."""

    name: str
    value: str
    tolerance: str
    origin: str


@dataclass(frozen=True, slots=True)
class WrittenSection:
    """The values of one part of a sheet."""

    name: str
    rows: tuple[WrittenRow, ...]


def written_sections(sheet: Sheet, choice: UnitChoice) -> tuple[WrittenSection, ...]:
    """Every value of a sheet but those of its items."""
    sections = (
        WrittenSection(_words(name), tuple(_rows(getattr(sheet, name), "", choice))) for name in (*SECTIONS, *LATER)
    )
    return tuple(section for section in sections if section.rows)


def _rows(thing: object, name: str, choice: UnitChoice) -> Iterator[WrittenRow]:
    if isinstance(thing, Value):
        yield _row(name, thing, choice)
    elif isinstance(thing, Span):
        yield WrittenRow(_words(name), _span(thing, choice), "", thing.origin.value)
    elif isinstance(thing, int) and not isinstance(thing, bool):
        yield WrittenRow(_words(name), str(thing), "", "")
    else:
        for part, inner in _inside(thing):
            yield from _rows(inner, _joined(name, part), choice)


def _inside(thing: object) -> Iterator[tuple[str, object]]:
    """What a thing is made of, each with its name; nothing for a text."""
    if isinstance(thing, tuple):
        yield from ((_name_of(one, number), one) for number, one in enumerate(thing, 1))
    elif is_dataclass(thing):
        named = (field.name for field in fields(thing) if field.name not in NOT_VALUES)
        yield from ((name, getattr(thing, name)) for name in named)


def _name_of(one: object, number: int) -> str:
    """The name, the service or the count that distinguishes several of a kind."""
    return str(getattr(one, "name", "") or getattr(one, "what", "") or number) if is_dataclass(one) else str(number)


def _joined(*parts: str) -> str:
    return " ".join(part for part in parts if part)


def _row(name: str, value: Value, choice: UnitChoice) -> WrittenRow:
    quantity = quantity_of_value(value.as_written)
    shown = _as_written(value, choice) if quantity is Quantity.TIME else quantities.exact(value.si, quantity, choice)
    uncertainty = "" if not value.u else quantities.tolerance(value.u, quantity, choice)
    return WrittenRow(_words(name), shown, uncertainty, value.origin.value)


def _as_written(value: Value, choice: UnitChoice) -> str:
    """Hours of riding stay hours: days would read as days of the calendar."""
    return value.as_written.split(",")[0].partition("±")[0].strip().replace(".", choice.decimal)


def quantity_of_value(written: str) -> Quantity:
    """The quantity of a written value, by its unit: a plain number where there is none."""
    parts = written.split(",", maxsplit=1)[0].replace("..", "±").split("±")
    units = [unit for part in parts if (unit := find_unit(split(part)[1])) is not None and unit.name]
    named = [unit.quantity for unit in units if unit.quantity != Quantity.FRACTION] or [unit.quantity for unit in units]
    return Quantity(named[0]) if named else Quantity.RATIO


def _span(span: Span, choice: UnitChoice) -> str:
    return quantities.span(span.low, span.high, quantity_of_value(span.as_written), choice)


def _words(name: str) -> str:
    return name.replace("_gauge", "").replace("_", " ")
