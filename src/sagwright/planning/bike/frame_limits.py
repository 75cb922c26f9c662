"""What a frame's maker permits, held against forks of one or several lengths; and what a maker answered when asked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Final

from sagwright.domain.bike import Bike, ForkLimit, MakerAnswer
from sagwright.domain.finding import Finding, Severity
from sagwright.domain.intake import Intake
from sagwright.domain.stance import Stance
from sagwright.domain.value import Figure, Quantity, Value
from sagwright.errors import OutOfRange
from sagwright.planning.bike.fork_load import BIKE_MASS
from sagwright.planning.bike.geometry import Stand, bike_contradictions, estimates, stand_of
from sagwright.planning.bike.stance import sag_of, stance_of
from sagwright.planning.checks.findings import finding, length_figure

_SLACK: Final = 5e-4
"""Lengths are compared to half a millimetre [m]."""

CLEARED: Final = "frame."
"""Findings that a maker's answer clears begin so."""

_LIMITS: Final = (
    ("longest_axle_to_crown", "frame.too-long", 1),
    ("shortest_axle_to_crown", "frame.too-short", -1),
    ("longest_travel", "frame.too-much-travel", 1),
    ("shortest_travel", "frame.too-little-travel", -1),
)


def frame_findings(bike: Bike, *, axle_to_crown: float | None, travel: float | None) -> Iterator[Finding]:
    """A fork against the frame's limits: over the longest is structural, under the shortest is asked."""
    limit = limit_of(bike)
    if limit == ForkLimit():
        yield finding("frame.unknown", "bike.limits", (("bike", bike.name),))
        return
    for name, code, sign in _LIMITS:
        permitted: Value | None = getattr(limit, name)
        wanted = axle_to_crown if name.endswith("crown") else travel
        if permitted is not None and wanted is not None and sign * (wanted - permitted.si) > _SLACK:
            yield finding(
                code,
                f"bike.limits.{name}",
                (("bike", bike.name),),
                wanted=length_figure(wanted),
                limit=length_figure(permitted.si),
            )


def limit_of(bike: Bike) -> ForkLimit:
    """What holds for the bike's front wheel: its own limits where the maker states them, else those for any wheel."""
    general, own = (
        next((limit for limit in bike.limits.forks if limit.bead_seat == seat), ForkLimit())
        for seat in (None, bike.front.bead_seat)
    )
    return ForkLimit(
        longest_travel=own.longest_travel or general.longest_travel,
        shortest_travel=own.shortest_travel or general.shortest_travel,
        longest_axle_to_crown=own.longest_axle_to_crown or general.longest_axle_to_crown,
        shortest_axle_to_crown=own.shortest_axle_to_crown or general.shortest_axle_to_crown,
    )


def load_findings(bike: Bike, intake: Intake) -> Iterator[Finding]:
    """System mass and rotor against what the frame's maker permits."""
    limits, rider = bike.limits, intake.rider
    if limits.system_mass is not None and rider is not None:
        whole = rider.mass.si + rider.gear.si + (bike.mass or BIKE_MASS).si
        if whole > limits.system_mass.si:
            figures = {"whole": _mass(whole), "limit": _mass(limits.system_mass.si)}
            yield finding("frame.system-mass", "bike.limits.system_mass", (("bike", bike.name),), **figures)
    if limits.largest_rotor is not None and bike.rotor is not None and bike.rotor.si > limits.largest_rotor.si + _SLACK:
        figures = {"fitted": length_figure(bike.rotor.si), "limit": length_figure(limits.largest_rotor.si)}
        yield finding("frame.rotor", "bike.limits.largest_rotor", (("bike", bike.name),), **figures)


def _mass(value: float) -> Figure:
    return Figure(value, Quantity.MASS)


def answered_findings(findings: Iterable[Finding], answers: Iterable[MakerAnswer]) -> Iterator[Finding]:
    """Findings about the frame that its maker has answered weigh no more than a note, and the answer stands beside."""
    known = {answer.about: answer for answer in answers}
    for one in findings:
        answer = known.get(one.code) if one.code.startswith(CLEARED) else None
        if answer is None or one.severity is Severity.NOTE:
            yield one
            continue
        yield replace(one, severity=Severity.NOTE)
        words = (("who", answer.who), ("when", answer.when), ("answer", answer.answer), ("about", answer.about))
        yield finding("maker.asked", "answers", words)


def compared(
    bike: Bike, lengths: tuple[float, ...], *, sag_front: float, sag_rear: float
) -> tuple[tuple[Stance, ...], tuple[Finding, ...]]:
    """Stances and findings; arguments and errors as `service.stance.stance`."""
    stand = stand_of(bike)
    for name, share in (("sag_front", sag_front), ("sag_rear", sag_rear)):
        if not 0.0 <= share <= 1.0:
            meant = f"Did you mean {share:g} %?" if 1.0 < share <= 100.0 else "Write it like 20 %."
            raise OutOfRange(
                "must be a share between 0 and 100 %", field=name, value=f"{share * 100.0:g} %", remedy=meant
            )
    if sag_rear > 0.0 and bike.rear_travel is None:
        raise OutOfRange("must be 0 for a rigid rear end", field="sag_rear", value=f"{sag_rear * 100.0:g} %")
    rise = 0.0 if bike.rear_travel is None else sag_rear * bike.rear_travel.travel.si
    stances = tuple(
        stance_of(stand, length, sag=sag_of(stand, front=sag_front * travel_with(stand, length), rear=rise))
        for length in lengths
    )
    return stances, tuple(_findings(stand, lengths))


def travel_with(stand: Stand, axle_to_crown: float) -> float:
    """Travel of a fork of that length which bottoms where the printed one does [m].

    Raises
    ------
    OutOfRange
        If it has none.
    """
    travel = axle_to_crown - stand.bottomed()
    if travel <= 0.0:
        raise OutOfRange(
            "must be longer than the printed fork at full compression, {bottomed}",
            field="axle_to_crown",
            value="{length}",
            figures={"bottomed": (stand.bottomed(), Quantity.LENGTH), "length": (axle_to_crown, Quantity.LENGTH)},
            remedy="Measure topped out, from the crown race seat to the axle.",
        )
    return travel


def _findings(stand: Stand, lengths: tuple[float, ...]) -> Iterator[Finding]:
    yield from bike_contradictions(stand.bike)
    yield from estimates(stand.bike)
    said = set()
    for each in lengths:
        for one in frame_findings(stand.bike, axle_to_crown=each, travel=travel_with(stand, each)):
            if one not in said:
                said.add(one)
                yield one
