"""The other tasks of a job that is wished another travel: done in the same opening, each to be added or dropped."""

from __future__ import annotations

from dataclasses import dataclass

from sagwright.domain.records.job import JobState
from sagwright.domain.sheet import Sheet
from sagwright.domain.task import Task, TaskKind
from sagwright.domain.work import Work
from sagwright.formats.fields.tasks import read_task
from sagwright.phrases import quantities
from sagwright.phrases.tools_and_parts import task_text
from sagwright.service.jobs.options import has_work
from sagwright.service.jobs.queries import OpenedJob
from sagwright.web.counter.questions import TASKS
from sagwright.web.http.form import Pick
from sagwright.web.http.request import PageRequest


@dataclass(frozen=True, slots=True)
class TaskForm:
    """The tasks beside a wish.

    Attributes
    ----------
    tasks : tuple of Pick
        With how many steps are there for each alone.
    submission : str
    """

    tasks: tuple[Pick, ...]
    submission: str


def offered_tasks(state: JobState, sheet: Sheet) -> tuple[str, ...]:
    """The tasks of a job, then others that this unit has work for; as they are written."""
    others = (name for name in TASKS if name not in state.tasks and has_work(sheet, Task(TaskKind(name))))
    return (*state.tasks, *others)


def task_form(asked: PageRequest, job: OpenedJob, work: Work) -> TaskForm:
    """The tasks beside a plan's wish."""
    state = job.view.state
    return TaskForm(
        tasks=tuple(_also(asked, one, state, work) for one in offered_tasks(state, work.sheet)),
        submission=asked.shop.new_id(),
    )


def _also(asked: PageRequest, written: str, state: JobState, work: Work) -> Pick:
    task = read_task(written)
    chosen = written in state.tasks
    own = sum(tasks == (task,) for _, tasks in work.needed_by)
    steps = f"{quantities.count_text(own, 'step')} for it alone" if own else "no step more"
    return Pick(written, TASKS.get(written) or task_text(task, asked.choice), steps if chosen else "", chosen)
