"""Choose the target of a job: every change of a control shows what it would do, and one of them is decided."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Final
from urllib.parse import parse_qsl, urlencode

from starlette.responses import Response

from sagwright.domain.plan import Selection
from sagwright.domain.records.stages import Stage
from sagwright.errors import InputError, InputErrors
from sagwright.phrases import quantities, tools_and_parts
from sagwright.phrases.labelled import LabelledLine
from sagwright.phrases.steps import times_text, title
from sagwright.service.jobs.decision import Proposal, propose
from sagwright.service.jobs.options import offers
from sagwright.service.jobs.queries import OpenedJob
from sagwright.units import UnitChoice
from sagwright.units.wording import fault_in
from sagwright.web.http.page import Page, PageFrame, respond
from sagwright.web.http.request import PageRequest, get, to
from sagwright.web.job_frame import job_frame, job_of
from sagwright.web.plan.controls import ControlFacts, Controls, Set, controls_of, read_controls, with_faults
from sagwright.web.plan.decide import DecideForm, OpenQuestion, decide_form_of, open_questions_of
from sagwright.web.plan.outcome import Outcome, outcome_of
from sagwright.web.plan.tasks import TaskForm, task_form

MOST_TAKEN: Final = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanPage(Page):
    """The controls of a wish and what they come to.

    Attributes
    ----------
    wrong : tuple of str
        What of the controls cannot be used, beside what stands at a field.
    controls : Controls
    outcome : Outcome
    asks : tuple of OpenQuestion
    task_form : TaskForm
        The other tasks of the job.
    act : Act
    """

    template: ClassVar[str] = "plan/page.html"

    wrong: tuple[str, ...]
    controls: Controls
    outcome: Outcome
    asks: tuple[OpenQuestion, ...]
    task_form: TaskForm
    act: DecideForm


@dataclass(frozen=True, slots=True)
class _Fault:
    """Something that is missing or wrong in what was checked in: what it is about, and a sentence."""

    field: str
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class UnreadyPage(Page):
    """Why nothing can be chosen yet.

    Attributes
    ----------
    faults : tuple of Fault
    """

    template: ClassVar[str] = "plan/unready.html"

    faults: tuple[_Fault, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TasksPage(Page):
    """Work without a change of travel: there is nothing to choose, only to decide.

    Attributes
    ----------
    tasks : tuple of str
    facts : tuple of LabelledLine
        Time, order, tools and parts.
    steps : tuple of str
        The title of each.
    act : Act
    """

    template: ClassVar[str] = "plan/tasks.html"

    tasks: tuple[str, ...]
    facts: tuple[LabelledLine, ...]
    steps: tuple[str, ...]
    act: DecideForm


def _show(asked: PageRequest) -> Response:
    """What the controls come to."""
    if taken := asked.query.text("take"):
        return to(_taking(asked, taken))
    job = job_of(asked)
    made = read_controls(asked.query, asked.choice)
    try:
        proposal, faults = _proposed(asked, job, made.facts)
    except (InputError, InputErrors) as error:
        return _unready(asked, job, error)
    selection = proposal.plan.selection
    if selection is None:
        return respond(_tasks_page(asked, job, proposal))
    made, others = with_faults(made, faults, asked.query)
    return respond(_plan_page(asked, job, proposal, selection, (made, others)))


def _taking(asked: PageRequest, taken: str) -> str:
    """The address at which an option's row is what the controls are set to."""
    pairs = parse_qsl(taken)[:MOST_TAKEN]
    left_out = {"take", *(name for name, _ in pairs)}
    kept = [(k, v) for k, v in asked.query.pairs if k not in left_out and not k.startswith("pressure")]
    return f"{asked.here.partition('?')[0]}?{urlencode([*kept, *pairs])}"


def _proposed(asked: PageRequest, job: OpenedJob, facts: ControlFacts) -> tuple[Proposal, tuple[InputError, ...]]:
    """What would be done; a fact of the controls that cannot be used is told and left out.

    Raises
    ------
    InputError, InputErrors
        If what was checked in is not enough.
    """
    store, key = asked.shop.records, job.view.card.id
    try:
        return propose(store, key, facts), ()
    except (InputError, InputErrors) as error:
        faults = _faults(error, asked.choice)
        usable = tuple(fact for fact in facts if fact[0] not in {fault.field for fault in faults})
        if len(usable) == len(facts):
            raise
        return propose(store, key, usable), faults


def _faults(error: InputError | InputErrors, choice: UnitChoice) -> tuple[InputError, ...]:
    errors = error.errors if isinstance(error, InputErrors) else (error,)
    return tuple(fault_in(one, choice) for one in errors)


def _unready(asked: PageRequest, job: OpenedJob, error: InputError | InputErrors) -> Response:
    faults = tuple(
        _Fault(one.field or "", str(InputError(one.rule, value=one.value, remedy=one.remedy, field=one.field)))
        for one in _faults(error, asked.choice)
    )
    return respond(UnreadyPage(frame=job_frame(asked, job, "Choose", Stage.PLAN), faults=faults))


def _plan_page(
    asked: PageRequest, job: OpenedJob, proposal: Proposal, selection: Selection, made: tuple[Set, tuple[str, ...]]
) -> PlanPage:
    waiting = open_questions_of(asked, job, selection)
    return PlanPage(
        frame=_frame(asked, job, proposal),
        wrong=made[1],
        controls=controls_of(selection, offers(selection.intake), made[0], asked.choice),
        outcome=outcome_of(selection, proposal.plan.work, asked.choice),
        asks=waiting,
        task_form=task_form(asked, job, proposal.plan.work),
        act=decide_form_of(asked, job, proposal, waiting, unread=made[0].unread or bool(made[1])),
    )


def _frame(asked: PageRequest, job: OpenedJob, proposal: Proposal) -> PageFrame:
    revision = proposal.known.revision
    return job_frame(asked, job, "Choose", Stage.PLAN, sheet=f"{revision.key}, revision {revision.revision}")


def _tasks_page(asked: PageRequest, job: OpenedJob, proposal: Proposal) -> TasksPage:
    choice, work = asked.choice, proposal.plan.work
    facts = [LabelledLine("time", times_text(work.steps, choice))]
    if work.sequence is not None:
        facts.append(LabelledLine("order", tools_and_parts.order_text(work.sequence, choice)))
    facts.append(LabelledLine("tools_and_parts", quantities.count_text(len(work.tools_and_parts), "line")))
    return TasksPage(
        frame=_frame(asked, job, proposal),
        tasks=tuple(tools_and_parts.task_text(task, choice) for task in work.tasks),
        facts=tuple(facts),
        steps=tuple(title(step, work.sheet) for step in work.steps),
        act=decide_form_of(asked, job, proposal),
    )


ROUTES = (get("/jobs/{number}/plan", _show),)
