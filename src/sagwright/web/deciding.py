"""What can be decided on a job, and what is asked first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from sagwright.domain.plan import Plan
from sagwright.domain.records.payloads import Answered
from sagwright.domain.records.stages import Stage
from sagwright.phrases import quantities
from sagwright.service.jobs.decision import Proposal
from sagwright.service.jobs.queries import OpenedJob
from sagwright.web.asked import Asked
from sagwright.web.outcome import asks

UNREAD: Final = "A control holds what cannot be used, so what is shown is not what is set: put it right first."
DECIDABLE: Final = (Stage.CHOOSE, Stage.PREPARE, Stage.BENCH)


@dataclass(frozen=True, slots=True)
class Ask:
    """A finding that wants an answer: its code, the id its answer would have, and what was answered already."""

    code: str
    submission: str
    answered: str


@dataclass(frozen=True, slots=True)
class Act:
    """What can be done here.

    Attributes
    ----------
    decide_at, answer_at : str
        Addresses.
    submission : str
        The id that the decision would have.
    expected : str
        How many entries the job had when this was shown.
    facts : tuple of str
        What is tried, each as path=text.
    today, by : str
    blocked : str
        Why nothing can be decided yet; empty if it can.
    decided : str
        What was decided before.
    """

    decide_at: str
    answer_at: str
    submission: str
    expected: str
    facts: tuple[str, ...]
    today: str
    by: str
    blocked: str
    decided: str


def asks_of(asked: Asked, job: OpenedJob, plan: Plan) -> tuple[Ask, ...]:
    """The findings that want an answer, with the answers there are."""
    known = {one.about: one for one in job.view.state.answers}
    return tuple(Ask(one.code, asked.shop.new_id(), _answered(known.get(one.code))) for one in asks(plan))


def _answered(answer: Answered | None) -> str:
    return "" if answer is None else f"{answer.who}, {answer.when}: {answer.answer}"


def _blocked(job: OpenedJob, proposal: Proposal, waiting: tuple[Ask, ...]) -> str:
    open_asks = sum(not one.answered for one in waiting)
    if job.view.card.stage not in DECIDABLE:
        return f"The job stands at {job.view.card.stage.value}, where nothing is decided any more."
    if isinstance(proposal.work, Plan) and proposal.work.target is None:
        return "There is no target: put right what the findings refuse."
    if open_asks:
        return f"Answer first what the findings ask: {quantities.count(open_asks, 'question')} without an answer."
    return ""


def act_of(
    asked: Asked, job: OpenedJob, proposal: Proposal, waiting: tuple[Ask, ...] = (), *, unread: bool = False
) -> Act:
    """What can be done with a proposal; nothing is decided while a control holds what cannot be read."""
    card, decision = job.view.card, job.view.state.decision
    here = f"/jobs/{card.number}/choose"
    again = "Something was decided before; deciding again replaces it from here on."
    return Act(
        decide_at=here,
        answer_at=f"{here}/answer",
        submission=asked.shop.new_id(),
        expected=str(card.entries),
        facts=tuple(f"{path}={text}" for path, text in proposal.tried),
        today=asked.shop.now().date().isoformat(),
        by=asked.by,
        blocked=UNREAD if unread else _blocked(job, proposal, waiting),
        decided=again if decision else "Nothing is decided yet.",
    )
