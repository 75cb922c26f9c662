"""Forms of the choice: a target is decided on, and answers to findings are recorded."""

from __future__ import annotations

from typing import Final

from starlette.responses import Response

from sagwright.domain.records.payloads import Answered, Settled
from sagwright.service.jobs import actions
from sagwright.service.jobs.decision import decide, propose
from sagwright.service.jobs.queries import OpenedJob
from sagwright.web.asked import Asked, post
from sagwright.web.controls import Facts
from sagwright.web.form import Form
from sagwright.web.in_same_opening import offered_tasks
from sagwright.web.job_frame import job_of
from sagwright.web.known_sheets import revision_named

MOST_FACTS: Final = 20


def decide_on(asked: Asked) -> Response:
    """Decide on what was shown."""
    job = job_of(asked)
    expected = asked.form.text("expected")
    said = asked.submission(expected=int(expected) if expected.isascii() and expected.isdigit() else None)
    proposal = propose(asked.shop.records, job.view.card.id, _sent(asked.form))
    decide(asked.shop.records, proposal, said)
    return asked.done(f"/jobs/{job.view.card.number}/choose?done=Decided.")


def _sent(form: Form) -> Facts:
    """The facts of a wish that a form holds, and no others."""
    pairs = (text.partition("=") for text in form.all("fact")[:MOST_FACTS])
    return tuple((path, text) for path, _, text in pairs if path.startswith("wish."))


def answer(asked: Asked) -> Response:
    """Record what somebody answered to a finding."""
    job = job_of(asked)
    form = asked.form
    said = Answered(form.text("about"), form.text("who"), form.text("when"), form.text("answer"))
    actions.answer(asked.shop.records, job.view.card.id, asked.submission(), what=said)
    return asked.done(_back(asked, job))


def tasks(asked: Asked) -> Response:
    """Record which other tasks are done in the same opening; one that the unit has no work for is left out."""
    job = job_of(asked)
    _, sheet = revision_named(asked.shop.records, job.view.state.sheet)
    chosen = tuple(one for one in offered_tasks(job.view.state, sheet) if one in asked.form.all("task"))
    if chosen != job.view.state.tasks:
        said = asked.submission(expected=asked.expected)
        actions.settle(asked.shop.records, job.view.card.id, said, what=Settled(tasks=chosen))
    return asked.done(_back(asked, job))


def _back(asked: Asked, job: OpenedJob) -> str:
    """The page of choosing that the form stood on, with its controls."""
    back, here = asked.form.text("back"), f"/jobs/{job.view.card.number}/choose"
    return back if back.startswith(f"{here}?") or back == here else here


ROUTES = (
    post("/jobs/{number}/choose", decide_on),
    post("/jobs/{number}/choose/answer", answer),
    post("/jobs/{number}/choose/tasks", tasks),
)
