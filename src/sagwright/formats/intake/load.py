"""Loads intakes."""

from __future__ import annotations

import pathlib
from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from sagwright.domain.bike import Bike, MakerAnswer, Outline
from sagwright.domain.intake import Aim, AimKind, AsFound, Intake, Rider, Surroundings, UnitIdentity, Wish
from sagwright.domain.setup import (
    Setting,
    Setup,
    ShaftSetting,
    StackSetting,
    TopOutSetting,
)
from sagwright.domain.sheet import Sheet, SpacerStack, TopOutSpacers
from sagwright.domain.value import Origin, Quantity, Unknown, Value
from sagwright.errors import InputError, MissingValue, OutOfRange, UnreadableFile
from sagwright.formats.bike.load import load_bike, load_bike_text, outline_of
from sagwright.formats.faults import Faults, expect_shape, shaped
from sagwright.formats.intake.as_found import AIR_KEYS, COIL_KEYS, NO_SUCH_SPRING, fitting_of, leg_states, unknown_coil
from sagwright.formats.intake.setup_text import charge_of
from sagwright.formats.intake.shape import (
    INTAKE,
    AimShape,
    AsFoundShape,
    IntakeShape,
    RiderShape,
    WishShape,
)
from sagwright.formats.sheet.load import load_sheet
from sagwright.formats.sheet.valve import check_valves
from sagwright.formats.source.reader import read_file, read_text
from sagwright.formats.source.tree import SourceFile, YamlTable, located
from sagwright.units import nearest

FRONT_SHARE: Final = Value(0.40, 0.05, Origin.TYPICAL, "")
"""Share of rider and gear that loads the fork along its axis, standing, when the intake does not say.

An assumption, common practice, no source; the spread is as wide as riding positions are.
"""


def load_intake(path: str | pathlib.Path) -> Intake:
    """An intake with the sheet it names.

    Raises
    ------
    UnreadableFile
        If it or its sheet is not there or cannot be read.
    InputError, InputErrors
        Everything that is wrong with what it says, with file and line.
    """
    path = pathlib.Path(path)
    return _intake(read_file(path), beside=path.parent)


def load_intake_text(
    text: str, name: str, *, texts: Mapping[str, str] | None = None, sheet: Sheet | None = None
) -> Intake:
    """An intake from a text instead of a file, as `load_intake`.

    It can name shipped sheets, and the sheets and bikes in `texts`; no files. `sheet` is the one that it names, where
    that is read already.
    """
    return _intake(read_text(text, SourceFile(name)), texts=texts or {}, sheet=sheet)


def _intake(
    root: YamlTable,
    *,
    beside: pathlib.Path | None = None,
    texts: Mapping[str, str] | None = None,
    sheet: Sheet | None = None,
) -> Intake:
    root.source.origin = Origin.MEASURED
    expect_shape(root, INTAKE, what="an intake")
    faults = Faults(root, root.source.faults)
    shape = shaped(root, IntakeShape, faults)
    try:
        sheet = sheet or load_sheet(shape.sheet, beside=beside, files=texts is None, texts=texts)
    except InputError as fault:
        raise fault if fault.file else located(fault, root, ("sheet",)) from fault
    bike = _bike(shape, beside, faults, texts=texts)
    intake = Intake(
        name=shape.name,
        sheet=sheet,
        unit=UnitIdentity(shape.unit.serial or "", shape.unit.chassis),
        as_found=_as_found(shape, sheet, faults),
        wish=_wish(shape.wish, sheet, faults),
        rider=_rider(shape.rider, "rider", faults) if shape.rider else None,
        load=shape.load,
        workshop=_workshop(shape),
        front_scale=shape.front_scale,
        bike=bike,
        technician=_rider(shape.technician, "technician", faults) if shape.technician else None,
        answers=tuple(MakerAnswer(one.about, one.who, one.when, one.answer) for one in shape.answers),
        tasks=tuple(dict.fromkeys(shape.tasks)),
    )
    _check_load(intake, faults)
    _check_chassis(intake, faults)
    faults.raise_any()
    return intake


def _check_chassis(intake: Intake, faults: Faults) -> None:
    offered = [chassis.name for chassis in intake.sheet.chassis]
    named = intake.unit.chassis
    if named not in offered:
        near = nearest(named, offered)
        meant = f"Did you mean {near}? " if near else ""
        fault = OutOfRange(
            "must be a chassis of the sheet",
            value=named,
            remedy=f"{meant}{intake.sheet.name} has: {', '.join(offered)}.",
        )
        faults.add(("unit", "chassis"), fault)


