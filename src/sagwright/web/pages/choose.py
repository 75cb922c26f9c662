"""Choose the target of a job: every change of a control shows what it would do, and one of them is decided."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Final
from urllib.parse import urlencode

from starlette.responses import Response

from sagwright.domain.plan import Plan
from sagwright.domain.records.payloads import Answered
from sagwright.domain.records.stages import Stage
from sagwright.errors import InputError, InputErrors, NotThere
from sagwright.phrases import figures
from sagwright.service import jobs
from sagwright.service.choosing import Proposal, decide, propose
from sagwright.service.looking import OpenedJob, open_job_numbered
from sagwright.service.offers import offers
from sagwright.web.asked import Asked, get, post, to
from sagwright.web.controls import Controls, Facts, Set, controls_of, read_controls
from sagwright.web.form import Form
from sagwright.web.frame import Page
from sagwright.web.job_frame import job_frame
from sagwright.web.outcome import Outcome, asks, outcome_of
from sagwright.web.render import respond

MOST_FACTS: Final = 20
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


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoosePage(Page):
    """The controls of a wish and what they come to.

    Attributes
    ----------
    wrong : tuple of str
        What of the controls cannot be used, beside what stands at a field.
    controls : Controls
    outcome : Outcome
    asks : tuple of Ask
    act : Act
    """

    template: ClassVar[str] = "choose.html"

    wrong: tuple[str, ...]
    controls: Controls
    outcome: Outcome
    asks: tuple[Ask, ...]
    act: Act


@dataclass(frozen=True, slots=True)
class Fault:
    """Something that is missing or wrong in what was taken in: what it is about, and a sentence."""

    field: str
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class UnreadyPage(Page):
    """Why nothing can be chosen yet.

    Attributes
    ----------
    faults : tuple of Fault
    """

    template: ClassVar[str] = "unready.html"

    faults: tuple[Fault, ...]


def look(asked: Asked) -> Response:
    """What the controls come to."""
    if taken := asked.query.text("take"):
        return to(_taking(asked, taken))
    job = _job(asked)
    made = read_controls(asked.query, asked.choice)
    try:
        proposal, wrong = _proposed(asked, job, made.facts)
    except (InputError, InputErrors) as error:
        return _unready(asked, job, error)
    if not isinstance(proposal.work, Plan):
        return _unready(asked, job, InputError("asks for no change of travel", field="wish", remedy=NO_CHOICE))
    return respond(_page(asked, job, made, proposal, wrong))


NO_CHOICE: Final = "There is nothing to choose: the tasks say what is done."


def _taking(asked: Asked, taken: str) -> str:
    """The address at which a candidate's row is what the controls are set to."""
    spacers, _, pressure = taken.partition(" ")
    kept = [(k, v) for k, v in asked.query.pairs if k not in {"take", "spacers"} and not k.startswith("pressure")]
    pairs = [*kept, ("spacers", spacers)]
    if pressure:
        number, _, unit = pressure.partition(" ")
        pairs += [("pressure", number), ("pressure.unit", unit), ("pressure.was", number), ("pressure.as", pressure)]
    return f"{asked.here.partition('?')[0]}?{urlencode(pairs)}"


def _job(asked: Asked) -> OpenedJob:
    """The job of the address."""
    number = asked.path["number"]
    if not (number.isascii() and number.isdigit() and len(number) < 10):
        raise NotThere(f"There is no job {number}.")
    return open_job_numbered(asked.shop.records, int(number))


def _proposed(asked: Asked, job: OpenedJob, facts: Facts) -> tuple[Proposal, tuple[str, ...]]:
    """What would be done; a fact of the controls that cannot be used is told and left out.

    Raises
    ------
    InputError, InputErrors
        If what was taken in is not enough.
    """
    store, key = asked.shop.records, job.view.card.id
    try:
        return propose(store, key, facts), ()
    except (InputError, InputErrors) as error:
        faults = _faults(error)
        usable = tuple(fact for fact in facts if fact[0] not in {fault.field for fault in faults})
        if len(usable) == len(facts):
            raise
        return propose(store, key, usable), tuple(str(fault.at(file=None, line=None, field=None)) for fault in faults)


def _faults(error: InputError | InputErrors) -> tuple[InputError, ...]:
    return error.errors if isinstance(error, InputErrors) else (error,)


def _unready(asked: Asked, job: OpenedJob, error: InputError | InputErrors) -> Response:
    faults = tuple(
        Fault(one.field or "", str(InputError(one.rule, value=one.value, remedy=one.remedy, field=one.field)))
        for one in _faults(error)
    )
    return respond(UnreadyPage(frame=job_frame(asked, job, "Choose", Stage.CHOOSE), faults=faults))


def _page(asked: Asked, job: OpenedJob, made: Set, proposal: Proposal, wrong: tuple[str, ...]) -> ChoosePage:
    plan = proposal.work
    if not isinstance(plan, Plan):
        raise TypeError("only a plan has a target to choose")
    waiting = tuple(_asks(asked, job, plan))
    return ChoosePage(
        frame=job_frame(asked, job, "Choose", Stage.CHOOSE),
        wrong=wrong,
        controls=controls_of(plan, offers(plan.intake), made, asked.choice),
        outcome=outcome_of(plan, asked.choice),
        asks=waiting,
        act=_act(asked, job, proposal, _blocked(job, plan, waiting)),
    )


def _asks(asked: Asked, job: OpenedJob, plan: Plan) -> list[Ask]:
    known = {one.about: one for one in job.view.state.answers}
    return [Ask(one.code, asked.shop.new_id(), _answered(known.get(one.code))) for one in asks(plan)]


def _answered(answer: Answered | None) -> str:
    return "" if answer is None else f"{answer.who}, {answer.when}: {answer.answer}"


def _blocked(job: OpenedJob, plan: Plan, waiting: tuple[Ask, ...]) -> str:
    open_asks = sum(not one.answered for one in waiting)
    if job.view.card.stage not in DECIDABLE:
        return f"The job stands at {job.view.card.stage.value}, where nothing is decided any more."
    if plan.target is None:
        return "There is no target: put right what the findings refuse."
    if open_asks:
        return f"Answer first what the findings ask: {figures.count(open_asks, 'question')} without an answer."
    return ""


def _act(asked: Asked, job: OpenedJob, proposal: Proposal, blocked: str) -> Act:
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
        blocked=blocked,
        decided=again if decision else "Nothing is decided yet.",
    )


def decide_on(asked: Asked) -> Response:
    """Decide on what was shown."""
    job = _job(asked)
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
    job = _job(asked)
    form = asked.form
    said = Answered(form.text("about"), form.text("who"), form.text("when"), form.text("answer"))
    jobs.answer(asked.shop.records, job.view.card.id, asked.submission(), what=said)
    back = form.text("back")
    here = f"/jobs/{job.view.card.number}/choose"
    return asked.done(back if back.startswith(f"{here}?") or back == here else here)


ROUTES = (
    get("/jobs/{number}/choose", look),
    post("/jobs/{number}/choose", decide_on),
    post("/jobs/{number}/choose/answer", answer),
)
