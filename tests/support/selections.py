"""What is there of every plan that may be carried out, for tests that know that theirs may be."""

from __future__ import annotations

from sagwright.domain.plan import Plan, Selection
from sagwright.domain.setup import Setup


def selection_of(plan: Plan) -> Selection:
    """How the target of a plan was selected that was made from an intake."""
    assert plan.selection is not None
    return plan.selection


def built(plan: Plan) -> Setup:
    """What the work of a plan makes of the unit."""
    assert plan.work.target is not None
    return plan.work.target
