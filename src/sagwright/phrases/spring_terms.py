"""The behaviours of a spring: their names, and what each means in a few words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from sagwright.domain.behaviour import Behaviour
from sagwright.domain.value import Measured, Quantity


@dataclass(frozen=True, slots=True)
class BehaviourTerm:
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


BEHAVIOUR_TERMS: Final = (
    BehaviourTerm("sag", "sag", "sag", "compression under the load", Quantity.LENGTH),
    BehaviourTerm("sag_fraction", "sag, % of travel", "sag", "sag over travel", Quantity.FRACTION),
    BehaviourTerm(
        "breakaway", "breakaway force", "break-\naway", "force to start moving, friction included", Quantity.FORCE
    ),
    BehaviourTerm(
        "mid_stroke_support",
        "mid-stroke support",
        "mid",
        "force at half travel over static load",
        Quantity.RATIO,
    ),
    BehaviourTerm("ramp_up", "ramp-up", "ramp-\nup", "force at 95 % over force at 50 % of travel", Quantity.RATIO),
    BehaviourTerm("capacity", "bottom-out energy", "bottom\nout", "energy to full travel", Quantity.ENERGY),
)
