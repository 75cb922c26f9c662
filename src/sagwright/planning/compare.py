"""Stances of one bike with forks of several lengths, and what its maker permits of them."""

from __future__ import annotations

from collections.abc import Iterator

from sagwright.domain.bike import Bike
from sagwright.domain.finding import Finding
from sagwright.domain.stance import Stance
from sagwright.errors import OutOfRange
from sagwright.planning.bike import Stand, contradictions, estimates, stand_of
from sagwright.planning.limits import frame_findings
from sagwright.planning.stand import sag_of, stance_of


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
            f"must be longer than the printed fork at full compression, {stand.bottomed() * 1e3:.0f} mm",
            field="axle_to_crown",
            value=f"{axle_to_crown * 1e3:.1f} mm",
            remedy="Measure topped out, from the crown race seat to the axle.",
        )
    return travel


def _findings(stand: Stand, lengths: tuple[float, ...]) -> Iterator[Finding]:
    yield from contradictions(stand.bike)
    yield from estimates(stand.bike)
    said = set()
    for length in lengths:
        for one in frame_findings(stand.bike, axle_to_crown=length, travel=travel_with(stand, length)):
            if one not in said:
                said.add(one)
                yield one
