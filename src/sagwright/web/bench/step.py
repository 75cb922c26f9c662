"""One step at the stand, read from a metre away, and everything left on one page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar
from urllib.parse import urlencode

from starlette.responses import JSONResponse, Response

from sagwright.domain.finding import Severity
from sagwright.domain.records.entry import Submission
from sagwright.domain.records.evidence import FOUND, failure_of
from sagwright.domain.records.payloads import Started, StepDone
from sagwright.domain.records.stages import Stage
from sagwright.errors import InputError, InputErrors, MissingValue, NotNow
from sagwright.phrases.findings import finding_sentence
from sagwright.phrases.spring import setup_text
from sagwright.phrases.steps import step_text
from sagwright.service.bench.state import BenchState, bench_state
from sagwright.service.jobs import actions
from sagwright.service.jobs.action_rules import require_permitted
from sagwright.service.jobs.queries import OpenedJob
from sagwright.units import UnitChoice, worded
from sagwright.web.bench.frame import Hold, address, before_work, during_work, held
from sagwright.web.bench.step_fields import readings_of_step
from sagwright.web.bench.step_view import PHOTO, StepShown, as_was_found, shown_step
from sagwright.web.files import LARGEST_UPLOAD, saved_photos_of, with_photos
from sagwright.web.http.form import Form, field_errors_of
from sagwright.web.http.page import Link, Page, respond
from sagwright.web.http.request import PageRequest, get, post, to
from sagwright.web.job_frame import job_frame, job_of

LONGEST_STEP = 8 * 3600.0  # s


@dataclass(frozen=True, slots=True)
class _Progress:
    """How far it is: steps done and all, as numbers; entries of the job."""

    done: int
    all: int
    entries: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchPage(Page):
    """One step.

    Attributes
    ----------
    step : StepShown
    after : str
        What comes next; empty for nothing.
    progress : Progress
    back : str
        Where the step before is; empty for none.
    impossible : tuple of str
        Why the wish is not possible any more, where these steps only close the unit again.
    faults : tuple of str
        What is wrong with what was sent, beside what stands at a field.
    """

    template: ClassVar[str] = "bench/step.html"

    step: StepShown
    after: str
    progress: _Progress
    back: str
    impossible: tuple[str, ...]
    faults: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class EverythingPage(Page):
    """Everything left on one page.

    Attributes
    ----------
    steps : tuple of StepShown
    progress : Progress
    back : str
    """

    template: ClassVar[str] = "bench/all_steps.html"

    steps: tuple[StepShown, ...]
    progress: _Progress
    back: str


def _show(asked: PageRequest) -> Response:
    """The step to do now, or why there is none."""
    job = job_of(asked)
    ready = _ready(asked, job)
    if isinstance(ready, Response):
        return ready
    return respond(_page(asked, job, ready))


def _page(
    asked: PageRequest, job: OpenedJob, work: BenchState, refused: tuple[Form, dict[str, str]] | None = None
) -> BenchPage:
    """The step to do now; where it was refused, with what was typed and what is wrong with it."""
    step, later = work.steps[0], work.steps[1:2]
    known = {record.key for record in step.records} | {one.key for one in step.inspect}
    form, wrong = refused or (Form(), {})
    shown = shown_step(asked, work, as_was_found(step, job.view.state), form, wrong)
    return BenchPage(
        frame=job_frame(asked, job, shown.text.title, Stage.BENCH),
        step=shown,
        after=step_text(later[0], work.sheet, asked.choice).title if later else "",
        progress=_progress(job, work),
        back=_back(job),
        impossible=tuple(_impossible(work, asked.choice)),
        faults=tuple(text for field, text in wrong.items() if field not in known),
    )


def _impossible(work: BenchState, choice: UnitChoice) -> Iterator[str]:
    if work.plan.reassembly is not None:
        yield from (finding_sentence(one, choice) for one in work.plan.findings if one.severity is Severity.NOT_ALLOWED)


def look_at_all(asked: PageRequest) -> Response:
    """Everything that is left, for those who know the family."""
    job = job_of(asked)
    ready = _ready(asked, job)
    if isinstance(ready, Response):
        return ready
    page = EverythingPage(
        frame=job_frame(asked, job, "All that is left", Stage.BENCH),
        steps=tuple(shown_step(asked, ready, as_was_found(step, job.view.state)) for step in ready.steps),
        progress=_progress(job, ready),
        back=_back(job),
    )
    return respond(page)


def _ready(asked: PageRequest, job: OpenedJob) -> BenchState | Response:
    """The work, if there is a step to do now; else the page that says why not."""
    hold = before_work(job)
    if hold is not None:
        return held(asked, job, "Bench", hold)
    try:
        work = bench_state(asked.shop.records, job.view.card.id)
    except InputError as error:
        said = ("What is recorded does not fit what was decided.", str(worded(error, asked.choice)))
        return held(asked, job, "This does not fit", Hold(said, ways=(Link("Log", address(job, "log")),)))
    hold = during_work(asked, job, work)
    return work if hold is None else held(asked, job, "Bench", hold)


def _progress(job: OpenedJob, work: BenchState) -> _Progress:
    done, card = len(work.done), job.view.card
    return _Progress(done, done + len(work.steps), str(card.entries))


def _back(job: OpenedJob) -> str:
    lines = [line for line in job.view.state.lines if isinstance(line.payload, StepDone)]
    return address(job, f"log/{lines[-1].entry.ordinal}") if lines else ""


def do(asked: PageRequest) -> Response:
    """A step was done."""
    job = job_of(asked)
    key = job.view.card.id
    back = address(job, "bench/all" if asked.form.text("back") == "all" else "bench")
    said, form = asked.submission(), asked.form
    require_permitted(job.view.state, StepDone)
    work = bench_state(asked.shop.records, key)
    try:
        form = with_photos(asked)
        changing = _do(asked, work, said, form)
    except (InputError, InputErrors) as error:
        if work.next is None or work.next.key != form.text("step"):
            raise
        return respond(_page(asked, job, work, (form, field_errors_of(error, asked.choice))), status=422)
    changed = _changed(asked, work) if changing else ""
    return to(f"{back}?{urlencode({'done': changed})}" if changed else back)


def _changed(asked: PageRequest, before: BenchState) -> str:
    """What a finding changed of the target, said where it was recorded."""
    after = bench_state(asked.shop.records, before.view.card.id)
    was, now = (one.plan.target for one in (before, after))
    if was is None or now is None or was.setup == now.setup:
        return ""
    texts = [setup_text(one.setup, asked.choice) for one in (was, now)]
    return f"What was found changed the plan, from {texts[0]} to {texts[1]}. A job sheet on paper no longer holds."


def _do(asked: PageRequest, work: BenchState, said: Submission, form: Form) -> bool:
    """Record a step; whether what was found in it may change the plan."""
    store, key = asked.shop.records, work.view.card.id
    step = next((one for one in (*work.steps, *work.done) if one.key == form.text("step")), None)
    if step is None:
        raise NotNow("This step is not one that is left.", remedy="Open the bench again and see what is next.")
    photos = saved_photos_of(form, PHOTO)
    readings = readings_of_step(step, form, asked.choice, photos[0] if photos else None)
    what = StepDone(step.key, readings, _seconds(form), photos)
    wrong = failure_of(step, readings, photos)
    actions.inspect(store, key, said, step=what, wrong=wrong)
    return wrong is not None or any(one.key.startswith(FOUND) for one in readings)


def _seconds(form: Form) -> float | None:
    text = form.text("seconds")
    return min(float(text), LONGEST_STEP) if text.isdecimal() else None


def _start(asked: PageRequest) -> Response:
    """The work begins."""
    job = job_of(asked)
    actions.record(asked.shop.records, job.view.card.id, asked.submission(), what=Started())
    return to(address(job, "bench"))


def resume_work(asked: PageRequest) -> Response:
    """The work goes on after it rested."""
    job = job_of(asked)
    if not asked.form.text("tick"):
        raise MissingValue("must be ticked", field="tick", remedy="Hang the tag on the unit first.")
    actions.resume_after_break(asked.shop.records, job.view.card.id, asked.submission())
    return to(address(job, "bench"))


def so(asked: PageRequest) -> Response:
    """What was found and does not agree was looked at again, and is so."""
    job = job_of(asked)
    if not asked.form.text("tick"):
        raise MissingValue("must be ticked", field="tick", remedy="Count and measure a second time first.")
    answer = "counted and measured a second time at the stand: it is so"
    actions.confirm_contradictions(asked.shop.records, job.view.card.id, asked.submission(), answer=answer)
    return to(address(job, "bench"))


def _now(asked: PageRequest) -> Response:
    """How many entries the job has: asked every second or two by pages that show it."""
    card = job_of(asked).view.card
    return JSONResponse({"entries": card.entries, "stage": card.stage.value}, headers={"Cache-Control": "no-store"})


ROUTES = (
    get("/jobs/{number}/bench", _show),
    get("/jobs/{number}/bench/all", look_at_all),
    post("/jobs/{number}/bench/do", do, most_bytes=LARGEST_UPLOAD),
    post("/jobs/{number}/bench/start", _start),
    post("/jobs/{number}/bench/after-break", resume_work),
    post("/jobs/{number}/bench/so", so),
)
DATA = (get("/jobs/{number}/bench/now", _now),)
