"""A setup as it is written on a command line: "travel: 140 mm, volume_spacers: 1, pressure: 78 psi"."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Final

from pydantic import Field as About

from sagwright.domain.intake import Surroundings
from sagwright.domain.setup import (
    Charge,
    Setting,
    Setup,
    ShaftSetting,
    StackSetting,
    TopOutSetting,
)
from sagwright.domain.sheet import Chassis, Sheet, SpacerStack, TopOutSpacers
from sagwright.domain.value import Origin, Quantity, Unknown, Value
from sagwright.errors import MissingValue, OutOfRange
from sagwright.formats.faults import Faults, shaped
from sagwright.formats.fields.kinds import Count, QuantityField, Shape, YesNo
from sagwright.formats.intake.as_found import COIL_KEYS, NO_SUCH_SPRING, fitting_of, leg_states
from sagwright.formats.intake.shape import TURNS, AirPressure, ChargeShape, LegStateShape, Temperature
from sagwright.formats.sheet.item_shape import Key, Label
from sagwright.formats.sheet.valve import check_valves
from sagwright.formats.source.reader import read_text
from sagwright.formats.source.tree import SourceFile
from sagwright.units import nearest

FOREIGN: Final = {
    "air": (*COIL_KEYS, "top_out_spacers"),
    "coil": ("volume_spacers", "pressure", "compression", "negative_pressure", "second_pressure", "cycled"),
}
"""Keys of a build that only the other kind of spring has."""

_SAME: float = 1e-6
"""Travels that differ by less than this count as equal [m]."""


class SetupShape(Shape):
    """One setup; what is left out is as the sheet has it for that travel."""

    name: Label | None = About(None, description="What to call it.", examples=["as found"])
    chassis: Key | None = About(None, description="Needed where the sheet has several.", examples=["mid"])
    travel: Annotated[Value, QuantityField(Quantity.LENGTH, 0.01, 0.4)] | None = About(
        None, description="Sets spacers and transfer port, or the shaft; the longest if left out.", examples=["140 mm"]
    )
    travel_spacers: Annotated[int, Count()] | None = About(None, description="Instead of the travel.", examples=["1"])
    port_position: Annotated[int, Count()] | None = About(None, description="Where it is wrong.", examples=["0"])
    volume_spacers: Annotated[int, Count()] = About(0, description="In the positive chamber.", examples=["2"])
    pressure: Annotated[Value, QuantityField(Quantity.PRESSURE, -1e5, 50e5)] | None = About(
        None, description="Gauge, at the valve; needed where there is air.", examples=["78 psi"]
    )
    top_out_spacers: Annotated[int, Count()] | None = About(
        None, description="Of a coil fork, instead of the travel.", examples=["1"]
    )
    coil: Key | None = About(None, description="By its name in the sheet.", examples=["medium"])
    preload_spacers: Annotated[int, Count()] | None = About(
        None, description="On top of the coil; none if left out.", examples=["2"]
    )
    preload_turns: Annotated[Value, TURNS] | None = About(
        None, description="Of the preload adjuster, from fully out; 0 if left out.", examples=["3"]
    )
    compression: Annotated[Value, QuantityField(Quantity.LENGTH, 0.0, 0.4)] | None = About(
        None, description="Where it was read; topped out if left out.", examples=["0 mm"]
    )
    temperature: Temperature | None = About(None, description="Of the gas when it was read.", examples=["20 °C"])
    air_pressure: AirPressure | None = About(None, description="Absolute, where it was read.", examples=["1013 hPa"])
    negative_pressure: Annotated[Value, QuantityField(Quantity.PRESSURE, -1e5, 50e5)] | None = About(
        None, description="Gauge, of a negative chamber with its own valve.", examples=["70 psi"]
    )
    second_pressure: Annotated[Value, QuantityField(Quantity.PRESSURE, -1e5, 50e5)] | None = About(
        None, description="Gauge, behind a floating piston.", examples=["160 psi"]
    )
    cycled: Annotated[bool, YesNo()] = About(True, description="Whether it was worked through the transfer port.")
    legs: dict[Key, LegStateShape] = About({}, description="Legs that differ from the sheet.")


def read_setup(text: str, sheet: Sheet, *, around: Surroundings, number: int = 1) -> tuple[str, Setup]:
    """A setup with its label.

    Raises
    ------
    InputError, InputErrors
        Everything that is wrong with it.
    """
    source = SourceFile(f"setup {number}")
    source.origin = Origin.MEASURED
    root = read_text("{" + text + "}", source)
    faults = Faults(root, source.faults)
    shape = shaped(root, SetupShape, faults)
    chassis = _chassis(shape, sheet, faults)
    faults.raise_any()
    setting = _setting(shape, sheet, chassis, faults)
    legs = leg_states(shape.legs, sheet, path=("legs",), faults=faults)
    _check_spring(shape, sheet, faults)
    setup = _BUILDS[sheet.spring.kind](
        shape, sheet, Setup(chassis.name, setting, 0, Unknown.NOT_MEASURED, legs), around, faults
    )
    faults.raise_any()
    return shape.name or text.strip(), setup


def _coil_build(shape: SetupShape, sheet: Sheet, bare: Setup, around: Surroundings, faults: Faults) -> Setup:
    del around
    none = {"preload_spacers": shape.preload_spacers or 0}
    turns = shape.preload_turns or (Value(0.0) if sheet.coil.stack.per_turn.si else None)
    fitting = fitting_of(shape.model_copy(update={**none, "preload_turns": turns}), sheet.coil, (), faults)
    return replace(bare, fitting=fitting)


def _air_build(shape: SetupShape, sheet: Sheet, bare: Setup, around: Surroundings, faults: Faults) -> Setup:
    check_valves(shape, sheet, path=(), faults=faults)
    if shape.pressure is None:
        faults.add(("pressure",), MissingValue("must be given", remedy="Write it, like pressure: 78 psi."))
    charge = charge_of(shape, shape.pressure or Value(0.0), around)
    return replace(bare, volume_spacers=shape.volume_spacers, charge=charge)


def charge_of(shape: SetupShape | ChargeShape, pressure: Value, around: Surroundings) -> Charge:
    """The charge at a pressure; where nothing else is said it was read in the workshop."""
    return Charge(
        pressure,
        compression=shape.compression.si if shape.compression else 0.0,
        temperature=shape.temperature.si if shape.temperature else around.temperature,
        ambient_abs=shape.air_pressure.si if shape.air_pressure else around.ambient_abs,
        cycled=shape.cycled,
        negative_gauge=shape.negative_pressure,
        second_gauge=shape.second_pressure,
    )


_BUILDS: Final = {"air": _air_build, "coil": _coil_build}


def _chassis(shape: SetupShape, sheet: Sheet, faults: Faults) -> Chassis:
    offered = {chassis.name: chassis for chassis in sheet.chassis}
    if shape.chassis is None and len(offered) == 1:
        return sheet.chassis[0]
    names = ", ".join(offered)
    if shape.chassis is None:
        faults.add(("chassis",), MissingValue("must be given", remedy=f"{sheet.name} has: {names}."))
    elif shape.chassis not in offered:
        near = nearest(shape.chassis, offered)
        meant = f"Did you mean {near}? " if near else ""
        rule = "must be a chassis of the sheet"
        faults.add(("chassis",), OutOfRange(rule, value=shape.chassis, remedy=f"{meant}{sheet.name} has: {names}."))
    return offered.get(shape.chassis or "", sheet.chassis[0])


def _setting(shape: SetupShape, sheet: Sheet, chassis: Chassis, faults: Faults) -> Setting:
    travel = shape.travel.si if shape.travel else chassis.longest.si
    if isinstance(sheet.mechanism, SpacerStack):
        return _stack(shape, sheet, chassis, faults)
    if isinstance(sheet.mechanism, TopOutSpacers):
        return TopOutSetting(
            _spacers(shape, shape.top_out_spacers, "top_out_spacers", sheet.mechanism, chassis, faults)
        )
    for key in ("travel_spacers", "port_position"):
        if getattr(shape, key) is not None:
            fault = OutOfRange("does not exist in this family", remedy="Its travel is set by the air shaft.")
            faults.add((key,), fault)
    shafts = [shaft.travel.si for shaft in sheet.mechanism.shafts]
    fitting = [one for one in shafts if abs(one - travel) <= _SAME]
    if not fitting:
        there = ", ".join(f"{one * 1e3:g} mm" for one in shafts)
        faults.add(("travel",), OutOfRange("must have a shaft", remedy=f"There are shafts for {there}."))
    return ShaftSetting(fitting[0] if fitting else travel)


def _stack(shape: SetupShape, sheet: Sheet, chassis: Chassis, faults: Faults) -> StackSetting:
    if not isinstance(sheet.mechanism, SpacerStack):
        raise TypeError("only a spacer stack has travel spacers")
    port = sheet.air.transfer_port
    spacers = _spacers(shape, shape.travel_spacers, "travel_spacers", sheet.mechanism, chassis, faults)
    hole = shape.port_position
    if hole is not None and hole >= port.positions:
        rule = f"must be a hole that is there, 0 to {port.positions - 1}"
        faults.add(("port_position",), OutOfRange(rule, value=str(hole), remedy="Count from 0 for no spacer."))
    beside = min(max(spacers, 0), port.positions - 1) if port.positions > 1 else 0
    return StackSetting(spacers, beside if hole is None else hole)


def _spacers(  # a count, its key, and what both depend on
    shape: SetupShape,
    spacers: int | None,
    key: str,
    mechanism: SpacerStack | TopOutSpacers,
    chassis: Chassis,
    faults: Faults,
) -> int:
    """The spacers that are written, or those that give the travel that is."""
    height = mechanism.height.si
    if spacers is not None and shape.travel is not None:
        faults.add((key,), OutOfRange("must not stand beside travel", remedy="Write one of them."))
    if spacers is not None:
        return spacers
    left = chassis.longest.si - (shape.travel.si if shape.travel else chassis.longest.si)
    spacers = round(left / height)
    if spacers < 0 or abs(left - spacers * height) > _SAME:
        longest, step = f"{chassis.longest.si * 1e3:g} mm", f"{height * 1e3:g} mm"
        rule = f"must be the longest, {longest}, less whole spacers of {step}"
        faults.add(("travel",), OutOfRange(rule, value=str(shape.travel.as_written if shape.travel else "")))
    return spacers


def _check_spring(shape: SetupShape, sheet: Sheet, faults: Faults) -> None:
    """Nothing is written that only the other kind of spring has."""
    for key in FOREIGN[sheet.spring.kind]:
        if key in shape.model_fields_set:
            faults.add((key,), OutOfRange(NO_SUCH_SPRING, remedy=f"Its spring is {sheet.spring.called}; remove this."))
