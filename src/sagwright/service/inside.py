"""The insides of a plan's spring leg, ready to be drawn."""

from __future__ import annotations

from sagwright.domain.cutaway import Inside
from sagwright.domain.plan import Plan
from sagwright.domain.stance import Side
from sagwright.planning.spring.builds import possible, set_up
from sagwright.planning.spring.cutaway import inside_of


def insides(plan: Plan) -> tuple[tuple[Side, Inside], ...]:
    """As found, if nothing about it waits until it is open, and the target, if there is one; topped out.

    Raises
    ------
    OutOfRange
        If as found cannot exist.
    """
    sheet = plan.intake.sheet
    found = possible(plan.intake)
    seen = len(found) == 1 and (sheet.coil is None or set_up(found[0]))
    legs = [(Side.AS_FOUND, inside_of(sheet, found[0]))] if seen else []
    if plan.target is not None:
        legs.append((Side.TARGET, inside_of(sheet, plan.target.build)))
    return tuple(legs)
