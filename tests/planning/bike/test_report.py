"""What a plan does to the bike: laws of stances, loads that agree with their springs, clearance, and makers'
answers."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sagwright.domain.bike import AxlePath, ClearancePlace, Outline
from sagwright.domain.finding import Severity
from sagwright.domain.intake import Intake, Posture, Rider
from sagwright.domain.setup import StackSetting
from sagwright.domain.stance import FIGURES, LoadHow, RiderLoad, Side, Stance, stance_difference
from sagwright.errors import OutOfRange
from sagwright.physics.load import GRAVITY
from sagwright.physics.spring import Stroke
from sagwright.planning.bike.clearance import clearance_under_test
from sagwright.planning.bike.fork_load import REAR_SAG
from sagwright.planning.bike.frame_limits import compared
from sagwright.planning.bike.geometry import stand_of
from sagwright.planning.bike.stance import sag_of, stance_of
from sagwright.planning.spring.air import state_of
from sagwright.planning.spring.cutaway import leg_inside
from sagwright.planning.spring.model import fit_of, model_of
from tests.support.finding_cases import answered, as_found, on_a_bike, plan_of
from tests.support.intakes import charge, intakes, stack_sheet, trail_bike, value
from tests.support.selections import selection_of

LAW = 1e-9
SETTLED = 2e-7  # m, to which load and sag are made to agree


def with_rider(**more: object) -> Intake:
    """The demo fork on the demo bike, with a rider of 1.78 m."""
    rider = Rider(value(80.0), value(4.0), value(0.4), height=value(1.78))
    return replace(on_a_bike(), rider=replace(rider, **more))  # type: ignore[arg-type]


def sat(intake: Intake, side: Side, who: str = "rider") -> RiderLoad:
    view = selection_of(plan_of(intake)).stance
    assert view is not None
    return next(one for one in view.rider_loads if one.side is side and one.who == who)


def stances(intake: Intake) -> dict[Side, Stance]:
    view = selection_of(plan_of(intake)).stance
    assert view is not None
    return dict(view.topped_out)


def test_before_and_after_differ_by_the_travel() -> None:
    both = stances(on_a_bike())
    change = stance_difference(both[Side.AS_FOUND], both[Side.TARGET])
    assert both[Side.AS_FOUND].axle_to_crown == pytest.approx(0.541)
    assert both[Side.TARGET].axle_to_crown == pytest.approx(0.531)
    assert math.degrees(change["head_angle"] or 0.0) == pytest.approx(0.5, abs=0.1)  # common practice, no source
    assert set(change) == set(FIGURES)


def test_points_of_a_stance_keep_the_frame_and_touch_the_ground() -> None:
    stand = stand_of(trail_bike())
    topped = stance_of(stand, 0.541)
    for front in (0.0, 0.02, 0.05):
        for rear in (0.0, 0.04, 0.14):
            stance = stance_of(stand, 0.531, sag=sag_of(stand, front=front, rear=rear))
            points, reference = stance.points, topped.points
            assert points.front_axle[1] == pytest.approx(0.372, abs=LAW)
            assert points.rear_axle == pytest.approx((0.0, 0.370), abs=LAW)
            assert points.head_top is not None
            assert reference.head_top is not None
            assert math.dist(points.bb, points.head_top) == pytest.approx(
                math.dist(reference.bb, reference.head_top), abs=LAW
            )
            assert math.dist(points.crown, points.front_axle) == pytest.approx(
                math.hypot(0.531 - front, 0.044), abs=LAW
            )


@pytest.mark.parametrize("who", ["rider", "technician"])
@pytest.mark.parametrize("side", list(Side))
def test_load_and_sag_agree(side: Side, who: str) -> None:
    """The spring, pressed slowly by the load, stands at the sag that the load was computed at."""
    intake = replace(with_rider(), technician=Rider(value(65.0), value(2.0), value(0.4), height=value(1.7)))
    plan = plan_of(intake)
    one = sat(intake, side, who)
    assert plan.target is not None
    setup = intake.as_found.setup if side is Side.AS_FOUND else plan.target.setup
    model = model_of(intake.sheet, fit_of(intake.sheet, setup), intake.workshop)
    slow = Stroke(model.spring, state_of(model, setup.charge), n=1.0)  # type: ignore[arg-type]
    assert float(slow.force(one.sag.value)) == pytest.approx(one.load.value, abs=1e-3)
    assert one.lifted < one.sag.value < one.pressed


def test_the_wheels_carry_rider_and_bike() -> None:
    one = sat(with_rider(), Side.AS_FOUND)
    assert one.front_axle is not None
    assert one.rear_axle is not None
    assert one.front_axle + one.rear_axle == pytest.approx((84.0 + 14.2) * GRAVITY, rel=LAW)
    assert one.across is not None
    sprung = one.front_axle - 3.3 * GRAVITY
    assert math.hypot(one.load.value, one.across) == pytest.approx(sprung, rel=1e-6)


def test_seated_sags_less_on_a_fork_than_standing() -> None:
    """Common practice, no source: seated reads less on a fork than standing."""
    assert sat(with_rider(posture=Posture.SEATED), Side.TARGET).sag.value < sat(with_rider(), Side.TARGET).sag.value


@pytest.mark.parametrize("posture", list(Posture))
def test_every_posture_gives_a_front_share_within_the_band(posture: Posture) -> None:
    """Band 25 to 50 %: see tests of physics for its sources."""
    one = sat(with_rider(posture=posture), Side.AS_FOUND)
    assert one.front_axle is not None
    assert 0.25 < one.front_axle / ((84.0 + 14.2) * GRAVITY) < 0.50


def test_each_load_says_which_way_it_was_got() -> None:
    given = replace(with_rider(), load=value(300.0, 10.0))
    scaled = replace(with_rider(), front_scale=value(40.0, 0.5))
    hows = [sat(one, Side.TARGET).how for one in (given, scaled, with_rider(), on_a_bike())]
    assert hows == [LoadHow.GIVEN, LoadHow.SCALE, LoadHow.POSTURE, LoadHow.SHARE]
    assert sat(scaled, Side.TARGET).front_axle == pytest.approx(40.0 * GRAVITY, rel=LAW)
    assert (sat(scaled, Side.TARGET).load.u or 0.0) < (sat(with_rider(), Side.TARGET).load.u or 0.0)


def test_closer_bushings_widen_the_band() -> None:
    intake = with_rider()
    bushings = intake.sheet.bushings
    assert bushings is not None
    close = replace(intake.sheet, bushings=replace(bushings, spacing=value(0.08)))
    wide, narrow = sat(intake, Side.TARGET), sat(replace(intake, sheet=close), Side.TARGET)
    assert narrow.friction > wide.friction > intake.sheet.friction.sliding.si
    assert narrow.pressed - narrow.lifted > wide.pressed - wide.lifted


def test_a_posted_fork_gets_differences_only() -> None:
    full = stances(on_a_bike())
    outline = Outline(value(full[Side.AS_FOUND].head_angle), value(full[Side.AS_FOUND].wheelbase))
    view = selection_of(plan_of(replace(as_found(), bike=outline))).stance
    assert view is not None
    assert view.outline is not None
    assert view.topped_out == ()
    known = stance_difference(full[Side.AS_FOUND], full[Side.TARGET])
    # the outline takes wheels alike, the bike's radii differ by 2 mm
    assert view.outline.head_angle == pytest.approx(known["head_angle"], abs=5e-5)
    assert view.outline.wheelbase == pytest.approx(known["wheelbase"], abs=5e-5)
    assert view.outline.trail is None


def test_without_bike_and_load_nothing_is_said_of_it() -> None:
    assert all(
        one.how is LoadHow.SHARE
        for one in (selection_of(plan_of(as_found())).stance or pytest.fail("none")).rider_loads
    )


def test_a_makers_answer_clears_what_it_is_about_and_nothing_else() -> None:
    cleared = plan_of(answered("frame.too-long"))
    assert not cleared.refused
    assert next(one for one in cleared.findings if one.code == "frame.too-long").severity is Severity.NOTE
    assert plan_of(answered("frame.too-short")).refused
    touching = replace(answered("clearance.contact"), bike=on_a_bike(clearance=None).bike)
    assert not plan_of(touching).refused
    contact = on_a_bike(clearance=replace(trail_bike().clearance, measured=(replace_gap(-0.001),)))  # type: ignore[type-var]
    assert plan_of(replace(contact, answers=answered("clearance.contact").answers)).refused


def replace_gap(si: float) -> object:
    room = trail_bike().clearance
    assert room is not None
    return replace(room.measured[0], gap=value(si))


def test_limits_of_one_wheel_hold_for_that_wheel() -> None:
    limits = replace(
        trail_bike().limits, forks=(*trail_bike().limits.forks, replace(trail_bike().limits.forks[0], bead_seat=0.584))
    )
    loose = replace(limits.forks[1], longest_axle_to_crown=value(0.500))
    other = on_a_bike(limits=replace(limits, forks=(limits.forks[0], loose)))
    assert not plan_of(other).refused
    same = replace(loose, bead_seat=0.622)
    assert plan_of(on_a_bike(limits=replace(limits, forks=(limits.forks[0], same)))).refused


def test_travel_in_one_chassis_leaves_the_gaps_as_they_are() -> None:
    """Common practice, no source: within one chassis the bottomed position stays."""
    room = replace(
        trail_bike().clearance,  # type: ignore[type-var]
        measured=(),
        crown_depth=value(0.004),
        arch_height=value(0.384),
        down_tube=value(0.05),
    )
    views = [
        selection_of(plan_of(replace(on_a_bike(clearance=room), wish=replace(as_found().wish, travel=value(t))))).stance
        for t in (0.14, 0.12)
    ]
    gaps = [{one.place: one.gap for one in view.clearances} for view in views if view is not None]
    assert set(gaps[0]) == set(ClearancePlace)
    assert gaps[0] == gaps[1]


def test_under_the_standards_load_what_is_left_of_travel_is_left_of_the_gap() -> None:
    intake = on_a_bike()
    plan = plan_of(intake)
    assert plan.target is not None
    left = clearance_under_test(intake, plan.target.setup, 0.009)
    soft = charge(40.0)
    model = model_of(intake.sheet, fit_of(intake.sheet, plan.target.setup), intake.workshop)
    pressed = float(Stroke(model.spring, state_of(model, soft), n=1.0).compression_under(2800.0))
    assert left == pytest.approx(0.009 + 0.14 - pressed, abs=1e-6)


def test_sags_take_their_share_of_each_forks_own_travel() -> None:
    standing, _ = compared(trail_bike(), (0.531, 0.551), sag_front=0.2, sag_rear=REAR_SAG)
    assert [one.front_sag for one in standing] == pytest.approx([0.2 * 0.14, 0.2 * 0.16], abs=LAW)
    assert standing[0].rear_sag == pytest.approx(REAR_SAG * 0.14)


def test_a_sag_that_cannot_be_is_refused() -> None:
    rigid = replace(trail_bike(), rear_travel=None)
    for bike, shares in ((trail_bike(), (20.0, 0.0)), (rigid, (0.0, 0.3))):
        with pytest.raises(OutOfRange) as caught:
            compared(bike, (0.541,), sag_front=shares[0], sag_rear=shares[1])
        assert caught.value.field in {"sag_front", "sag_rear"}
    with pytest.raises(OutOfRange, match="full compression"):
        compared(trail_bike(), (0.38,), sag_front=0.0, sag_rear=0.0)


def test_axle_paths_of_every_kind_rise_as_far() -> None:
    travel = value(0.14)
    paths = [
        AxlePath(travel),
        AxlePath(travel, (value(0.015), value(0.045))),
        AxlePath(travel, None, ((0.0, 0.0), (0.07, 0.003), (0.14, -0.002))),
    ]
    for path in paths:
        stand = stand_of(replace(trail_bike(), rear_travel=path))
        assert sag_of(stand, front=0.0, rear=0.07).rear_up == pytest.approx(0.07)


def test_the_leg_drawn_is_the_spring_computed() -> None:
    """The cutaway's lengths and volumes are those of the chambers, at every compression."""
    setup = replace(as_found().as_found.setup, setting=StackSetting(2, 2))
    sheet = stack_sheet()
    for x in (0.0, 0.05, 0.13):
        leg = leg_inside(sheet, setup, compression=x)
        bore, shaft = (math.pi / 4.0 * each**2 for each in (leg.bore, leg.shaft))
        solid = 2 * leg.spacer_height * (math.pi / 4.0 * leg.spacer_outside**2 - shaft)
        positive = bore * leg.positive_length - leg.volume_spacers * leg.volume_spacer - leg.positive_oil
        negative = (bore - shaft) * leg.negative_length - solid - sheet.air.negative_oil.si
        assert leg.positive_volume == pytest.approx(positive, rel=1e-12)
        assert leg.negative_volume == pytest.approx(negative, rel=1e-12)
        assert leg.transfer_port_opens == pytest.approx(sheet.air.transfer_port.opens_at.si)


@st.composite
def ridden(draw: st.DrawFn) -> Intake:
    """A random intake on the demo bike, with a rider of any height in any posture, who is the technician too."""
    height, posture = value(draw(st.floats(1.2, 2.2))), draw(st.sampled_from(list(Posture)))
    rider = Rider(value(draw(st.floats(20.0, 140.0))), value(4.0), value(0.4), height, posture)
    return replace(draw(intakes()), load=None, rider=rider, technician=rider, bike=trail_bike())


@pytest.mark.slow
@pytest.mark.law
@given(ridden())
def test_whatever_is_found_the_bike_can_be_stood_on_its_wheels(intake: Intake) -> None:
    view = selection_of(plan_of(intake)).stance
    assert view is not None
    for one in view.rider_loads:
        assert 0.0 <= one.lifted <= one.sag.value + SETTLED
        assert one.sag.value <= one.pressed + SETTLED
        assert one.pressed <= one.travel
    for _, stance in (*view.topped_out, *view.sagged):
        assert stance.points.front_axle[1] == pytest.approx(stance.front_radius, abs=LAW)
