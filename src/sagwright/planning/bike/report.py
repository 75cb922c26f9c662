"""What a plan does to the bike: stances, loads, clearance, and what the frame permits."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import TypeAlias

from sagwright.domain.behaviour import Option
from sagwright.domain.bike import Bike, ClearancePlace, Outline
from sagwright.domain.finding import Finding
from sagwright.domain.intake import Intake, Rider
from sagwright.domain.setup import Setup
from sagwright.domain.sheet import BushingFit
from sagwright.domain.stance import Clearance, Load, LoadHow, RiderLoad, Side, StanceView
from sagwright.domain.value import Measured
from sagwright.physics import load as physics
from sagwright.physics.spring import Stroke
from sagwright.planning.bike.clearance import bottomed_of, clearance_findings, clearance_under_test, clearances
from sagwright.planning.bike.fork_load import REAR_SAG, LoadSplit, fork_loads_at, rear_rise
from sagwright.planning.bike.frame_limits import frame_findings, load_findings
from sagwright.planning.bike.geometry import Stand, bike_contradictions, estimates, stand_of
from sagwright.planning.bike.stance import outline_change, sag_of, stance_of
from sagwright.planning.checks.findings import finding, length_figure
from sagwright.planning.spring.behaviour import SLOW, sag_band
from sagwright.planning.spring.model import sprung, stroke_of
from sagwright.planning.spring.parts import same_setup
from sagwright.planning.spring.setups import found_travel

Loads: TypeAlias = Callable[[float], LoadSplit]


@dataclass(frozen=True, slots=True)
class Sprung:
    """One charged setup: its spring pressed slowly, and what holds it by friction [N]."""

    side: Side
    travel: float
    slow: Stroke
    sliding: float
    bushings: BushingFit | None

    def sag(self, load: float) -> float:
        """Compression under a load along the fork, friction left out [m]."""
        return float(self.slow.compression_under(max(load, 0.0)))

    def friction(self, fork: physics.ForkLoad | None) -> float:
        """Half the gap between pressing and lifting under a load: sliding, and what bending adds [N]."""
        if fork is None or self.bushings is None:
            return self.sliding
        where = self.bushings
        leg = physics.BushingGeometry(where.spacing.si, where.to_axle.si, where.lead.si, where.coefficient.si)
        return self.sliding + float(physics.bushing_friction(fork, leg))


def about_bike(intake: Intake) -> Iterator[Finding]:
    """The findings about the bike before anything is chosen."""
    bike = intake.bike
    if not isinstance(bike, Bike):
        return
    stand = stand_of(bike)
    yield from bike_contradictions(bike)
    yield from estimates(bike)
    travel = intake.wish.travel.si
    bottomed = bottomed_of(intake, stand, intake.unit.chassis)
    yield from frame_findings(bike, axle_to_crown=bottomed + travel, travel=travel)
    yield from load_findings(bike, intake)
    yield from clearance_findings(clearances(intake, stand), bike, intake.unit.chassis)
    found = found_travel(intake)
    if found is not None and not same_setup(found, travel):
        yield finding("stance.other-changes", "wish.travel", change=length_figure(travel - found))


def sprung_of(intake: Intake, side: Side, setup: Setup) -> Sprung | None:
    """A setup's spring; None while its charge or coil is not known."""
    made = sprung(intake.sheet, setup, intake.workshop)
    if made is None:
        return None
    model, state = made
    slow = stroke_of(model, state, n=SLOW)
    sheet = intake.sheet
    return Sprung(side, float(model.spring.travel), slow, sheet.friction.sliding.si, sheet.bushings)


def agreed_load(intake: Intake, setup: Setup | None) -> LoadSplit | None:
    """What the fork carries at sag, from a scale or from posture; None where neither can say.

    Parameters
    ----------
    intake : Intake
    setup : Setup or None
        Whose spring sets the sag; without one a fifth of the wished travel is taken.
    """
    if not isinstance(intake.bike, Bike) or intake.rider is None:
        return None
    stand = stand_of(intake.bike)
    bottomed = bottomed_of(intake, stand, intake.unit.chassis)
    sprung = None if setup is None else sprung_of(intake, Side.AS_FOUND, setup)
    travel = intake.wish.travel.si if sprung is None else sprung.travel
    at = fork_loads_at(stand, intake, intake.rider, bottomed + travel)
    if at is None:
        return None
    return at(0.2 * travel) if sprung is None else at(_agreed(sprung, at)[0])


def _agreed(sprung: Sprung, at: Loads) -> tuple[float, float]:
    return physics.agree(
        sprung.sag, lambda sag: float(at(sag).fork.along), travel=sprung.travel, start=0.2 * sprung.travel
    )


