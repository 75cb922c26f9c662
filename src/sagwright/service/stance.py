"""A bike with forks of several lengths."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sagwright.domain.bike import Bike
from sagwright.domain.finding import Finding, Severity
from sagwright.domain.stance import Stance
from sagwright.planning.bike.frame_limits import compared


@dataclass(frozen=True, slots=True)
class Stances:
    """Stances of one bike, in the order of the lengths asked for, and what is said of them."""

    bike: Bike
    stances: tuple[Stance, ...]
    findings: tuple[Finding, ...]

    @property
    def refused(self) -> bool:
        """Whether the frame's maker permits one of the forks not at all."""
        return any(finding.severity is Severity.REFUSE for finding in self.findings)


def stance(
    bike: Bike, *, axle_to_crown: Sequence[float] = (), sag_front: float = 0.0, sag_rear: float = 0.0
) -> Stances:
    """How a bike stands on level ground with forks of several lengths.

    Parameters
    ----------
    bike : Bike
    axle_to_crown : sequence of float
        Lengths of the forks, topped out, along the steerer [m]; none for the fork the bike was printed with.
    sag_front : float
        Share of each fork's own travel, 0 to 1: a longer fork is taken to have as much more travel.
    sag_rear : float
        Share of the rear travel, 0 to 1.

    Returns
    -------
    Stances

    Raises
    ------
    OutOfRange
        If the bike's numbers cannot belong to one bike, a sag is no share, or a fork is shorter than it is bottomed.
    NoSolution
        If the wheels cannot both reach the ground.

    Notes
    -----
    Valid for: rigid frame and wheels, a fork that slides along its steerer. Closed form.
    """
    lengths = tuple(axle_to_crown) or (bike.geometry.axle_to_crown.si,)
    stances, findings = compared(bike, lengths, sag_front=sag_front, sag_rear=sag_rear)
    return Stances(bike, stances, findings)
