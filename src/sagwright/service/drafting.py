"""Sheets that are being written: checked with everything they extend, and pictured, before they are kept."""

from __future__ import annotations

from dataclasses import dataclass

from sagwright.domain.build import (
    Build,
    Charge,
    CoilFitting,
    Setting,
    ShaftSetting,
    StackSetting,
    TopOutSetting,
    coil_build,
)
from sagwright.domain.cutaway import Inside
from sagwright.domain.sheet import ShaftPerTravel, Sheet, SpacerStack, TopOutSpacers
from sagwright.domain.value import Origin, Value
from sagwright.errors import InputError, InputErrors
from sagwright.formats.sheet.load import extended, read_sheet, require_stated_revision
from sagwright.planning.spring.cutaway import inside_of
from sagwright.store.documents import newest_revisions
from sagwright.store.workshop import Store


@dataclass(frozen=True, slots=True)
class Checked:
    """A text read as a sheet: the sheet, or everything that is wrong with it, by line."""

    sheet: Sheet | None
    faults: tuple[InputError, ...]


def check_sheet(store: Store, key: str, text: str) -> Checked:
    """A text read as the sheet of that key, with what it extends of this workshop and of the program."""
    with store.reading() as transaction:
        known = {one.key: one.text for one in newest_revisions(transaction)}
    try:
        require_stated_revision(text, key)
        return Checked(read_sheet(key, text, extended(key, text, known)), ())
    except InputErrors as error:
        return Checked(None, error.errors)
    except InputError as error:
        return Checked(None, (error,))


def picture_of(sheet: Sheet) -> Inside | None:
    """The spring leg of a sheet's first chassis at its longest travel, topped out; None where it has no legs."""
    if not sheet.legs:
        return None
    chassis, setting = sheet.chassis[0], _longest(sheet)
    if sheet.coil is not None:
        return inside_of(sheet, coil_build(chassis.name, setting, CoilFitting(sheet.coil.coils[0].name, 0)))
    return inside_of(sheet, Build(chassis.name, setting, 1, _charge(sheet)))


def _longest(sheet: Sheet) -> Setting:
    match sheet.mechanism:
        case SpacerStack():
            return StackSetting(0, 0)
        case TopOutSpacers():
            return TopOutSetting(0)
        case ShaftPerTravel():
            return ShaftSetting(max(shaft.travel.si for shaft in sheet.mechanism.shafts))


def _charge(sheet: Sheet) -> Charge:
    span = sheet.air.pressure_gauge
    return Charge(Value(0.5 * (span.low + span.high), None, Origin.COMPUTED))
