"""An intake for every finding: the one that brings it out."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from sagwright.domain.bike import ClearancePlace, ForkLimit, FrameLimits, MakerAnswer, MeasuredGap, TyreClearance
from sagwright.domain.intake import Aim, AimKind, Intake, Posture, Rider
from sagwright.domain.item import Act, ThreadState, Torque
from sagwright.domain.plan import Plan
from sagwright.domain.setup import ShaftSetting, StackSetting
from sagwright.domain.sheet import BushingFit, SpacerStack
from sagwright.domain.task import Task, TaskKind
from sagwright.domain.value import Unknown, Value
from sagwright.planning.plan import make_plan
from tests.support.coil_intakes import COIL_CASES
from tests.support.intakes import PSI, charge, intake_of, shaft_sheet, shipped, stack_sheet, trail_bike, value


def as_found(**more: object) -> Intake:
    """The demo fork at 150 mm, ridden at 78 psi, to become 140 mm."""
    given = {"chassis": "mid", "travel": 0.14, "charge": charge(78.0)} | more
    return intake_of(stack_sheet(), StackSetting(0, 0), **given)  # type: ignore[arg-type]


def two_stage(**own: Value) -> Intake:
    """The demo fork with a second chamber, its own valve read or not."""
    held = replace(charge(65.0), **own)  # type: ignore[arg-type]
    return intake_of(shipped("specimen/s38"), ShaftSetting(0.17), chassis="standard", travel=0.16, charge=held)


def wished(intake: Intake, **wish: object) -> Intake:
    return replace(intake, wish=replace(intake.wish, **wish))  # type: ignore[arg-type]


def found(intake: Intake, **setup: object) -> Intake:
    return replace(
        intake,
        as_found=replace(intake.as_found, setup=replace(intake.as_found.setup, **setup)),  # type: ignore[arg-type]
    )


def without_torque(intake: Intake) -> Intake:
    """The same, of a sheet that does not know how tight the air cap goes."""
    items = tuple(
        replace(
            item,
            works=tuple(
                (act, replace(work, torque=Torque(None, ThreadState.DRY)) if act is Act.ON and work.torque else work)
                for act, work in item.works
            ),
        )
        for item in intake.sheet.items
    )
    return replace(intake, sheet=replace(intake.sheet, items=items))


def stack() -> SpacerStack:
    """How the demo fork's travel is set."""
    mechanism = stack_sheet().mechanism
    assert isinstance(mechanism, SpacerStack)
    return mechanism


def on_a_bike(**more: object) -> Intake:
    """The demo fork on the demo bike, with something about the bike otherwise."""
    return replace(as_found(), bike=replace(trail_bike(), **more))  # type: ignore[arg-type]


def limited(**limit: float) -> FrameLimits:
    return FrameLimits((ForkLimit(**{name: value(si) for name, si in limit.items()}),))  # type: ignore[arg-type]


def gap(si: float) -> TyreClearance:
    return TyreClearance(value(0.004), (MeasuredGap(ClearancePlace.CROWN, value(si)),))


def answered(code: str) -> Intake:
    """A fork too long for its frame, and what the frame's maker says to it."""
    too_long = on_a_bike(limits=limited(longest_axle_to_crown=0.520))
    return replace(too_long, answers=(MakerAnswer(code, "frame maker", "2026-03-02", "Yes."),))


BUSHED = (value(0.13), value(0.25), value(0.02), value(0.02))


def too_long() -> Intake:
    """A fork measured at 170 mm whose chassis ends at 150 mm, and nobody knows why."""
    open_unknown = found(as_found(), setting=StackSetting(Unknown.UNTIL_OPEN, Unknown.UNTIL_OPEN)).as_found
    return replace(as_found(charge=Unknown.NOT_MEASURED), as_found=replace(open_unknown, travel=value(0.17)))


