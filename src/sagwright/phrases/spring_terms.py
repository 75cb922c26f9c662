"""The behaviours of a spring: their names, and what each means in a few words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from sagwright.domain.behaviour import Behaviour
from sagwright.domain.value import Measured, Quantity


@dataclass(frozen=True, slots=True)
class Term:
    """One behaviour.

    Attributes
    ----------
    field : str
        Its attribute in `domain.behaviour.Behaviour`.
    name : str
    short : str
        A column's heading, of one or more lines, without the unit.
    meaning : str
    quantity : Quantity
    """

    field: str
    name: str
    short: str
    meaning: str
    quantity: Quantity

    def of(self, behaviour: Behaviour) -> Measured:
        """Its number in a behaviour, SI."""
        measured: Measured = getattr(behaviour, self.field)
        return measured


TERMS: Final = (
    Term("sag", "sag", "sag", "how far the load presses it in, slowly", Quantity.LENGTH),
    Term("sag_fraction", "sag, of travel", "sag", "the same over the travel", Quantity.FRACTION),
    Term("breakaway", "breakaway", "break-\naway", "starts it moving, friction included", Quantity.FORCE),
    Term("mid_support", "mid support", "mid", "force at half travel over the load", Quantity.RATIO),
    Term("end_rise", "end rise", "end", "force at 95 % over force at 50 % of travel", Quantity.RATIO),
    Term("capacity", "capacity", "capa-\ncity", "energy it takes to full travel", Quantity.ENERGY),
)
