"""The insides of a plan's spring leg, ready to be drawn."""

from __future__ import annotations

from sagwright.domain.cutaway import LegInside
from sagwright.domain.plan import Plan
from sagwright.domain.stance import Side
from sagwright.planning.builds import possible
from sagwright.planning.inside import leg_inside


def insides(plan: Plan) -> tuple[tuple[Side, LegInside], ...]:
    """As found, if nothing about it waits until it is open, and the target, if there is one; topped out.

    Raises
    ------
    OutOfRange
        If as found cannot exist.
    """
    sheet = plan.intake.sheet
    found = possible(plan.intake)
    legs = [(Side.AS_FOUND, leg_inside(sheet, found[0]))] if len(found) == 1 else []
    if plan.target is not None:
        legs.append((Side.TARGET, leg_inside(sheet, plan.target.build)))
    return tuple(legs)