def _workshop(shape: IntakeShape) -> Surroundings:
    usual, said = Surroundings(), shape.workshop
    return Surroundings(
        temperature=said.temperature.si if said.temperature else usual.temperature,
        ambient_abs=said.air_pressure.si if said.air_pressure else usual.ambient_abs,
    )


def _rider(shape: RiderShape, key: str, faults: Faults) -> Rider:
    if shape.front_share is not None and shape.height is not None:
        rule, remedy = "must not stand beside a height", "Keep one: a share that was weighed, or the height."
        faults.add((key, "front_share"), OutOfRange(rule, value=shape.front_share.as_written, remedy=remedy))
    return Rider(shape.mass, shape.gear, shape.front_share or FRONT_SHARE, shape.height, shape.posture)


def _bike(
    shape: IntakeShape, beside: pathlib.Path | None, faults: Faults, *, texts: Mapping[str, str] | None
) -> Bike | Outline | None:
    """The bike of a file or a text, or its outline."""
    if shape.bike is None or shape.bike.file is None:
        return None if shape.bike is None else outline_of(shape.bike, faults)
    if texts is not None and shape.bike.file in texts:
        return load_bike_text(texts[shape.bike.file], shape.bike.file)
    if texts is not None:
        faults.add(("bike",), OutOfRange("cannot be a file here", value=shape.bike.file))
        return None
    path = (beside or pathlib.Path()) / shape.bike.file
    try:
        return load_bike(path)
    except UnreadableFile as fault:
        rule = f"must name a bike's file that can be read, and {fault.file or path} {fault.rule}"
        faults.add(("bike",), UnreadableFile(rule, remedy=fault.remedy))
    return None


def _check_load(intake: Intake, faults: Faults) -> None:
    """A scale needs a bike's head angle to say what lies along the fork."""
    if intake.front_scale is not None and not isinstance(intake.bike, Bike):
        remedy = "Write bike with the path of a bike/1 file; or load, in N along the fork."
        faults.add(("front_scale",), MissingValue("needs a bike beside it", remedy=remedy))
    if intake.front_scale is not None and intake.rider is None:
        faults.add(("front_scale",), MissingValue("needs a rider beside it", remedy="Write rider with mass and gear."))


def _as_found(shape: IntakeShape, sheet: Sheet, faults: Faults) -> AsFound:
    said = shape.as_found
    setting, legs = (
        _setting(said, sheet, faults),
        leg_states(said.legs, sheet, path=("as_found", "legs"), faults=faults),
    )
    bare = Setup(shape.unit.chassis, setting, 0, Unknown.NOT_MEASURED, legs)
    return _AS_FOUND[sheet.spring.kind](shape, sheet, bare, faults)


def _coil_as_found(shape: IntakeShape, sheet: Sheet, bare: Setup, faults: Faults) -> AsFound:
    said = shape.as_found
    _refuse_all(said, AIR_KEYS, "a coil; write coil, preload_spacers and preload_turns", faults)
    return AsFound(replace(bare, fitting=fitting_of(said, sheet.coil, ("as_found",), faults)), said.travel)


def _air_as_found(shape: IntakeShape, sheet: Sheet, bare: Setup, faults: Faults) -> AsFound:
    said = shape.as_found
    _refuse_all(said, COIL_KEYS, "air; write volume_spacers and charge", faults)
    setup = replace(bare, volume_spacers=_needed(said.volume_spacers, "volume_spacers", faults))
    if said.charge is None:
        faults.add(("as_found", "charge"), _missing(Unknown.NOT_MEASURED))
        return AsFound(setup, said.travel)
    check_valves(said.charge, sheet, path=("as_found", "charge"), faults=faults)
    read = said.charge.pressure
    charge = read if isinstance(read, Unknown) else charge_of(said.charge, read, _workshop(shape))
    setup = replace(setup, charge=charge)
    return AsFound(setup, said.travel, said.charge.leaked, said.charge.last_set)


_AS_FOUND: Final = {"air": _air_as_found, "coil": _coil_as_found}


def _refuse_all(said: AsFoundShape, keys: tuple[str, ...], spring: str, faults: Faults) -> None:
    for key in keys:
        if getattr(said, key) is not None:
            faults.add(("as_found", key), OutOfRange(NO_SUCH_SPRING, remedy=f"Its spring is {spring}."))


