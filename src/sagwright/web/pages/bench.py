"""One step at the stand, read from a metre away, and everything left on one page."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import ClassVar

from starlette.responses import JSONResponse, Response

from sagwright.domain.item import Record, Verdict
from sagwright.domain.records.entry import Submission
from sagwright.domain.records.job import JobState
from sagwright.domain.records.payloads import FoundWrong, Recorded
from sagwright.domain.records.stages import CLOSED, Stage, WaitFor
from sagwright.domain.step import Step
from sagwright.domain.value import Quantity
from sagwright.errors import InputError, InputErrors, MissingValue, NotNow
from sagwright.phrases import figures
from sagwright.phrases.entries import WAITS_FOR
from sagwright.phrases.steps import StepText, step_text
from sagwright.service import jobs
from sagwright.service.looking import OpenedJob
from sagwright.service.sequence import REASONS
from sagwright.service.stand import AtTheStand, Rested, at_the_stand, rested
from sagwright.service.stepping import do_step, go_on_after_rest, inspect
from sagwright.web.asked import Asked, get, post
from sagwright.web.bench_frame import Hold, address, frame_of, held
from sagwright.web.form import Form
from sagwright.web.frame import Link, Page
from sagwright.web.job_frame import job_of
from sagwright.web.keep_photos import MOST_BYTES, with_photos
from sagwright.web.render import respond
from sagwright.web.step_fields import StepAsked, asked_of, failed_in, faults_by_field, readings_of
from sagwright.web.taken import kept_of

PHOTO = "photo"  # the place of the photo of a step
COUNTED, SET_BACK = "_found", "_left"  # how the readings of an adjuster end, counted and set back
LONGEST_STEP = 8 * 3600.0  # s
BEFORE_BENCH = (Stage.TAKE_IN, Stage.CHOOSE)


@dataclass(frozen=True, slots=True)
class Fact:
    """One fact of a step: "tool", "socket 26 mm"."""

    label: str
    text: str


@dataclass(frozen=True, slots=True)
class CautionShown:
    """A caution: its signal word and what it says."""

    signal: str
    text: str


@dataclass(frozen=True, slots=True)
class StepShown:
    """A step as it is shown.

    Attributes
    ----------
    key, title, instruction, position : str
    what_for : str
        Which rule makes it come now, in words; empty where none does.
    cautions : tuple of CautionShown
    facts : tuple of Fact
    minutes, seconds : str
        Expected time, in words and as a number.
    gate, asks : bool
        Whether it wants evidence; whether it asks anything at all.
    fields : StepAsked
    photos : tuple of str
        Ids of photos that came with it and are kept, though it was refused.
    submission : str
        The id that its entry would have.
    """

    key: str
    title: str
    instruction: str
    position: str
    what_for: str
    cautions: tuple[CautionShown, ...]
    facts: tuple[Fact, ...]
    minutes: str
    seconds: str
    gate: bool
    asks: bool
    fields: StepAsked
    photos: tuple[str, ...]
    submission: str


@dataclass(frozen=True, slots=True)
class Progress:
    """How far it is: steps done and all, as numbers; entries of the job; where to ask for them."""

    done: int
    all: int
    entries: str
    now_at: str


@dataclass(frozen=True, slots=True)
class Ways:
    """Where it leads: the form's address, one step, the step before, something wrong, everything left, the tag."""

    do: str
    one: str
    back: str
    wrong: str
    everything: str
    tag: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchPage(Page):
    """One step.

    Attributes
    ----------
    step : StepShown
    after : str
        What comes next; empty for nothing.
    progress : Progress
    ways : Ways
    by : str
    faults : tuple of str
        What is wrong with what was sent, beside what stands at a field.
    """

    template: ClassVar[str] = "bench.html"

    step: StepShown
    after: str
    progress: Progress
    ways: Ways
    by: str
    faults: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class EverythingPage(Page):
    """Everything left on one page.

    Attributes
    ----------
    steps : tuple of StepShown
    progress : Progress
    ways : Ways
    by : str
    """

    template: ClassVar[str] = "bench_all.html"

    steps: tuple[StepShown, ...]
    progress: Progress
    ways: Ways
    by: str


def look(asked: Asked) -> Response:
    """The step to do now, or why there is none."""
    job = job_of(asked)
    ready = _ready(asked, job)
    if isinstance(ready, Response):
        return ready
    return respond(_page(asked, job, ready))


def _page(
    asked: Asked, job: OpenedJob, work: AtTheStand, refused: tuple[Form, dict[str, str]] | None = None
) -> BenchPage:
    """The step to do now; where it was refused, with what was typed and what is wrong with it."""
    step, later = work.steps[0], work.steps[1:2]
    known = {record.key for record in step.records} | {one.key for one in step.inspect}
    form, wrong = refused or (Form(), {})
    shown = shown_step(asked, work, as_was_found(step, job.view.state), form, wrong)
    return BenchPage(
        frame=frame_of(asked, job, shown.title, Stage.BENCH),
        step=shown,
        after=step_text(later[0], work.sheet, asked.choice).title if later else "",
        progress=_progress(job, work),
        ways=_ways(job, work),
        by=asked.by,
        faults=tuple(text for field, text in wrong.items() if field not in known),
    )