def standing_view(intake: Intake, load: Load | None, found: Setup | None, target: Option | None) -> StanceView | None:
    """Everything about the bike that a plan shows; None without a bike, rider or load.

    Parameters
    ----------
    intake : Intake
    load : Load or None
        Along the fork, as the choice took it.
    found : Setup or None
        As found, if it is fully known.
    target : Option or None
    """
    setups = [(Side.AS_FOUND, found), (Side.TARGET, None if target is None else target.setup)]
    springs = [s for side, setup in setups if setup is not None and (s := sprung_of(intake, side, setup)) is not None]
    if isinstance(intake.bike, Bike):
        return _with_bike(intake, stand_of(intake.bike), springs, load, target)
    view = StanceView(rider_loads=tuple(_sat(sprung, load) for sprung in springs if load is not None))
    before = found_travel(intake)
    if isinstance(intake.bike, Outline) and before is not None:
        return replace(view, outline=outline_change(intake.bike, intake.wish.travel.si - before))
    return view if view.rider_loads else None


def _with_bike(
    intake: Intake, stand: Stand, springs: list[Sprung], load: Load | None, target: Option | None
) -> StanceView:
    bottomed = bottomed_of(intake, stand, intake.unit.chassis)
    sat = tuple(one for sprung in springs for one in _all_sat(intake, stand, sprung, bottomed, load))
    lengths = {Side.AS_FOUND: found_travel(intake), Side.TARGET: intake.wish.travel.si}
    rise = rear_rise(stand.bike)
    topped, sagged = [], []
    for side, travel in lengths.items():
        if travel is None:
            continue
        topped.append((side, stance_of(stand, bottomed + travel)))
        front = next((one.sag.value for one in sat if one.side is side and one.who == "rider"), None)
        if front is not None:
            sagged.append((side, stance_of(stand, bottomed + travel, sag=sag_of(stand, front=front, rear=rise))))
    return StanceView(
        topped_out=tuple(topped),
        sagged=tuple(sagged),
        rider_loads=sat,
        clearances=tested(intake, clearances(intake, stand), target),
        rear_sag=0.0 if stand.bike.rear_travel is None else REAR_SAG,
    )


def tested(intake: Intake, found: tuple[Clearance, ...], target: Option | None) -> tuple[Clearance, ...]:
    """With the gap to the crown under the standard's load, for the target."""
    if target is None:
        return found
    return tuple(
        replace(one, under_test=clearance_under_test(intake, target.setup, one.gap.value))
        if one.place is ClearancePlace.CROWN
        else one
        for one in found
    )


def _all_sat(intake: Intake, stand: Stand, sprung: Sprung, bottomed: float, load: Load | None) -> Iterator[RiderLoad]:
    """The fork under the rider, and under the technician who will sit on it for the proof."""
    for who, person in (("rider", intake.rider), ("technician", intake.technician)):
        at = fork_loads_at(stand, intake, person, bottomed + sprung.travel) if person is not None else None
        if at is not None and person is not None and not (who == "rider" and intake.load is not None):
            yield _sat_by(sprung, at, who, _how(intake, person))
        elif who == "rider" and load is not None:
            yield _sat(sprung, load)


def _how(intake: Intake, person: Rider) -> LoadHow:
    return LoadHow.SCALE if intake.front_scale is not None and person is intake.rider else LoadHow.POSTURE


def _sat_by(sprung: Sprung, at: Loads, who: str, how: LoadHow) -> RiderLoad:
    sag, load = _agreed(sprung, at)
    carried = at(sag)
    rear = float(carried.axles.rear) if carried.knows_rear else None
    return replace(
        _held(sprung, sag, Measured(load, carried.u), carried.fork),
        who=who,
        how=how,
        front_axle=float(carried.axles.front),
        rear_axle=rear,
        across=float(carried.fork.across),
        head_angle=carried.head_angle,
    )


def _sat(sprung: Sprung, load: Load) -> RiderLoad:
    """By a load along the fork alone."""
    return replace(_held(sprung, sprung.sag(load.force.value), load.force, None), how=load.how)


def _held(sprung: Sprung, sag: float, load: Measured, fork: physics.ForkLoad | None) -> RiderLoad:
    friction = sprung.friction(fork)
    softness = 1.0 / float(sprung.slow.stiffness(sag))
    band = sag_band(sprung.slow, friction, load.value)
    return RiderLoad(
        side=sprung.side,
        who="rider",
        how=LoadHow.GIVEN,
        load=load,
        front_axle=None,
        rear_axle=None,
        across=None,
        head_angle=None,
        sag=Measured(sag, load.u * softness if load.u is not None and 0.0 < sag < sprung.travel else None),
        travel=sprung.travel,
        lifted=band.after_lifting,
        pressed=band.after_pressing,
        friction=friction,
    )