def _setting(said: AsFoundShape, sheet: Sheet, faults: Faults) -> Setting:
    if isinstance(sheet.mechanism, TopOutSpacers):
        for key in ("air_shaft", "travel_spacers", "port_position"):
            _refuse(getattr(said, key), key, "by top-out spacers; write top_out_spacers", faults)
        return TopOutSetting(_needed(said.top_out_spacers, "top_out_spacers", faults))
    _refuse(said.top_out_spacers, "top_out_spacers", "in another way", faults)
    if isinstance(sheet.mechanism, SpacerStack):
        _refuse(said.air_shaft, "air_shaft", "by travel spacers; write travel_spacers and port_position", faults)
        return StackSetting(
            _needed(said.travel_spacers, "travel_spacers", faults),
            _hole(_needed(said.port_position, "port_position", faults), sheet, faults),
        )
    for key in ("travel_spacers", "port_position"):
        _refuse(getattr(said, key), key, "by the air shaft; write air_shaft", faults)
    shaft = said.air_shaft
    if shaft is None and len(sheet.mechanism.shafts) == 1:
        return ShaftSetting(sheet.mechanism.shafts[0].travel.si)
    if shaft is None:
        faults.add(("as_found", "air_shaft"), _missing())
        return ShaftSetting(Unknown.UNTIL_OPEN)
    return ShaftSetting(shaft if isinstance(shaft, Unknown) else shaft.si)


def _refuse(value: object, key: str, how: str, faults: Faults) -> None:
    if value is not None:
        faults.add(("as_found", key), OutOfRange(NO_SUCH_SPRING, remedy=f"Its travel is set {how}."))


def _missing(unknown: Unknown = Unknown.UNTIL_OPEN) -> MissingValue:
    return MissingValue("must be given", remedy=f'Write it, or "{unknown.value}".')


def _needed(value: int | Unknown | None, key: str, faults: Faults) -> int | Unknown:
    if value is None:
        faults.add(("as_found", key), _missing())
        return Unknown.UNTIL_OPEN
    return value


def _hole(hole: int | Unknown, sheet: Sheet, faults: Faults) -> int | Unknown:
    holes = sheet.air.transfer_port.positions
    if isinstance(hole, int) and hole >= holes:
        fault = OutOfRange(
            f"must be a hole that is there, 0 to {holes - 1}",
            value=str(hole),
            remedy="Count from 0 for no spacer.",
        )
        faults.add(("as_found", "port_position"), fault)
    return hole


def _wish(shape: WishShape, sheet: Sheet, faults: Faults) -> Wish:
    check_valves(shape, sheet, path=("wish",), faults=faults)
    if shape.travel_spacers is not None and not isinstance(sheet.mechanism, SpacerStack):
        how = "top-out spacers" if isinstance(sheet.mechanism, TopOutSpacers) else "the air shaft"
        fault = OutOfRange(NO_SUCH_SPRING, remedy=f"Its travel is set by {how}; remove it.")
        faults.add(("wish", "travel_spacers"), fault)
    _check_spring_wish(shape, sheet, faults)
    return Wish(
        travel=shape.travel,
        aim=_aim(shape.aim, faults) if shape.aim else None,
        travel_spacers=shape.travel_spacers,
        volume_spacers=shape.volume_spacers,
        pressure_gauge=shape.pressure,
        negative_gauge=shape.negative_pressure,
        second_gauge=shape.second_pressure,
        coil=shape.coil,
        preload_spacers=shape.preload_spacers,
    )


def _check_spring_wish(shape: WishShape, sheet: Sheet, faults: Faults) -> None:
    """What is pinned belongs to the spring there is."""
    for key in FOREIGN_WISHES[sheet.spring.kind]:
        if getattr(shape, key) is not None:
            faults.add(
                ("wish", key), OutOfRange(NO_SUCH_SPRING, remedy=f"Its spring is {sheet.spring.called}; remove it.")
            )
    fault = None if shape.coil is None or sheet.spring.holds_air else unknown_coil(shape.coil, sheet.coil)
    if fault is not None:
        faults.add(("wish", "coil"), fault)


FOREIGN_WISHES: Final = {"air": ("coil", "preload_spacers"), "coil": ("volume_spacers", "pressure")}
"""What only the other kind of spring can be wished."""


def _aim(shape: AimShape, faults: Faults) -> Aim | None:
    if shape.kind is not None and shape.sag is None and shape.capacity is None:
        return Aim(AimKind.AS_IT_RODE)
    if shape.kind is None and shape.sag is not None and shape.capacity is None:
        quantity, sag = shape.sag
        return Aim(AimKind.SAG, **{"sag" if quantity is Quantity.LENGTH else "sag_fraction": sag.si})
    if shape.kind is None and shape.sag is None and shape.capacity is not None:
        return Aim(AimKind.CAPACITY, capacity=shape.capacity.si)
    faults.add(
        ("wish", "aim"),
        OutOfRange("must be one aim", remedy="Write as-it-rode, or one of {sag: 20 %} and {capacity: 140 J}."),
    )
    return None
