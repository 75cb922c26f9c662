"""Random resolved sheets, setups (wrong ones too) and intakes, for the laws of planning."""

from __future__ import annotations

import pathlib
from dataclasses import replace
from functools import cache

from hypothesis import strategies as st

from sagwright.domain.air_spring import AirSpring
from sagwright.domain.bike import Bike
from sagwright.domain.intake import Aim, AimKind, AsFound, Intake, Rider, UnitIdentity, Wish
from sagwright.domain.item import ChargeStage
from sagwright.domain.setup import Charge, Setting, Setup, ShaftSetting, StackSetting
from sagwright.domain.sheet import ChargingOrder, Chassis, Shaft, ShaftPerTravel, Sheet, SpacerStack
from sagwright.domain.value import Unknown, Value
from sagwright.formats.bike.load import load_bike
from sagwright.formats.sheet.load import load_sheet

PSI = 6894.757293168


@cache
def shipped(name: str) -> Sheet:
    """A demo sheet, loaded once."""
    return load_sheet(name)


@cache
def trail_bike() -> Bike:
    """The demo bike, loaded once."""
    return load_bike(pathlib.Path(__file__).parents[2] / "examples" / "bikes" / "trail.yaml")


def stack_sheet() -> Sheet:
    """The demo fork with a spacer stack."""
    return shipped("specimen/t35")


def shaft_sheet() -> Sheet:
    """The demo fork with one shaft per travel."""
    return shipped("specimen/p34")


def value(si: float, u: float | None = None) -> Value:
    """A value without a story."""
    return Value(si, u)


def intake_of(
    sheet: Sheet,
    setting: Setting,
    *,
    chassis: str,
    travel: float,
    volume_spacers: int | Unknown = 1,
    charge: Charge | Unknown = Unknown.NOT_MEASURED,
    **more: object,
) -> Intake:
    """An intake with an 80 kg rider unless told otherwise."""
    setup = Setup(chassis, setting, volume_spacers, charge)
    intake = Intake(
        name="test",
        sheet=sheet,
        unit=UnitIdentity("0", chassis),
        as_found=AsFound(setup, Unknown.NOT_MEASURED, last_set=value(86_400.0)),
        wish=Wish(value(travel)),
        rider=Rider(value(80.0), value(4.0), value(0.4, 0.05)),
    )
    return replace(intake, **more)  # type: ignore[arg-type]


def charge(psi: float, **more: object) -> Charge:
    """A charge by its gauge pressure in psi."""
    return replace(Charge(value(psi * PSI)), **more)  # type: ignore[arg-type]


@st.composite
def sheets(draw: st.DrawFn) -> Sheet:
    """A demo sheet with its sizes, limits and charging rule drawn anew."""
    base = draw(st.sampled_from([stack_sheet(), shaft_sheet()]))
    before = draw(st.sampled_from([None, ChargeStage.ASSEMBLY, ChargeStage.RIDING]))
    holding = value(draw(st.floats(20, 50)) * PSI) if before is ChargeStage.ASSEMBLY else None
    spring = replace(
        base.air,
        bore=value(draw(st.floats(0.029, 0.034))),
        shaft=value(draw(st.floats(0.008, 0.012))),
        negative_length=value(draw(st.floats(0.035, 0.08))),
        volume_spacer=value(draw(st.floats(4e-6, 8e-6))),
    )
    sheet = replace(base, spring=spring, charging=ChargingOrder(before, holding, draw(st.integers(3, 15))))
    if isinstance(base.mechanism, SpacerStack):
        return _stacked(draw, sheet, base.mechanism, spring)
    return _with_shafts(draw, sheet, spring)


def _stacked(draw: st.DrawFn, sheet: Sheet, mechanism: SpacerStack, spring: AirSpring) -> Sheet:
    most, height = draw(st.integers(2, 6)), draw(st.sampled_from([0.005, 0.01]))
    longest = draw(st.integers(12, 18)) * 0.01
    steps = draw(st.integers(1, most))
    travels = tuple(round(longest - n * height, 6) for n in range(steps, -1, -1))
    spring = replace(
        spring,
        positive_length=value(draw(st.floats(0.08, 0.11))),
        transfer_port=replace(spring.transfer_port, positions=most + 1),
    )
    return replace(
        sheet,
        spring=spring,
        mechanism=replace(mechanism, height=value(height), most=most),
        chassis=(Chassis("one", value(longest), travels),),
    )


def _with_shafts(draw: st.DrawFn, sheet: Sheet, spring: AirSpring) -> Sheet:
    travels = tuple(sorted(draw(st.sets(st.sampled_from([0.1, 0.11, 0.12, 0.13, 0.14]), min_size=2))))
    shafts = tuple(Shaft(value(travel), draw(st.integers(0, 3))) for travel in travels)
    return replace(
        sheet,
        spring=replace(spring, positive_length=value(draw(st.floats(0.22, 0.26)))),
        mechanism=ShaftPerTravel(shafts),
        chassis=(Chassis("one", value(travels[-1]), travels),),
    )


@st.composite
def settings_in(draw: st.DrawFn, sheet: Sheet, *, wrong: bool = True, unknown: bool = True) -> Setting:
    """What may set the travel in a unit of a sheet, right, wrong or unseen."""
    if isinstance(sheet.mechanism, SpacerStack):
        fitting = round((sheet.chassis[0].longest.si - sheet.chassis[0].travels[0]) / sheet.mechanism.height.si)
        spacers = draw(st.integers(0, sheet.mechanism.most if wrong else fitting))
        hole = draw(st.integers(0, sheet.air.transfer_port.positions - 1)) if wrong else spacers
        setting = StackSetting(spacers, hole)
        if unknown and draw(st.booleans()):
            setting = replace(setting, port_position=Unknown.UNTIL_OPEN)
        if unknown and draw(st.booleans()):
            setting = replace(setting, travel_spacers=Unknown.UNTIL_OPEN)
        return setting
    travel = draw(st.sampled_from(sheet.chassis[0].travels))
    return ShaftSetting(Unknown.UNTIL_OPEN if unknown and draw(st.booleans()) else travel)


@st.composite
def intakes(draw: st.DrawFn, *, wrong: bool = True, unknown: bool = True) -> Intake:
    """An intake of a random sheet: as found any state that can exist, the wish one that is permitted."""
    sheet = draw(sheets())
    setting = draw(settings_in(sheet, wrong=wrong, unknown=unknown))
    found: Charge | Unknown = charge(draw(st.floats(40, 120)), cycled=draw(st.booleans()) if wrong else True)
    if unknown and draw(st.booleans()):
        found = Unknown.NOT_MEASURED
    aims = [None, Aim(AimKind.SAG, sag_fraction=draw(st.floats(0.1, 0.35))), Aim(AimKind.CAPACITY, capacity=120.0)]
    intake = intake_of(
        sheet,
        setting,
        chassis="one",
        travel=draw(st.sampled_from(sheet.chassis[0].travels)),
        volume_spacers=Unknown.UNTIL_OPEN if unknown and draw(st.booleans()) else draw(st.integers(0, 2)),
        charge=found,
        load=value(draw(st.floats(150, 500)), 10.0),
    )
    return replace(
        intake,
        as_found=replace(intake.as_found, leaked=draw(st.booleans()) if wrong else False),
        wish=replace(intake.wish, aim=draw(st.sampled_from(aims))),
    )
