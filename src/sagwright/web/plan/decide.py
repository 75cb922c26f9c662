"""Deciding on a plan: the form that a page shows, and what it does."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from starlette.responses import Response

from sagwright.domain.plan import Selection
from sagwright.domain.records.payloads import Answered, IntakeUpdated
from sagwright.domain.records.stages import Stage
from sagwright.phrases import quantities
from sagwright.service.jobs import actions
from sagwright.service.jobs.decision import Proposal, propose
from sagwright.service.jobs.queries import OpenedJob
from sagwright.service.sheets import revision_named
from sagwright.web.http.form import Form
from sagwright.web.http.request import PageRequest, post, to
from sagwright.web.job_frame import job_of
from sagwright.web.plan.controls import ControlFacts
from sagwright.web.plan.outcome import outcome_questions
from sagwright.web.plan.tasks import offered_tasks

MOST_FACTS: Final = 20

UNREAD: Final = "A control holds what cannot be used, so what is shown is not what is set: put it right first."
DECIDABLE: Final = (Stage.PLAN, Stage.PREPARE, Stage.BENCH)


def decide_on(asked: PageRequest) -> Response:
    """Decide on what was shown."""
    job = job_of(asked)
    expected = asked.form.text("expected")
    said = asked.submission(expected=int(expected) if expected.isascii() and expected.isdigit() else None)
    proposal = propose(asked.shop.records, job.view.card.id, _sent(asked.form))
    actions.decide(asked.shop.records, proposal, said)
    return to(f"/jobs/{job.view.card.number}/plan?done=Decided.")


def _sent(form: Form) -> ControlFacts:
    """The facts of a wish that a form holds, and no others."""
    pairs = (text.partition("=") for text in form.all("fact")[:MOST_FACTS])
    return tuple((path, text) for path, _, text in pairs if path.startswith("wish."))


def answer(asked: PageRequest) -> Response:
    """Record what somebody answered to a finding."""
    job = job_of(asked)
    form = asked.form
    said = Answered(form.text("about"), form.text("who"), form.text("when"), form.text("answer"))
    actions.record(asked.shop.records, job.view.card.id, asked.submission(), what=said)
    return to(_back(asked, job))


def tasks(asked: PageRequest) -> Response:
    """Record which other tasks are done in the same opening; one that the unit has no work for is left out."""
    job = job_of(asked)
    _, sheet = revision_named(asked.shop.records, job.view.state.sheet)
    chosen = tuple(one for one in offered_tasks(job.view.state, sheet) if one in asked.form.all("task"))
    if chosen != job.view.state.tasks:
        said = asked.submission(expected=asked.expected)
        actions.update_intake(asked.shop.records, job.view.card.id, said, what=IntakeUpdated(tasks=chosen))
    return to(_back(asked, job))


def _back(asked: PageRequest, job: OpenedJob) -> str:
    """The page of choosing that the form stood on, with its controls."""
    back, here = asked.form.text("back"), f"/jobs/{job.view.card.number}/plan"
    return back if back.startswith(f"{here}?") or back == here else here


ROUTES = (
    post("/jobs/{number}/plan", decide_on),
    post("/jobs/{number}/plan/answer", answer),
    post("/jobs/{number}/plan/tasks", tasks),
)


@dataclass(frozen=True, slots=True)
class OpenQuestion:
    """A finding that wants an answer: its code, the id its answer would have, and what was answered already."""

    code: str
    submission: str
    answered: str


@dataclass(frozen=True, slots=True)
class DecideForm:
    """What can be done here.

    Attributes
    ----------
    submission : str
        The id that the decision would have.
    expected : str
        How many entries the job had when this was shown.
    facts : tuple of str
        What is tried, each as path=text.
    today : str
    blocked : str
        Why nothing can be decided yet; empty if it can.
    decided : str
        What was decided before.
    """

    submission: str
    expected: str
    facts: tuple[str, ...]
    today: str
    blocked: str
    decided: str


def open_questions_of(asked: PageRequest, job: OpenedJob, selection: Selection) -> tuple[OpenQuestion, ...]:
    """The findings that want an answer, with the answers there are."""
    known = {one.about: one for one in job.view.state.answers}
    return tuple(
        OpenQuestion(one.code, asked.shop.new_id(), _answered(known.get(one.code)))
        for one in outcome_questions(selection)
    )


def _answered(answer: Answered | None) -> str:
    return "" if answer is None else f"{answer.who}, {answer.when}: {answer.answer}"


def _blocked(job: OpenedJob, proposal: Proposal, waiting: tuple[OpenQuestion, ...]) -> str:
    open_asks = sum(not one.answered for one in waiting)
    if job.view.card.stage not in DECIDABLE:
        return f"The job stands at {job.view.card.stage.value}, where nothing is decided any more."
    if proposal.plan.impossible:
        return "There is no target: put right what the findings refuse."
    if open_asks:
        return f"Answer first what the findings ask: {quantities.count_text(open_asks, 'question')} without an answer."
    return ""


def decide_form_of(
    asked: PageRequest,
    job: OpenedJob,
    proposal: Proposal,
    waiting: tuple[OpenQuestion, ...] = (),
    *,
    unread: bool = False,
) -> DecideForm:
    """What can be done with a proposal; nothing is decided while a control holds what cannot be read."""
    card, decision = job.view.card, job.view.state.decision
    again = "Something was decided before; deciding again replaces it from here on."
    return DecideForm(
        submission=asked.shop.new_id(),
        expected=str(card.entries),
        facts=tuple(f"{path}={text}" for path, text in proposal.tried),
        today=asked.shop.now().date().isoformat(),
        blocked=UNREAD if unread else _blocked(job, proposal, waiting),
        decided=again if decision else "No plan is decided yet.",
    )
