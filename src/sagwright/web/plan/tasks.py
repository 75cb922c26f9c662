"""The other tasks of a job that is wished another travel: done in the same opening, each to be added or dropped."""

from __future__ import annotations

from dataclasses import dataclass

from sagwright.domain.plan import Plan
from sagwright.domain.records.job import JobState
from sagwright.domain.sheet import Sheet
from sagwright.domain.task import Task, TaskKind
from sagwright.formats.fields.tasks import read_task
from sagwright.phrases import quantities
from sagwright.phrases.tools_and_parts import task_text
from sagwright.service.jobs.options import has_work
from sagwright.service.jobs.queries import OpenedJob
from sagwright.web.counter.questions import TASKS
from sagwright.web.http.request import PageRequest


@dataclass(frozen=True, slots=True)
class ExtraTask:
    """One task: as it is sent, in words, whether it is done, and how many steps are there for it alone."""

    value: str
    text: str
    chosen: bool
    steps: str


@dataclass(frozen=True, slots=True)
class TaskForm:
    """The tasks beside a wish.

    Attributes
    ----------
    tasks : tuple of Also
    action : str
        Where the form goes.
    submission : str
    """

    tasks: tuple[ExtraTask, ...]
    action: str
    submission: str


def offered_tasks(state: JobState, sheet: Sheet) -> tuple[str, ...]:
    """The tasks of a job, then others that this unit has work for; as they are written."""
    others = (name for name in TASKS if name not in state.tasks and has_work(sheet, Task(TaskKind(name))))
    return (*state.tasks, *others)


def task_form(asked: PageRequest, job: OpenedJob, plan: Plan) -> TaskForm:
    """The tasks beside a plan's wish."""
    state = job.view.state
    return TaskForm(
        tasks=tuple(_also(asked, one, state, plan) for one in offered_tasks(state, plan.intake.sheet)),
        action=f"/jobs/{job.view.card.number}/plan/tasks",
        submission=asked.shop.new_id(),
    )


def _also(asked: PageRequest, written: str, state: JobState, plan: Plan) -> ExtraTask:
    task = read_task(written)
    chosen = written in state.tasks
    own = sum(tasks == (task,) for _, tasks in plan.needed_by)
    steps = f"{quantities.count_text(own, 'step')} for it alone" if own else "no step more"
    return ExtraTask(written, TASKS.get(written) or task_text(task, asked.choice), chosen, steps if chosen else "")
