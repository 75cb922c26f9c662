"""A plan's drawings, written to files."""

from __future__ import annotations

import pathlib
from typing import Final

from sagwright.domain.plan import Plan
from sagwright.domain.stance import Side
from sagwright.drawing.cutaway.cutaway import cutaway
from sagwright.drawing.cutaway.layout import ShownLeg
from sagwright.drawing.side_view import Shown, side_view
from sagwright.drawing.svg import Meaning
from sagwright.errors import MissingValue
from sagwright.service.calculators import insides
from sagwright.units import Choice

MEANINGS: Final = {Side.AS_FOUND: Meaning.AS_FOUND, Side.TARGET: Meaning.TARGET}


def write_side_view(plan: Plan, choice: Choice, path: str) -> None:
    """The bike as found and at the target, topped out, over each other.

    Raises
    ------
    MissingValue
        If nothing is known of the bike.
    """
    stances = () if plan.stance is None else plan.stance.topped_out
    if not stances:
        raise MissingValue("must be known to draw its side view", field="bike", remedy="Write bike into the intake.")
    shown = tuple(Shown(side.value, MEANINGS[side], stance) for side, stance in stances)
    _write(side_view(shown, choice=choice), path)


def write_cutaway(plan: Plan, choice: Choice, path: str) -> None:
    """The spring leg as found and at the target, beside each other.

    Raises
    ------
    MissingValue
        If neither is known.
    """
    legs = insides(plan)
    if not legs:
        raise MissingValue("must be known to draw its spring leg", field="as_found", remedy="Open the unit first.")
    _write(cutaway([ShownLeg(side.value, MEANINGS[side], leg) for side, leg in legs], choice=choice), path)


def _write(drawing: str, path: str) -> None:
    pathlib.Path(path).write_text(drawing, "utf-8", newline="\n")