def look_at_all(asked: Asked) -> Response:
    """Everything that is left, for those who know the family."""
    job = job_of(asked)
    ready = _ready(asked, job)
    if isinstance(ready, Response):
        return ready
    page = EverythingPage(
        frame=frame_of(asked, job, "All that is left", Stage.BENCH),
        steps=tuple(shown_step(asked, ready, as_was_found(step, job.view.state)) for step in ready.steps),
        progress=_progress(job, ready),
        ways=_ways(job, ready),
        by=asked.by,
    )
    return respond(page)


def _ready(asked: Asked, job: OpenedJob) -> AtTheStand | Response:
    """The work, if there is a step to do now; else the page that says why not."""
    hold = _before(job)
    if hold is not None:
        return held(asked, job, "Bench", hold)
    try:
        work = at_the_stand(asked.shop.records, job.view.card.id)
    except InputError as error:
        said = ("What is recorded does not fit what was decided.", str(error))
        return held(asked, job, "This does not fit", Hold(said, ways=(Link("Entries", address(job, "entries")),)))
    hold = _during(asked, job, work)
    return work if hold is None else held(asked, job, "Bench", hold)


def _before(job: OpenedJob) -> Hold | None:
    card = job.view.card
    number = f"/jobs/{card.number}"
    if card.stage in CLOSED:
        return Hold((f"The job is closed: {card.stage}.",), ways=(Link("Hand over", f"{number}/hand-over"),))
    if card.stage in BEFORE_BENCH:
        return Hold(("Nothing is decided yet.",), ways=(Link("Choose", f"{number}/choose"),))
    if card.waiting:
        waits = (f"The work waits for {WAITS_FOR[WaitFor(card.waiting)]}.", card.waiting_what)
        return Hold(waits, ways=(Link("The answer is here", f"{number}/bench/wrong"), Link("Tag", f"{number}/tag")))
    if not job.view.state.started:
        said = ("The work has not begun.", "Look that the kit lies ready, hang the tag on the unit, then start.")
        return Hold(said, "Start", f"{number}/bench/start", ways=(Link("Tag to print", f"{number}/tag"),))
    return None


def _during(asked: Asked, job: OpenedJob, work: AtTheStand) -> Hold | None:
    number = f"/jobs/{job.view.card.number}"
    wrong = Link("Something's wrong", f"{number}/bench/wrong")
    said: tuple[str, ...]
    if work.stops:
        found = tuple(f"{stop.what} Verdict: {stop.verdict or Verdict.REFUSE}." for stop in work.stops)
        said = ("The work ends here. Open nothing more, and nothing at all that holds gas in.", *found)
        return Hold(said, ways=(Link("Write the verdict", wrong.href), Link("Tag to print", f"{number}/tag")))
    if work.impossible and work.next is None:
        said = ("What was found inside makes the wish impossible.", "Choose again, ask the owner, or refuse.")
        return Hold(said, ways=(Link("Choose again", f"{number}/choose"), wrong))
    if work.next is None:
        return Hold(("Every step is done.",), ways=(Link("Prove", f"{number}/prove"),))
    pause = rested(job.view, asked.shop.now(), asked.by)
    return None if pause is None else _rest(asked, job, work, pause)


def _rest(asked: Asked, job: OpenedJob, work: AtTheStand, pause: Rested) -> Hold:
    number = f"/jobs/{job.view.card.number}"
    minutes = (asked.shop.now() - pause.since).total_seconds()
    ago = figures.number(minutes, Quantity.TIME, asked.choice)
    why = f"It was in the hands of {pause.by}" if pause.other else "It rested"
    said = (
        f"{why}; the last entry is {ago} old.",
        "Nobody knows any more what is charged and tight: both are proven again first, and written down.",
    )
    step = step_text(work.steps[0], work.sheet, asked.choice).title
    tick = 'The tag "not rideable" hangs on the unit.'
    return Hold(said, "Go on", f"{number}/bench/go-on", tick, (Link("Tag to print", f"{number}/tag"),), step)


def as_was_found(step: Step, state: JobState) -> Step:
    """The step that sets back what was counted, with what was counted as its limits: one click more or less."""
    found = {
        one.key: one.value
        for line in state.lines
        if isinstance(line.payload, Recorded)
        for one in line.payload.readings
        if one.key.endswith(COUNTED) and one.quantity is Quantity.COUNT and one.value is not None
    }
    return replace(step, records=tuple(_counted(one, found) for one in step.records))


def _counted(record: Record, found: Mapping[str, float]) -> Record:
    value = found.get(record.key.removesuffix(SET_BACK) + COUNTED) if record.key.endswith(SET_BACK) else None
    if value is None or record.low is not None or record.high is not None:
        return record
    what = f"{record.what.removesuffix('.')} (found {value:g})"
    return replace(record, what=what, low=max(value - 1.0, 0.0), high=value + 1.0)


