"""Every finding has an intake that brings it out, with its severity and its numbers."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sagwright.domain.bike import FrameLimits, Limit, MakerAnswer, MeasuredGap, Place, Room
from sagwright.domain.build import LegState, ShaftSetting, StackSetting
from sagwright.domain.finding import Finding, Severity
from sagwright.domain.intake import Aim, AimKind, Intake, Posture, Rider
from sagwright.domain.item import Act, ThreadState, Torque
from sagwright.domain.plan import Plan
from sagwright.domain.sheet import Bushings, SpacerStack
from sagwright.domain.task import Task, TaskKind
from sagwright.domain.value import Unknown, Value
from sagwright.errors import MissingValue, OutOfRange
from sagwright.planning.checks.findings import FINDING_CODES
from sagwright.planning.plan import make_plan
from tests.planning.coil_units import COIL_CASES
from tests.planning.units import PSI, charge, intake_of, shaft_sheet, shipped, stack_sheet, trail_bike, value


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


def found(intake: Intake, **build: object) -> Intake:
    return replace(
        intake,
        as_found=replace(intake.as_found, build=replace(intake.as_found.build, **build)),  # type: ignore[arg-type]
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
    return FrameLimits((Limit(**{name: value(si) for name, si in limit.items()}),))  # type: ignore[arg-type]


def gap(si: float) -> Room:
    return Room(value(0.004), (MeasuredGap(Place.CROWN, value(si)),))


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
    "target.own-charge-outside": wished(two_stage(second_gauge=value(140 * PSI)), second_gauge=value(230 * PSI)),
    "found.own-charge-outside": two_stage(second_gauge=value(240 * PSI)),
    "found.own-charge-unread": two_stage(),
    "found.travel-spacers-too-many": found(as_found(), setting=StackSetting(5, Unknown.UNTIL_OPEN)),
    "found.volume-spacers-too-many": as_found(volume_spacers=7),
    "found.travel-not-permitted": replace(
        as_found(charge=Unknown.NOT_MEASURED),
        as_found=replace(
            found(as_found(), setting=StackSetting(Unknown.UNTIL_OPEN, Unknown.UNTIL_OPEN)).as_found, travel=value(0.17)
        ),
    ),
    "found.overlap-short": replace(
        too_long(), sheet=replace(stack_sheet(), bushings=Bushings(*BUSHED, value(0.012), value(0.008)))
    ),
    "found.damper-short": replace(
        too_long(), sheet=replace(stack_sheet(), damper=replace(stack_sheet().damper, stroke=value(0.155)))
    ),
    "found.travel-contradicts": replace(as_found(), as_found=replace(as_found().as_found, travel=value(0.14))),
    "found.pressure-over": as_found(charge=charge(140.0)),
    "found.pressure-under": as_found(charge=charge(20.0)),
    "found.equaliser-behind": found(as_found(), setting=StackSetting(2, 0)),
    "found.equaliser-ahead": found(as_found(), setting=StackSetting(0, 2)),
    "found.not-cycled": as_found(charge=charge(78.0, cycled=False)),
    "found.unknown-until-open": as_found(volume_spacers=Unknown.UNTIL_OPEN),
    "charge.age-unknown": replace(as_found(), as_found=replace(as_found().as_found, last_set=None)),
    "charge.stale": replace(as_found(), as_found=replace(as_found().as_found, last_set=value(90 * 86_400.0))),
    "aim.as-it-rode-not-offered": as_found(charge=Unknown.NOT_MEASURED),
    "aim.as-it-rode-refused": wished(as_found(charge=Unknown.NOT_MEASURED), aim=Aim(AimKind.AS_IT_RODE)),
    "aim.out-of-reach": wished(as_found(), aim=Aim(AimKind.SAG, sag_fraction=0.04)),
    "load.share": as_found(),
    "load.assumed": replace(as_found(), rider=None),
    "same-pressure.none": as_found(charge=Unknown.NOT_MEASURED),
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
    "clearance.contact": on_a_bike(room=gap(-0.001)),
    "clearance.small": on_a_bike(room=gap(0.0045)),
    "clearance.unknown": on_a_bike(room=None),
    "clearance.unchanged": on_a_bike(),
    "clearance.under-test": on_a_bike(),
    "stance.also-changes": on_a_bike(),
    "load.posture": replace(on_a_bike(), rider=Rider(value(80.0), value(4.0), value(0.4), height=value(1.78))),
    "load.posture-unfit": replace(
        on_a_bike(), rider=Rider(value(80.0), value(4.0), value(0.4), value(1.3), Posture.SEATED)
    ),
    "load.scale": replace(on_a_bike(), front_scale=value(41.0, 0.5)),
    "task.contradicts": replace(
        wished(as_found(), pressure_gauge=value(80 * PSI)), tasks=(Task(TaskKind.SET_PRESSURE, 70 * PSI),)
    ),
    "task.within": replace(as_found(), tasks=(Task(TaskKind.LOWER_LEGS),)),
    "torque.unknown": without_torque(as_found()),
    "values.typical": intake_of(shaft_sheet(), ShaftSetting(0.14), chassis="standard", travel=0.12),
    **COIL_CASES,
}


def plan_of(intake: Intake) -> Plan:
    return make_plan(intake, program="test")


def the(code: str, plan: Plan) -> Finding:
    return next(one for one in plan.findings if one.code == code)


@pytest.mark.parametrize("code", FINDING_CODES)
def test_every_finding_can_be_brought_out(code: str) -> None:
    plan = plan_of(CASES[code])
    assert the(code, plan).severity is FINDING_CODES[code]
    if FINDING_CODES[code] is Severity.REFUSE:
        assert plan.refused
        assert plan.target is None
        assert plan.steps == ()
        assert plan.changes == ()


def test_a_plain_intake_brings_only_what_everyone_is_told() -> None:
    assert {one.code for one in plan_of(as_found()).findings} == {"load.share", "length.changes"}


def test_as_found_is_never_refused_however_wrong() -> None:
    for code in (code for code in FINDING_CODES if code.startswith("found.")):
        assert not plan_of(CASES[code]).refused, code


def test_findings_that_refuse_come_first() -> None:
    order = [list(Severity).index(one.severity) for one in plan_of(CASES["target.pressure-over"]).findings]
    assert order == sorted(order)


def test_a_refused_travel_names_the_nearest_permitted() -> None:
    figures = dict(the("travel.not-permitted", plan_of(as_found(travel=0.145))).figures)
    assert (figures["below"].value, figures["above"].value) == pytest.approx((0.14, 0.15))
    assert (figures["low"].value, figures["high"].value) == pytest.approx((0.11, 0.15))


def test_an_equaliser_behind_says_what_it_takes_to_start_it() -> None:
    figures = dict(the("found.equaliser-behind", plan_of(CASES["found.equaliser-behind"])).figures)
    assert 400 < figures["breakaway"].value < 700
    assert figures["rests"].value == 0.0


def test_an_equaliser_ahead_says_where_the_unit_rests() -> None:
    figures = dict(the("found.equaliser-ahead", plan_of(CASES["found.equaliser-ahead"])).figures)
    assert 0.012 < figures["rests"].value < 0.02


@pytest.mark.parametrize(
    ("intake", "why"),
    [
        (as_found(charge=Unknown.NOT_MEASURED), "pressure-unknown"),
        (replace(as_found(), as_found=replace(as_found().as_found, leaked=True)), "leaked"),
        (CASES["found.equaliser-behind"], "equaliser-wrong"),
        (CASES["found.not-cycled"], "not-cycled"),
    ],
)
def test_how_it_rode_is_not_offered_and_says_why(intake: Intake, why: str) -> None:
    plan = plan_of(intake)
    assert dict(the("aim.as-it-rode-not-offered", plan).words)["why"] == why
    assert plan.spring.aim == Aim(AimKind.SAG, sag_fraction=0.2)
    assert plan.target is not None
    assert plan.target.behaviour.sag_fraction == pytest.approx(0.2, abs=1e-6)


def test_nothing_that_says_what_the_fork_carries_is_an_input_error() -> None:
    nothing = replace(as_found(charge=Unknown.NOT_MEASURED), rider=None)
    with pytest.raises(MissingValue, match="rider must be given when the pressure as found is not known") as caught:
        plan_of(nothing)
    assert "Write rider with mass and kit" in caught.value.remedy


def test_a_build_that_cannot_exist_is_an_input_error() -> None:
    with pytest.raises(OutOfRange, match="positive chamber must keep a volume"):
        plan_of(as_found(volume_spacers=15))
    with pytest.raises(OutOfRange, match="equaliser_hole must be a hole between 0 and 4"):
        plan_of(found(as_found(), setting=StackSetting(0, 9)))


def test_too_much_bath_oil_as_found_is_computed() -> None:
    much = found(as_found(), legs=(LegState("damper", 60e-6),))
    more = plan_of(much).spring.as_found[0].capacity
    assert more > plan_of(as_found()).spring.as_found[0].capacity * 1.02


def test_a_load_that_is_given_is_taken_as_it_is() -> None:
    load = plan_of(replace(as_found(), load=Value(300.0, 5.0))).spring.load
    assert load is not None
    assert (load.force, load.u) == (300.0, 5.0)


def test_a_load_by_share_is_mass_times_share() -> None:
    # 84 kg × 9.80665 m/s² × 0.40, by hand.
    load = plan_of(as_found()).spring.load
    assert load is not None
    assert load.force == pytest.approx(329.50344)
    assert load.u == pytest.approx(84 * 9.80665 * 0.05)
