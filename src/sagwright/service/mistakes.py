"""A build of a sheet as it is written → how usual mistakes in it would show, and which explain what was read."""

from __future__ import annotations

import pathlib
from collections.abc import Sequence

from sagwright.domain.air_spring import AirSpring
from sagwright.domain.build import Build
from sagwright.domain.diagnosis import Diagnosis, Reading
from sagwright.domain.intake import Surroundings
from sagwright.domain.sheet import Sheet
from sagwright.errors import OutOfRange
from sagwright.formats.intake.build import read_build
from sagwright.formats.sheet.load import load_sheet
from sagwright.planning.diagnosis.explanations import diagnosed
from sagwright.planning.diagnosis.mistakes import Standing

HOURS = 12.0


def mistakes(sheet: str | pathlib.Path, build: str, *, load: float) -> tuple[Sheet, Diagnosis]:
    """How a build shows itself as it should be, and with each usual mistake that can be made on it.

    Parameters
    ----------
    sheet : str or Path
        A shipped name, "specimen/t35", or a path; of an air fork.
    build : str
        As it should be, like "travel: 140 mm, volume_spacers: 1, pressure: 78 psi".
    load : float
        Force along the fork at rest [N].

    Raises
    ------
    InputError, InputErrors
        If the sheet or the build cannot be used.
    NoSolution
        If a resting place did not converge.
    """
    loaded = load_sheet(sheet)
    _, right = read_build(build, loaded, around=Surroundings())
    return loaded, explained(loaded, right, (), load=load)


def explained(sheet: Sheet, build: Build, readings: Sequence[Reading], *, load: float) -> Diagnosis:
    """Which usual mistakes would explain readings, and what to read next; without readings all of them.

    Raises
    ------
    OutOfRange
        If the sheet has no air spring with legs, or a reading has no uncertainty.
    """
    if not isinstance(sheet.spring, AirSpring) or not sheet.legs:
        raise OutOfRange("must describe an air fork", field="SHEET", value=sheet.name)
    times = (0.0, 3600.0, HOURS * 3600.0)
    return diagnosed(sheet, build, readings, standing=Standing(load, times=times))
