"""From an intake, or from tasks alone, to a plan that the judge has passed; and the rest of one that was begun."""

from __future__ import annotations

from collections.abc import Sequence

from sagwright.domain.intake import Intake
from sagwright.domain.plan import Plan
from sagwright.domain.sheet import Sheet
from sagwright.domain.task import LEAST_WORK, Ordering, Progress, Task
from sagwright.judge import RULES, require
from sagwright.planning.checks.findings import ALWAYS
from sagwright.planning.plan import make_plan
from sagwright.planning.progress.resume import resumed
from sagwright.planning.work.tasks import plan_tasks
from sagwright.version import PROGRAM

CAUTIONS = ALWAYS
"""What holds for all work."""

REASONS = {name: rule.reason for name, rule in RULES.items()}
"""What each rule that a step's needs name is for."""


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
    return _judged(make_plan(intake, program=PROGRAM))


def replan(plan: Plan, progress: Progress) -> Plan:
    """The rest of a plan from what was done and found; the judge has passed both together.

    A pure function of the plan as it was decided and of what was entered since, so that a stored job can be gone on
    with at any time.

    Parameters
    ----------
    plan : Plan
        As it was decided; not refused.
    progress : Progress
        Everything done so far, in order, and everything found.

    Returns
    -------
    Plan
        Its target is selected again where what was found asks for it; `done`, `steps` and `stops` of its work say how
        far it is.

    Raises
    ------
    InputError
        If what was done or found does not belong to this plan, or was done before something it needs.
    Defect
        If the judge refuses what is left: a fault of the program.
    """
    return _judged(resumed(plan, progress))


def _judged(made: Plan) -> Plan:
    """A plan that the judge has passed, or that has no work."""
    work = made.work
    if work.target is not None:
        require(work.sheet, work.as_found, work.target, work.planned)
    return made


def sequence(sheet: Sheet, tasks: Sequence[Task], *, chassis: str = "", ordering: Ordering = LEAST_WORK) -> Plan:
    """The plan of tasks alone: one sequence of least work that serves them all; the judge has passed it.

    Parameters
    ----------
    sheet : Sheet
    tasks : sequence of Task
        Where air goes in and no pressure is among them, it is decided and written down at the bench.
    chassis : str
        May be left empty where the tasks leave no uncertainty: one chassis alone, or one alone that permits the travel.
    ordering : Ordering
        What changes are priced at, an earlier order to keep to, and when to give up the proof.

    Raises
    ------
    InputError
        If the tasks cannot be asked of this sheet together.
    Defect
        If the judge refuses the sequence: a fault of the program.
    """
    return _judged(plan_tasks(sheet, tasks, program=PROGRAM, chassis=chassis, ordering=ordering))
