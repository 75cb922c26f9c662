"""From a sheet and tasks to one sequence that the judge has passed."""

from __future__ import annotations

from collections.abc import Sequence

from sagwright.domain.sheet import Sheet
from sagwright.domain.task import LEAST_WORK, Ordering, Progress, Sequenced, Task
from sagwright.judge import RULES, require
from sagwright.planning.checks.findings import ALWAYS
from sagwright.planning.progress.resume import replanned
from sagwright.planning.work.tasks import sequence_of
from sagwright.service.plan import PROGRAM

CAUTIONS = ALWAYS
"""What holds for all work."""

REASONS = RULES
"""What each rule that a step's needs name is for."""


def sequence(sheet: Sheet, tasks: Sequence[Task], *, chassis: str = "", ordering: Ordering = LEAST_WORK) -> Sequenced:
    """One sequence of least work that serves all tasks; the judge has passed it.

    Parameters
    ----------
    sheet : Sheet
    tasks : sequence of Task
        Where air goes in and no pressure is among them, it is decided and written down at the bench.
    chassis : str
        May be left empty where the tasks leave no doubt: one chassis alone, or one alone that permits the travel.
    ordering : Ordering
        What changes are priced at, an earlier order to keep to, and when to give up the proof.

    Raises
    ------
    InputError
        If the tasks cannot be asked of this sheet together.
    Defect
        If the judge refuses the sequence: a fault of the program.
    """
    made = sequence_of(sheet, tasks, program=PROGRAM, chassis=chassis, ordering=ordering)
    require(sheet, made.as_found, made.target, made.steps)
    return made


def replan(work: Sequenced, progress: Progress) -> Sequenced:
    """The rest of a sequence, from what was done and found; the judge has passed both together.

    Raises
    ------
    InputError
        If what was done or found does not belong to this work, or was done before something it needs.
    Defect
        If the judge refuses what is left: a fault of the program.
    """
    made = replanned(work, progress)
    require(made.sheet, made.as_found, made.target, (*made.done, *made.steps))
    return made
