"""Report a problem: what was found, and what follows: plan anew, ask the customer, refuse or scrap."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar, Final

from starlette.responses import Response

from sagwright.domain.records.entry import Submission
from sagwright.domain.records.job import EntryLine
from sagwright.domain.records.payloads import ProblemFound, PutOnHold, Resumed, Withdrawn, WorkRefused
from sagwright.domain.records.stages import CLOSED, HoldReason, Stage
from sagwright.domain.setup import StackSetting
from sagwright.domain.step import Step
from sagwright.domain.value import Quantity
from sagwright.errors import InputError, MissingValue, NotNow, NotThere
from sagwright.formats.fields.tasks import read_task
from sagwright.phrases.changes import setting_name
from sagwright.phrases.entries import WAITS_FOR
from sagwright.phrases.steps import title
from sagwright.phrases.tools_and_parts import task_text
from sagwright.service.bench.state import BenchState, bench_state
from sagwright.service.jobs import actions
from sagwright.service.jobs.actions import EntryPart
from sagwright.service.jobs.queries import OpenedJob
from sagwright.web.bench.frame import address
from sagwright.web.bench.step_fields import read_si
from sagwright.web.counter.questions import TASKS
from sagwright.web.files import LARGEST_UPLOAD, save_photos
from sagwright.web.http.form import Form, Pick
from sagwright.web.http.page import Page, respond
from sagwright.web.http.request import PageRequest, get, post, to
from sagwright.web.job_frame import job_frame, job_of
from sagwright.web.plan.tasks import offered_tasks

COMMON: Final = {
    "other-inside": "It does not match the sheet: another part or setup inside.",
    "stuck-down": "It is stuck down and won't extend. It holds pressure: stop, pull no retaining ring and no seal "
    "head.",
    "washer": "A washer or seal is missing, doubled or torn.",
    "oil": "Oil where none should be, or none where it should.",
    "thread": "A thread is damaged or turned on.",
    "extra": "Something more is worth doing: a task for the customer to say yes to.",
}
CHECK_OF_EMPTY: Final = "moves_and_stays"
AFTER: Final = "-then"
"""What the id of what follows a finding has behind that of the finding."""
THEN: Final = (
    ("replan", "record it and plan the rest again"),
    ("hold", "put on hold: ask the customer"),
    ("refuse", "refuse: no more work on it"),
    ("scrap", "scrap: nobody may use it again"),
)
COUNTED: Final = {key: f"{setting_name(key)} found" for key in ("travel_spacers", "port_position", "volume_spacers")}
"""What may be found inside beside what a step asks for, by its setting."""


@dataclass(frozen=True, slots=True)
class Waiting:
    """What the job waits for, and the form that ends it: empty where it waits for nothing.

    `tasks` are those that a yes adds; `needed` is what was found not to pass, and does not pass by a no either;
    `finding` is what a no may take back.
    """

    text: str = ""
    amount: str = ""
    today: str = ""
    tasks: tuple[str, ...] = ()
    needed: tuple[str, ...] = ()
    finding: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ProblemPage(Page):
    """What can be found, and what follows.

    Attributes
    ----------
    at : str
        The step it showed at, in words; empty for none.
    step : str
        Its key.
    options : tuple of Pick
    settings : tuple of Pick
    then : tuple of Pick
    extras : tuple of Pick
        Tasks that are not among the work yet, and that the customer could be asked for.
    waiting : Waiting
    ended : tuple of str
        What ends the work already; then only a verdict is left.
    submission, other : str
    """

    template: ClassVar[str] = "bench/problem.html"

    at: str
    step: str
    options: tuple[Pick, ...]
    settings: tuple[Pick, ...]
    then: tuple[Pick, ...]
    extras: tuple[Pick, ...]
    waiting: Waiting
    ended: tuple[str, ...]
    submission: str
    other: str


def _show(asked: PageRequest) -> Response:
    """The short list for a step."""
    job = job_of(asked)
    if job.view.card.stage in CLOSED:
        raise NotNow("The job is closed.", remedy="Take the unit in again as a comeback.")
    work = _work(asked, job)
    step = _step(work, asked.query.text("step"))
    stops = tuple(stop.what for stop in work.stops) if work else ()
    page = ProblemPage(
        frame=job_frame(asked, job, "Report a problem", Stage.BENCH),
        at=title(step, work.sheet) if work and step else "",
        step=step.key if step else "",
        options=tuple(_options(step)),
        settings=tuple(_settings(work)),
        then=tuple(
            Pick(value, text, chosen=value == "replan") for value, text in THEN if not (stops and value == "replan")
        ),
        extras=tuple(_extras(job, work)),
        waiting=_waiting(asked, job, work),
        ended=stops,
        submission=asked.shop.new_id(),
        other=asked.shop.new_id(),
    )
    return respond(page)


def _work(asked: PageRequest, job: OpenedJob) -> BenchState | None:
    """The work, where there is any that fits what is recorded."""
    try:
        return bench_state(asked.shop.records, job.view.card.id)
    except (InputError, NotThere):
        return None


def _step(work: BenchState | None, key: str) -> Step | None:
    if work is None:
        return None
    return next((one for one in (*work.steps, *work.done) if one.key == key), None) if key else work.next


def _options(step: Step | None) -> list[Pick]:
    own = (
        []
        if step is None
        else [*((one.key, f"Not so: {one.what.removesuffix('.')}: {one.limit}") for one in step.inspect)]
    )
    if step is not None:
        own += [(one.key, f"Not so: {one.what}") for one in step.records if one.quantity is None]
    return [Pick(value, text) for value, text in (*own, *COMMON.items())]


def _settings(work: BenchState | None) -> list[Pick]:
    if work is None or work.plan.selection is None:
        return []
    stack = isinstance(work.plan.work.as_found.setting, StackSetting)
    return [Pick(name, text) for name, text in COUNTED.items() if stack or name == "volume_spacers"]


def _waiting(asked: PageRequest, job: OpenedJob, work: BenchState | None) -> Waiting:
    waits = job.view.state.on_hold
    if waits is None:
        return Waiting()
    tasks = tuple(task_text(read_task(one), asked.choice) for one in waits.tasks)
    text = f"{WAITS_FOR[waits.reason]}: {waits.what}"
    needed = () if work is None else tuple(_unmet(job, work))
    return Waiting(text, waits.amount, asked.shop.now().date().isoformat(), tasks, needed, _said(job))


def _said(job: OpenedJob) -> str:
    finding = _finding(job)
    return finding.payload.what if finding and isinstance(finding.payload, ProblemFound) else ""


def _unmet(job: OpenedJob, work: BenchState) -> Iterator[str]:
    """What that finding found not to pass."""
    finding = _finding(job)
    criteria = {one.key: one for item in work.sheet.items for one in item.inspect}
    for key in finding.payload.failed if finding and isinstance(finding.payload, ProblemFound) else ():
        if key in criteria:
            yield f"{criteria[key].what.removesuffix('.')}: {criteria[key].limit}"


def _finding(job: OpenedJob) -> EntryLine | None:
    """The finding that the job waits for an answer to; None where it waits for something else."""
    lines = job.view.state.lines
    asked = next((one.entry.id for one in reversed(lines) if isinstance(one.payload, PutOnHold)), "")
    found = (one for one in lines if isinstance(one.payload, ProblemFound))
    return next((one for one in found if one.entry.id + AFTER == asked), None)


def _extras(job: OpenedJob, work: BenchState | None) -> Iterator[Pick]:
    if work is None or not job.view.state.started:
        return
    there = job.view.state.tasks
    yield from (Pick(one, TASKS[one]) for one in offered_tasks(job.view.state, work.sheet) if one not in there)


def _record(asked: PageRequest) -> Response:
    """What was found, and what follows."""
    job, form = job_of(asked), asked.form
    key, said, then = job.view.card.id, asked.submission(), form.text("then")
    if then not in dict(THEN):
        raise MissingValue("must be chosen", field="then", remedy="Choose what follows.")
    wrong = _known(job, said) or _found(asked, job, said)
    parts = (EntryPart(wrong), *_follows(form, then, wrong))
    actions.record_together(asked.shop.records, key, said, parts)
    return to(address(job, "tag" if then in ("refuse", "scrap") else "bench"))


def _follows(form: Form, then: str, wrong: ProblemFound) -> Iterator[EntryPart]:
    """What is recorded with a finding, in the same act."""
    if then == "hold":
        extras = tuple(form.all("tasks"))
        waits = PutOnHold(HoldReason.CUSTOMER, form.text("ask") or wrong.what, form.text("amount"), extras)
        yield EntryPart(waits, AFTER)
    elif then in ("refuse", "scrap"):
        yield EntryPart(WorkRefused(wrong.what, then == "scrap", wrong.photos), AFTER)


def _known(job: OpenedJob, said: Submission) -> ProblemFound | None:
    """The finding as it was recorded, where it was and is sent once more: it may have changed the steps since."""
    recorded = (one.entry.payload for one in job.view.state.lines if one.entry.id == said.id)
    return next((one for one in recorded if isinstance(one, ProblemFound)), None)


def _found(asked: PageRequest, job: OpenedJob, said: Submission) -> ProblemFound:
    form = asked.form
    step = _step(_work(asked, job), form.text("step"))
    if step is None and form.text("step"):
        raise NotNow(
            "The step where it was found is no longer part of the work.", remedy="Record it again at the bench."
        )
    known = (
        {}
        if step is None
        else {one.key: one.what for one in step.inspect} | {one.key: one.what for one in step.records}
    )
    chosen = form.all("what")
    words = [*(known.get(one) or COMMON.get(one, "") for one in chosen), form.text("words")]
    failed = [one for one in chosen if one in known]
    if "stuck-down" in chosen and CHECK_OF_EMPTY in known:
        failed.append(CHECK_OF_EMPTY)
    found = []
    for name, text in COUNTED.items():
        value, _ = read_si(form, name, Quantity.COUNT, asked.choice)
        if value is not None:
            found.append((name, value))
            words.append(f"{text}: {value:g}")
    whole = " ".join(word for word in words if word)
    photos = save_photos(asked.shop.records, form, "photo", said)
    return ProblemFound(whole, step.key if step else None, tuple(failed), tuple(found), photos)


def resume(asked: PageRequest) -> Response:
    """The answer that was waited for; a "no" takes back what it was asked for, and plans anew."""
    job, form = job_of(asked), asked.form
    key, said = job.view.card.id, asked.submission()
    yes = {"yes": True, "no": False}.get(form.text("yes"))
    what = Resumed(form.text("answer"), form.text("who"), form.text("when"), yes)
    parts = [EntryPart(what)]
    finding = _finding(job)
    if yes is False and finding is not None and form.text("drop"):
        no = Withdrawn(f"no, said {what.who} on {what.when}")
        parts.append(EntryPart(no, "-no", corrects=finding.entry.id))
    actions.record_together(asked.shop.records, key, said, tuple(parts))
    return to(address(job, "bench"))


ROUTES = (
    get("/jobs/{number}/bench/problem", _show),
    post("/jobs/{number}/bench/problem", _record, most_bytes=LARGEST_UPLOAD),
    post("/jobs/{number}/bench/resume", resume),
)
