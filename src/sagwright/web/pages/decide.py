"""Forms of the choice: a target is decided on, and answers to findings are recorded."""

from __future__ import annotations

from typing import Final

from starlette.responses import Response

from sagwright.domain.records.payloads import Answered
from sagwright.service import jobs
from sagwright.service.choosing import decide, propose
from sagwright.web.asked import Asked, post
from sagwright.web.controls import Facts
from sagwright.web.form import Form
from sagwright.web.job_frame import job_of

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
    jobs.answer(asked.shop.records, job.view.card.id, asked.submission(), what=said)
    back = form.text("back")
    here = f"/jobs/{job.view.card.number}/choose"
    return asked.done(back if back.startswith(f"{here}?") or back == here else here)


ROUTES = (post("/jobs/{number}/choose", decide_on), post("/jobs/{number}/choose/answer", answer))