CASES: dict[str, Intake] = {
    "travel.not-permitted": as_found(travel=0.17),
    "travel.out-of-reach": replace(as_found(), sheet=replace(stack_sheet(), mechanism=replace(stack(), most=0))),
    "travel.already": as_found(travel=0.15),
    "target.travel-spacers-contradict": wished(as_found(), travel_spacers=2),
    "target.travel-spacers-too-many": wished(as_found(), travel_spacers=5),
    "target.volume-spacers-too-many": wished(as_found(), volume_spacers=7),
    "target.pressure-over": wished(as_found(), pressure_gauge=value(131 * PSI)),
    "target.pressure-under": wished(as_found(), pressure_gauge=value(39 * PSI)),
    "target.own-pressure-outside": wished(two_stage(second_gauge=value(140 * PSI)), second_gauge=value(230 * PSI)),
    "found.own-pressure-outside": two_stage(second_gauge=value(240 * PSI)),
    "found.own-pressure-unread": two_stage(),
    "found.travel-spacers-too-many": found(as_found(), setting=StackSetting(5, Unknown.UNTIL_OPEN)),
    "found.volume-spacers-too-many": as_found(volume_spacers=7),
    "found.travel-not-permitted": replace(
        as_found(charge=Unknown.NOT_MEASURED),
        as_found=replace(
            found(as_found(), setting=StackSetting(Unknown.UNTIL_OPEN, Unknown.UNTIL_OPEN)).as_found, travel=value(0.17)
        ),
    ),
    "found.overlap-short": replace(
        too_long(), sheet=replace(stack_sheet(), bushings=BushingFit(*BUSHED, value(0.012), value(0.008)))
    ),
    "found.damper-short": replace(
        too_long(), sheet=replace(stack_sheet(), damper=replace(stack_sheet().damper, stroke=value(0.155)))
    ),
    "found.travel-contradicts": replace(as_found(), as_found=replace(as_found().as_found, travel=value(0.14))),
    "found.pressure-over": as_found(charge=charge(140.0)),
    "found.pressure-under": as_found(charge=charge(20.0)),
    "found.transfer-port-behind": found(as_found(), setting=StackSetting(2, 0)),
    "found.transfer-port-ahead": found(as_found(), setting=StackSetting(0, 2)),
    "found.not-cycled": as_found(charge=charge(78.0, cycled=False)),
    "found.unknown-until-open": as_found(volume_spacers=Unknown.UNTIL_OPEN),
    "charge.age-unknown": replace(as_found(), as_found=replace(as_found().as_found, last_set=None)),
    "charge.stale": replace(as_found(), as_found=replace(as_found().as_found, last_set=value(90 * 86_400.0))),
    "aim.as-it-rode-not-offered": as_found(charge=Unknown.NOT_MEASURED),
    "aim.as-it-rode-not-allowed": wished(as_found(charge=Unknown.NOT_MEASURED), aim=Aim(AimKind.AS_IT_RODE)),
    "aim.out-of-reach": wished(as_found(), aim=Aim(AimKind.SAG, sag_fraction=0.04)),
    "load.share": as_found(),
    "load.assumed": replace(as_found(), rider=None),
    "as-found-pressure.none": as_found(charge=Unknown.NOT_MEASURED),
    "length.changes": as_found(),
    "bike.contradicts": on_a_bike(geometry=replace(trail_bike().geometry, wheelbase=value(1.26))),
    "bike.radius-estimated": on_a_bike(front=replace(trail_bike().front, radius=None)),
    "frame.too-long": on_a_bike(limits=limited(longest_axle_to_crown=0.520)),
    "frame.too-short": on_a_bike(limits=limited(shortest_axle_to_crown=0.541)),
    "frame.too-much-travel": on_a_bike(limits=limited(longest_travel=0.130)),
    "frame.too-little-travel": on_a_bike(limits=limited(shortest_travel=0.150)),
    "frame.unknown": on_a_bike(limits=FrameLimits()),
    "frame.system-mass": on_a_bike(limits=replace(limited(longest_travel=0.2), system_mass=value(90.0))),
    "frame.rotor": on_a_bike(limits=replace(limited(longest_travel=0.2), largest_rotor=value(0.18))),
    "maker.asked": answered("frame.too-long"),
    "clearance.contact": on_a_bike(clearance=gap(-0.001)),
    "clearance.small": on_a_bike(clearance=gap(0.0045)),
    "clearance.unknown": on_a_bike(clearance=None),
    "clearance.unchanged": on_a_bike(),
    "clearance.under-test": on_a_bike(),
    "stance.other-changes": on_a_bike(),
    "load.posture": replace(on_a_bike(), rider=Rider(value(80.0), value(4.0), value(0.4), height=value(1.78))),
    "load.posture-unfit": replace(
        on_a_bike(), rider=Rider(value(80.0), value(4.0), value(0.4), value(1.3), Posture.SEATED)
    ),
    "load.scale": replace(on_a_bike(), front_scale=value(41.0, 0.5)),
    "task.contradicts": replace(
        wished(as_found(), pressure_gauge=value(80 * PSI)), tasks=(Task(TaskKind.SET_PRESSURE, 70 * PSI),)
    ),
    "task.included": replace(as_found(), tasks=(Task(TaskKind.LOWER_LEGS),)),
    "torque.unknown": without_torque(as_found()),
    "values.typical": intake_of(shaft_sheet(), ShaftSetting(0.14), chassis="standard", travel=0.12),
    **COIL_CASES,
}


def plan_of(intake: Intake) -> Plan:
    return make_plan(intake, program="test")


@cache
def plan_with(code: str) -> Plan:
    """The plan of the intake that brings out a finding, made once."""
    return plan_of(CASES[code])
