"""Room between front tyre and fork or frame at full compression."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from sagwright.domain import measuring
from sagwright.domain.bike import Bike, ClearancePlace, MeasuredGap, TyreClearance
from sagwright.domain.finding import Finding
from sagwright.domain.intake import Intake
from sagwright.domain.setup import Setup
from sagwright.domain.stance import Clearance, StanceView
from sagwright.domain.value import Figure, Measured, Quantity, Value
from sagwright.errors import NoSolution
from sagwright.physics.clearance import (
    Gap,
    before_the_end,
    gap_to_arch,
    gap_to_crown,
    gap_to_tube,
    with_other_chassis,
    with_other_tyre,
)
from sagwright.physics.frame import Fork
from sagwright.physics.stance import front_axle
from sagwright.planning.bike.geometry import Stand, radius_of
from sagwright.planning.checks.findings import finding, length_figure
from sagwright.planning.spring.behaviour import SLOW
from sagwright.planning.spring.kind import spring_kind
from sagwright.planning.spring.model import sprung, stroke_of

TEST_FORCE: Final = 2800.0
"""On the wheel toward the crown, parallel to the steerer, 1 min, lowest permitted pressure [N]: the tyre-clearance
test of [iso-4210-6]."""


def bottomed_of(intake: Intake, stand: Stand, chassis: str) -> float:
    """Axle to crown at full compression [m]: of a chassis of the sheet, or of the printed fork where it says none."""
    found = intake.sheet.chassis_named(chassis)
    if found.axle_to_crown is None:
        return stand.bottomed()
    return found.axle_to_crown.si - found.longest.si


def clearances(intake: Intake, stand: Stand) -> tuple[Clearance, ...]:
    """Every gap that was measured, and from dimensions those that were not."""
    room = stand.bike.clearance
    if room is None:
        return ()
    bottomed = bottomed_of(intake, stand, intake.unit.chassis)
    measured = {one.place: _measured(one, intake, stand, bottomed) for one in room.measured}
    drawn = {one.place: one for one in _drawn(room, stand, bottomed) if one.place not in measured}
    both = measured | drawn
    return tuple(_without_mudguard(both[place], room.mudguard) for place in ClearancePlace if place in both)


def _measured(one: MeasuredGap, intake: Intake, stand: Stand, bottomed: float) -> Clearance:
    tyre = radius_of(stand.bike.front)
    gap = Gap(one.gap.si, one.gap.u or measuring.RULE.u)
    if one.tyre_radius is not None:
        both = (one.tyre_radius.u or 0.0, tyre.u or 0.0)
        spread = (both[0] ** 2 + both[1] ** 2) ** 0.5
        gap = with_other_tyre(gap, measured_radius=one.tyre_radius.si, radius=tyre.si, radius_u=spread)
    names = [chassis.name for chassis in intake.sheet.chassis]
    if one.chassis in names and one.place is not ClearancePlace.ARCH:
        before = bottomed_of(intake, stand, str(one.chassis))
        gap = with_other_chassis(gap, measured_bottomed=before, bottomed=bottomed)
    return Clearance(one.place, Measured(float(gap.gap), float(gap.u)), measured=True)


def _drawn(room: TyreClearance, stand: Stand, bottomed: float) -> Iterator[Clearance]:
    """Gaps from dimensions."""
    tyre = radius_of(stand.bike.front)
    u = ((tyre.u or 0.0) ** 2 + measuring.DRAWN_GAP.u**2) ** 0.5
    offset = float(stand.fork.offset)
    if room.crown_depth is not None:
        lead = 0.0 if room.crown_lead is None else room.crown_lead.si
        gap = gap_to_crown(
            bottomed, offset=offset, crown_depth=room.crown_depth.si, crown_lead=lead, tyre_radius=tyre.si
        )
        yield Clearance(ClearancePlace.CROWN, Measured(float(gap), u), measured=False)
    if room.arch_height is not None:
        gap = gap_to_arch(room.arch_height.si, tyre_radius=tyre.si)
        yield Clearance(ClearancePlace.ARCH, Measured(float(gap), u), measured=False)
    if room.down_tube is not None:
        frame = stand.frame
        gap = gap_to_tube(
            front_axle(frame, Fork(bottomed, offset)),
            ends=((frame.bb_x, frame.bb_y), (frame.crown_x, frame.crown_y)),
            tube_radius=0.5 * room.down_tube.si,
            tyre_radius=tyre.si,
        )
        yield Clearance(ClearancePlace.DOWN_TUBE, Measured(float(gap), u), measured=False)


def _without_mudguard(one: Clearance, mudguard: Value | None) -> Clearance:
    if mudguard is None or one.place is ClearancePlace.DOWN_TUBE:
        return one
    return replace(one, gap=Measured(one.gap.value - mudguard.si, one.gap.u))


def clearance_under_test(intake: Intake, setup: Setup, gap: float) -> float | None:
    """Gap to the crown under the standard's load, at the lowest permitted pressures or on the coil as it is [m].

    None if it does not settle.
    """
    softest = spring_kind(intake.sheet).softest(intake.sheet, setup, intake.workshop)
    made = sprung(intake.sheet, softest, intake.workshop)
    if made is None:
        return None
    model, state = made
    try:
        slow = stroke_of(model, state, n=SLOW)
        pressed = float(slow.compression_under(TEST_FORCE))
    except NoSolution:
        return None
    return float(before_the_end(gap, travel=float(model.spring.travel), compression=pressed))


def clearance_findings(found: tuple[Clearance, ...], bike: Bike, chassis: str) -> Iterator[Finding]:
    """Contact refuses, less than the margin asks; travel alone changes none of it."""
    if bike.clearance is None or not found:
        yield finding("clearance.unknown", "bike.clearance", (("bike", bike.name),))
    margin = 0.0 if bike.clearance is None else bike.clearance.margin.si
    for one in found:
        words = (("place", one.place.value), ("how", "measured" if one.measured else "from dimensions"))
        figures = {"gap": one.gap.of(Quantity.LENGTH), "margin": length_figure(margin)}
        if one.gap.value <= 0.0:
            yield finding("clearance.contact", "bike.clearance", words, **figures)
        elif one.gap.value - measuring.COVERAGE * (one.gap.u or 0.0) < margin:
            yield finding("clearance.small", "bike.clearance", words, **figures)
    if found:
        yield finding("clearance.unchanged", "wish.travel", (("chassis", chassis),))


def about_test(view: StanceView | None, spring: str) -> Iterator[Finding]:
    """What is left between tyre and crown under the standard's load; `spring` is how the spring stands in it."""
    for one in () if view is None else view.clearances:
        if one.under_test is not None:
            numbers = {"left": length_figure(one.under_test), "force": Figure(TEST_FORCE, Quantity.FORCE)}
            words = (("place", one.place.value), ("spring", spring))
            yield finding("clearance.under-test", "bike.clearance", words, **numbers)