def shown_step(
    asked: Asked, work: AtTheStand, step: Step, form: Form | None = None, wrong: dict[str, str] | None = None
) -> StepShown:
    """A step in words, with its fields."""
    text = step_text(step, work.sheet, asked.choice)
    return StepShown(
        key=step.key,
        title=text.title,
        instruction=next((line.text for line in text.lines if line.label == "do"), ""),
        position=step.position,
        what_for=_reason(step),
        cautions=tuple(CautionShown(one.signal.value, one.text) for one in text.cautions),
        facts=tuple(_facts(text)),
        minutes=text.minutes,
        seconds=f"{step.minutes.si:.0f}",
        gate=step.gate,
        asks=step.gate or bool(step.inspect),
        fields=asked_of(step, asked.choice, form, wrong),
        photos=kept_of(form, PHOTO) if form else (),
        submission=(form.text("submission") if form else "") or asked.shop.new_id(),
    )


def _reason(step: Step) -> str:
    """Why it is done so, or why now: the first interlock that it keeps or waits for."""
    rules = (*step.rules, *(need.rule for need in step.needs))
    return next((REASONS[rule] for rule in rules if rule in REASONS), "")


def _facts(text: StepText) -> list[Fact]:
    """Numbers first: torque, fill, pressure; what is held in the hand after them."""
    facts = [Fact(line.label, line.text) for line in text.lines if line.label not in ("do", "record", "look")]
    return sorted(facts, key=lambda fact: fact.label in ("tool", "tools"))


def _progress(job: OpenedJob, work: AtTheStand) -> Progress:
    done, card = len(work.done), job.view.card
    return Progress(done, done + len(work.steps), str(card.entries), address(job, "bench/now"))


def _ways(job: OpenedJob, work: AtTheStand) -> Ways:
    lines = [line for line in job.view.state.lines if isinstance(line.payload, Recorded)]
    back = address(job, f"entries/{lines[-1].entry.ordinal}") if lines else ""
    return Ways(
        do=address(job, "bench/do"),
        one=address(job, "bench"),
        back=back,
        wrong=address(job, f"bench/wrong?step={work.steps[0].key}"),
        everything=address(job, "bench/all"),
        tag=address(job, "tag"),
    )


def do(asked: Asked) -> Response:
    """A step was done."""
    job = job_of(asked)
    key = job.view.card.id
    back = address(job, "bench/all" if asked.form.text("back") == "all" else "bench")
    said, form = asked.submission(), asked.form
    try:
        form = with_photos(asked)
        _do(asked, key, said, form)
    except (InputError, InputErrors) as error:
        work = at_the_stand(asked.shop.records, key)
        if work.next is None or work.next.key != form.text("step"):
            raise
        return respond(_page(asked, job, work, (form, faults_by_field(error))), status=422)
    return asked.done(back)


def _do(asked: Asked, key: str, said: Submission, form: Form) -> None:
    store = asked.shop.records
    work = at_the_stand(store, key)
    step = next((one for one in (*work.steps, *work.done) if one.key == form.text("step")), None)
    if step is None:
        raise NotNow("This step is not one that is left.", remedy="Open the bench again and see what is next.")
    photos = kept_of(form, PHOTO)
    readings = readings_of(step, form, asked.choice, photos[0] if photos else None)
    what = Recorded(step.key, readings, _seconds(form), photos)
    failed = failed_in(step, form)
    if failed:
        words = " ".join(one.what for one in failed)
        wrong = FoundWrong(words, step.key, tuple(one.key for one in failed), (), photos)
        inspect(store, key, said, step=what, wrong=wrong)
    else:
        do_step(store, key, said, what=what)


def _seconds(form: Form) -> float | None:
    text = form.text("seconds")
    return min(float(text), LONGEST_STEP) if text.isdecimal() else None


def start(asked: Asked) -> Response:
    """The work begins."""
    job = job_of(asked)
    jobs.start(asked.shop.records, job.view.card.id, asked.submission())
    return asked.done(address(job, "bench"))


def go_on(asked: Asked) -> Response:
    """The work goes on after it rested."""
    job = job_of(asked)
    if not asked.form.text("tick"):
        raise MissingValue("must be ticked", field="tick", remedy="Hang the tag on the unit first.")
    go_on_after_rest(asked.shop.records, job.view.card.id, asked.submission())
    return asked.done(address(job, "bench"))


def now(asked: Asked) -> Response:
    """How many entries the job has: asked every second or two by pages that show it."""
    card = job_of(asked).view.card
    return JSONResponse({"entries": card.entries, "stage": card.stage.value}, headers={"Cache-Control": "no-store"})


ROUTES = (
    get("/jobs/{number}/bench", look),
    get("/jobs/{number}/bench/all", look_at_all),
    post("/jobs/{number}/bench/do", do, most_bytes=MOST_BYTES),
    post("/jobs/{number}/bench/start", start),
    post("/jobs/{number}/bench/go-on", go_on),
)
DATA = (get("/jobs/{number}/bench/now", now),)
