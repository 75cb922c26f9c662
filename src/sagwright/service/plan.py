"""From an intake to a plan that the judge has passed."""

from __future__ import annotations

from sagwright.domain.intake import Intake
from sagwright.domain.plan import Plan
from sagwright.judge import require
from sagwright.planning.plan import make_plan
from sagwright.version import __version__

PROGRAM = f"sagwright {__version__}"


def plan(intake: Intake) -> Plan:
    """The plan for an intake; what was wished may be refused, which its findings say.

    Every plan that has a target has passed the judge.

    Parameters
    ----------
    intake : Intake

    Returns
    -------
    Plan

    Raises
    ------
    Defect
        If the judge refuses the steps: a fault of the program, not of the intake.
    """
    made = make_plan(intake, program=PROGRAM)
    if made.target is not None:
        require(intake.sheet, intake.as_found.build, made.target.build, made.steps)
    return made
