"""Prepare: what must lie ready, how long it takes, and the customer's yes, before anything is loosened."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import ClassVar, Final

from starlette.responses import Response

from sagwright.domain.records.entities import Draft
from sagwright.domain.records.payloads import Answered, Payload, Prepared, PutOnHold, Resumed
from sagwright.domain.records.stages import HoldReason, Stage
from sagwright.errors import InputError
from sagwright.phrases.changes import ChangeText
from sagwright.phrases.entries import difference_text
from sagwright.phrases.plan_rows import change_rows
from sagwright.phrases.tools_and_parts import order_text
from sagwright.service.jobs import actions
from sagwright.service.jobs.action_rules import require_permitted
from sagwright.service.jobs.decision import difference_of
from sagwright.service.jobs.queries import OpenedJob
from sagwright.service.workshop.records import list_drafts, read_draft, save_draft
from sagwright.web.http.form import Box, Fault, FieldErrors, Form, faults_of, form_of, pick_buttons
from sagwright.web.http.page import Page, respond
from sagwright.web.http.request import PageRequest, acted, get, post, to
from sagwright.web.job_frame import job_address, job_frame, job_of
from sagwright.web.jobs.actions import day_of
from sagwright.web.jobs.work_order import (
    DecidedWorkView,
    StepRow,
    SupplyGroup,
    Times,
    changes_rows,
    decided_of,
    special_tools,
    supply_groups_of,
    times_of,
)

_FORM: Final = "prepare"
ESTIMATE: Final = "estimate"
_ANSWERS: Final = {"yes": "yes", "no": "no", "later": "ask them, and wait"}
TICKABLE: Final = (Stage.PREPARE, Stage.BENCH)


@dataclass(frozen=True, slots=True, kw_only=True)
class PreparePage(Page):
    """What was decided, made ready.

    Attributes
    ----------
    number : int
    submission, other : str
        Ids of the forms for the tools and parts and for the customer's answer.
    saved : str
        Who ticked what is put back and not recorded yet; empty for nobody.
    expected : int
        How many entries the job had.
    faults : tuple of Fault
    difference : str
        How this program would compute it otherwise; empty where it would not.
    special : tuple of str
        Tools that may be lacking.
    tools_and_parts : tuple of SupplyGroup
    missing : int
        How many lines are not ticked.
    may_tick : bool
    changes : tuple of ChangeText
    times : Times
    order : str
        How good the order of the steps is.
    steps : tuple of StepRow
    customer : tuple of Box
        The form for the customer's answer.
    answered : str
        What the customer answered last; empty for nothing.
    """

    template: ClassVar[str] = "jobs/prepare.html"

    number: int
    submission: str
    other: str
    saved: str
    expected: int
    faults: tuple[Fault, ...]
    difference: str
    special: tuple[str, ...]
    tools_and_parts: tuple[SupplyGroup, ...]
    missing: int
    may_tick: bool
    changes: tuple[ChangeText, ...]
    times: Times
    order: str
    steps: tuple[StepRow, ...]
    customer: tuple[Box, ...]
    answered: str


def _show(asked: PageRequest) -> Response:
    """What was decided; before that, where to decide it."""
    job = job_of(asked)
    if job.view.state.decision is None:
        return to(f"{job_address(job.view.card.number)}?done=Nothing is decided yet: choose first.")
    return respond(_page(asked, job, draft=_draft(asked, job)))


def _draft(asked: PageRequest, job: OpenedJob) -> Draft | None:
    """What was ticked since the tools and parts was recorded last."""
    recorded = [line.entry.at for line in job.view.state.lines if isinstance(line.payload, Prepared)]
    drafts = list_drafts(asked.shop.records, _FORM, job=job.view.card.id)
    return next((one for one in drafts if not recorded or one.updated >= recorded[-1]), None)


def _save(asked: PageRequest) -> Response:
    """Keep what is ticked so far."""
    job = job_of(asked)
    ticked = {name: text for name, text in asked.form.pairs if name.startswith("tools_and_parts.")}
    save_draft(asked.shop.records, _FORM, ticked, asked.submission(), job=job.view.card.id)
    return to(_here(job))


def tick(asked: PageRequest) -> Response:
    """Record what lies ready."""
    job = job_of(asked)
    require_permitted(job.view.state, Prepared)
    work = decided_of(asked.shop.records, job.view.card.id).work
    keys = [line.key for line in work.tools_and_parts]
    ticked = tuple(key for key in keys if asked.form.has(f"tools_and_parts.{key}"))
    what = Prepared(ticked, ready=len(ticked) == len(keys))

    def do() -> str:
        said = asked.submission(expected=asked.expected)
        actions.record(asked.shop.records, job.view.card.id, said, what=what)
        done = "Everything lies ready" if what.ready else f"{len(ticked)} of {len(keys)} lie ready"
        return f"{_here(job)}?done={done}."

    return acted(asked, do, lambda wrongs: _page(asked, job_of(asked), wrongs=wrongs))


def customer_answer(asked: PageRequest) -> Response:
    """Record what the customer says to the estimate, or that they are to be asked."""
    job = job_of(asked)
    return acted(asked, lambda: _record_answer(asked, job), lambda wrongs: _page(asked, job_of(asked), wrongs=wrongs))


def _record_answer(asked: PageRequest, job: OpenedJob) -> str:
    form, key, store = asked.form, job.view.card.id, asked.shop.records
    said, answer, amount = asked.submission(expected=asked.expected), form.text("answer"), form.text("amount")
    if answer not in _ANSWERS:
        raise InputError("must be chosen", field="answer", remedy="Choose what the customer says.")
    if not amount:
        raise InputError("must not be empty", field="amount", remedy="Write what they were told it would cost.")
    what: Payload
    if answer == "later":
        what = PutOnHold(HoldReason.CUSTOMER, "yes to the estimate", amount)
    else:
        who, when = form.text("who"), day_of(form, "when") or _today(asked).isoformat()
        if not who:
            raise InputError("must not be empty", field="who", remedy="Write who said so.")
        waits = job.view.state.on_hold is not None
        resumed = Resumed(f"{answer} to the estimate: {amount}", who, when, answer == "yes")
        what = resumed if waits else Answered(ESTIMATE, who, when, f"{answer}: {amount}")
    actions.record(store, key, said, what=what)
    return f"{_here(job)}?done=Recorded."


def _today(asked: PageRequest) -> date:
    return asked.shop.now().astimezone().date()


def _here(job: OpenedJob) -> str:
    return job_address(job.view.card.number, "prepare")


def _page(
    asked: PageRequest, job: OpenedJob, *, wrongs: FieldErrors | None = None, draft: Draft | None = None
) -> PreparePage:
    state, choice = job.view.state, asked.choice
    decided = decided_of(asked.shop.records, job.view.card.id)
    difference = difference_of(asked.shop.records, state)
    draft = draft if state.stage in TICKABLE else None
    typed = form_of(read_draft(asked.shop.records, draft.id) or {}) if draft else asked.form
    ticked = _ticked(typed) if draft or typed.pairs else frozenset(state.ticked)
    fresh = "" in (wrongs or {}) or not asked.form.pairs
    boxes = _customer(asked, decided, wrongs or {})
    tools_and_parts = supply_groups_of(decided.work, ticked, choice)
    return PreparePage(
        frame=job_frame(asked, job, "Prepare", Stage.PREPARE, sheet=decided.revision),
        number=job.view.card.number,
        submission=draft.id if draft else asked.shop.new_id() if fresh else asked.id,
        other=asked.shop.new_id() if fresh else asked.id,
        saved=draft.by if draft else "",
        expected=state.entries,
        faults=faults_of(wrongs or {}, {box.name: box for box in boxes}),
        difference="" if difference is None else difference_text(difference),
        special=special_tools(decided.work),
        tools_and_parts=tools_and_parts,
        missing=sum(not item.chosen for shelf in tools_and_parts for item in shelf.items),
        may_tick=state.stage in TICKABLE,
        changes=change_rows(decided.work.changes, decided.sheet, choice),
        times=times_of(decided.work.steps, choice),
        order="" if decided.work.sequence is None else order_text(decided.work.sequence, choice),
        steps=changes_rows(decided, choice),
        customer=boxes,
        answered=_answered(job),
    )


def _ticked(form: Form) -> frozenset[str]:
    return frozenset(
        name.removeprefix("tools_and_parts.") for name, _ in form.pairs if name.startswith("tools_and_parts.")
    )


def _answered(job: OpenedJob) -> str:
    """The last of what the customer said to the estimate, whether at once or after waiting."""
    for line in reversed(job.view.state.lines):
        said = line.payload
        if (isinstance(said, Answered) and said.about == ESTIMATE) or (
            isinstance(said, Resumed) and said.yes is not None
        ):
            return f"{said.who}, {said.when}: {said.answer}"
    return ""


def _customer(asked: PageRequest, decided: DecidedWorkView, wrongs: FieldErrors) -> tuple[Box, ...]:
    form = asked.form
    hours = times_of(decided.work.steps, asked.choice).hours
    hint = f"In words, with its currency; the work alone is {hours}."
    boxes = (
        Box("amount", "what it would cost", hint=hint),
        Box("answer", "the customer says", "picks", picks=pick_buttons(_ANSWERS, form.text("answer"))),
        Box("who", "who answered"),
        Box("when", "when", "day", hint="Left empty: today."),
    )
    first = next((box.name for box in boxes if box.name in wrongs), "")
    return tuple(
        replace(box, value=form.raw(box.name), wrong=wrongs.get(box.name, ""), first=box.name == first) for box in boxes
    )


ROUTES = (
    get("/jobs/{number}/prepare", _show),
    post("/jobs/{number}/prepare", tick),
    post("/jobs/{number}/prepare/save", _save),
    post("/jobs/{number}/prepare/customer", customer_answer),
)
