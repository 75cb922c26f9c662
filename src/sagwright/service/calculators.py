"""Calculators, one function each: coil for a sag, curves, stances, signs of mistakes, a gauge reading, a cutaway."""

from __future__ import annotations

import pathlib
from collections.abc import Sequence
from dataclasses import dataclass

from sagwright.domain.bike import Bike
from sagwright.domain.coil_spring import CoilAnswer, CoilQuestion
from sagwright.domain.curve import Comparison, CurveQuestion
from sagwright.domain.cutaway import Inside
from sagwright.domain.diagnosis import BenchReading, Diagnosis
from sagwright.domain.finding import Finding, Severity
from sagwright.domain.gauge_reading import PressureAnswer, PressureQuestion
from sagwright.domain.intake import Surroundings
from sagwright.domain.plan import Selection
from sagwright.domain.setup import Setup
from sagwright.domain.sheet import Sheet
from sagwright.domain.stance import Side, Stance
from sagwright.errors import OutOfRange
from sagwright.formats.intake.setup_text import read_setup
from sagwright.formats.sheet.coil import read_coil
from sagwright.formats.sheet.load import load_sheet
from sagwright.planning.bike.frame_limits import compared
from sagwright.planning.diagnosis.explanations import diagnosed
from sagwright.planning.diagnosis.mistakes import Standing
from sagwright.planning.gauge_reading import answer_pressure, surroundings
from sagwright.planning.matching.coil_shelf import coils_for
from sagwright.planning.spring.curves import compare
from sagwright.planning.spring.cutaway import inside_of
from sagwright.planning.spring.kind import spring_kind
from sagwright.planning.spring.setups import possible
from sagwright.version import PROGRAM

__all__ = [
    "HOURS",
    "Stances",
    "compare_curves",
    "explain_pressure",
    "explained",
    "insides",
    "rank_coils_for",
    "simulate_mistakes",
    "stance_of_forks",
    "surroundings",
]


HOURS = 12.0


def rank_coils_for(question: CoilQuestion, coils: Sequence[str]) -> CoilAnswer:
    """Every coil at the preload that brings it nearest to a sag; errors as `read_coil` and `coils_for`."""
    return coils_for(question, [read_coil(text, number=i) for i, text in enumerate(coils, 1)])


def compare_curves(
    sheet: str | pathlib.Path,
    setups: Sequence[str],
    question: CurveQuestion | None = None,
    *,
    workshop: Surroundings | None = None,
) -> Comparison:
    """What the springs of some setups do over their travel.

    Parameters
    ----------
    sheet : str or Path
        A shipped name, "specimen/t35", or a path.
    setups : sequence of str
        Each like "travel: 140 mm, volume_spacers: 1, pressure: 78 psi".
    question : CurveQuestion, optional
    workshop : Surroundings, optional
        20 °C at sea level if left out.

    Raises
    ------
    InputError, InputErrors
        If the sheet or a setup cannot be used.
    NoSolution
        If an equilibrium did not converge.
    """
    around = workshop or Surroundings()
    loaded = load_sheet(sheet)
    named = [read_setup(text, loaded, around=around, number=i) for i, text in enumerate(setups, 1)]
    return compare(loaded, named, question or CurveQuestion(), workshop=around, program=PROGRAM)


def simulate_mistakes(sheet: str | pathlib.Path, setup: str, *, load: float) -> tuple[Sheet, Diagnosis]:
    """How a setup shows itself as it should be, and with each usual mistake that can be made on it.

    Parameters
    ----------
    sheet : str or Path
        A shipped name, "specimen/t35", or a path; of an air fork.
    setup : str
        As it should be, like "travel: 140 mm, volume_spacers: 1, pressure: 78 psi".
    load : float
        Force along the fork at rest [N].

    Raises
    ------
    InputError, InputErrors
        If the sheet or the setup cannot be used.
    NoSolution
        If a resting place did not converge.
    """
    loaded = load_sheet(sheet)
    _, right = read_setup(setup, loaded, around=Surroundings())
    return loaded, explained(loaded, right, (), load=load)


def explained(sheet: Sheet, setup: Setup, readings: Sequence[BenchReading], *, load: float) -> Diagnosis:
    """Which usual mistakes would explain readings, and what to read next; without readings all of them.

    Raises
    ------
    OutOfRange
        If the sheet has no air spring with legs, or a reading has no uncertainty.
    """
    if not sheet.spring.holds_air or not sheet.legs:
        raise OutOfRange("must describe an air fork", field="SHEET", value=sheet.name)
    times = (0.0, 3600.0, HOURS * 3600.0)
    return diagnosed(sheet, setup, readings, standing=Standing(load, times=times))


def explain_pressure(question: PressureQuestion) -> PressureAnswer:
    """What a gauge's reading means; errors as `planning.pressures.answered`."""
    return answer_pressure(question)


@dataclass(frozen=True, slots=True)
class Stances:
    """Stances of one bike, in the order of the lengths asked for, and what is said of them."""

    bike: Bike
    stances: tuple[Stance, ...]
    findings: tuple[Finding, ...]

    @property
    def refused(self) -> bool:
        """Whether the frame's maker permits one of the forks not at all."""
        return any(finding.severity is Severity.NOT_ALLOWED for finding in self.findings)


def stance_of_forks(
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


def insides(selection: Selection) -> tuple[tuple[Side, Inside], ...]:
    """As found, if nothing about it waits until it is open, and the target, if there is one; topped out.

    Raises
    ------
    OutOfRange
        If as found cannot exist.
    """
    sheet = selection.intake.sheet
    found = possible(selection.intake)
    seen = len(found) == 1 and spring_kind(sheet).can_be_drawn(found[0])
    legs = [(Side.AS_FOUND, inside_of(sheet, found[0]))] if seen else []
    if selection.target is not None:
        legs.append((Side.TARGET, inside_of(sheet, selection.target.setup)))
    return tuple(legs)
