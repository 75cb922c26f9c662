"""Builds of a sheet as they are written → their curves."""

from __future__ import annotations

import pathlib
from collections.abc import Sequence

from sagwright.domain.curve import Comparison, Question
from sagwright.domain.intake import Surroundings
from sagwright.formats.intake.build import read_build
from sagwright.formats.sheet.load import load_sheet
from sagwright.planning.spring.curves import compare
from sagwright.version import __version__

PROGRAM = f"sagwright {__version__}"


def curve(
    sheet: str | pathlib.Path,
    builds: Sequence[str],
    question: Question | None = None,
    *,
    workshop: Surroundings | None = None,
) -> Comparison:
    """What the springs of some builds do over their travel.

    Parameters
    ----------
    sheet : str or Path
        A shipped name, "specimen/t35", or a path.
    builds : sequence of str
        Each like "travel: 140 mm, volume_spacers: 1, pressure: 78 psi".
    question : Question, optional
    workshop : Surroundings, optional
        20 °C at sea level if left out.

    Raises
    ------
    InputError, InputErrors
        If the sheet or a build cannot be used.
    NoSolution
        If an equilibrium did not converge.
    """
    around = workshop or Surroundings()
    loaded = load_sheet(sheet)
    named = [read_build(text, loaded, around=around, number=i) for i, text in enumerate(builds, 1)]
    return compare(loaded, named, question or Question(), workshop=around, program=PROGRAM)
