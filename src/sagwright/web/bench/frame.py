"""What stands around every page of the bench; what holds the work up there, and a page for each of those reasons."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from starlette.responses import Response

from sagwright.domain.item import Verdict
from sagwright.domain.records.stages import CLOSED, Stage, WaitFor
from sagwright.domain.value import Quantity
from sagwright.phrases import quantities
from sagwright.phrases.entries import WAITS_FOR
from sagwright.phrases.findings import sentence
from sagwright.phrases.steps import step_text
from sagwright.service.bench.state import AtTheStand, Rested, rested
from sagwright.service.jobs.queries import OpenedJob
from sagwright.web.http.page import Link, Page, respond
from sagwright.web.http.request import Asked
from sagwright.web.job_frame import job_frame

BEFORE_BENCH = (Stage.TAKE_IN, Stage.CHOOSE)


@dataclass(frozen=True, slots=True)
class Hold:
    """Why the work does not go on, and the one thing to do.

    Attributes
    ----------
    said : tuple of str
    button, action : str
        What the form says and where it goes; empty for none.
    tick : str
        What must be ticked first; empty for nothing.
    ways : tuple of Link
        Where else to go.
    step : str
        The step that is next, to be seen; empty for none.
    """

    said: tuple[str, ...]
    button: str = ""
    action: str = ""
    tick: str = ""
    ways: tuple[Link, ...] = ()
    step: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldPage(Page):
    """The work is held.

    Attributes
    ----------
    hold : Hold
    submission, entries : str
        The id of what is handed in, and how many entries the job has.
    """

    template: ClassVar[str] = "bench/hold.html"

    hold: Hold
    submission: str
    entries: str


def address(job: OpenedJob, page: str) -> str:
    """Where a page of a job is."""
    return f"/jobs/{job.view.card.number}/{page}"


def held(asked: Asked, job: OpenedJob, title: str, hold: Hold, *, on: Stage = Stage.BENCH) -> Response:
    """The page that holds the work."""
    page = HoldPage(
        frame=job_frame(asked, job, title, on),
        hold=hold,
        submission=asked.shop.new_id(),
        entries=str(job.view.card.entries),
    )
    return respond(page)


def before_work(job: OpenedJob) -> Hold | None:
    """Why there is no work at the stand yet, or none any more; None where there is."""
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
        ready = () if job.view.state.ready else ("Not everything of the kit is recorded as ready.",)
        said = (
            "The work has not begun.",
            *ready,
            "Look that the kit lies ready, hang the tag on the unit, then start.",
        )
        ways = (Link("Prepare", f"{number}/prepare"), Link("Tag to print", f"{number}/tag"))
        return Hold(said, "Start", f"{number}/bench/start", ways=ways)
    return None


def during_work(asked: Asked, job: OpenedJob, work: AtTheStand) -> Hold | None:
    """Why the work does not go on with its next step; None where it does."""
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
    if work.contradicted:
        return _contradicted(asked, work, number)
    if work.next is None:
        return Hold(("Every step is done.",), ways=(Link("Prove", f"{number}/prove"),))
    pause = rested(job.view, asked.shop.now(), asked.by)
    return None if pause is None else _rest(asked, job, work, pause)


def _contradicted(asked: Asked, work: AtTheStand, number: str) -> Hold:
    said = (
        "What was found does not agree.",
        *(sentence(one, asked.choice) for one in work.contradicted),
        "Count and measure again. What was written wrong is corrected among the entries; the plan follows.",
    )
    ways = (Link("Entries", f"{number}/entries"), Link("Something's wrong", f"{number}/bench/wrong"))
    return Hold(said, "It is so: go on", f"{number}/bench/so", "Counted and measured a second time: it is so.", ways)


def _rest(asked: Asked, job: OpenedJob, work: AtTheStand, pause: Rested) -> Hold:
    number = f"/jobs/{job.view.card.number}"
    minutes = (asked.shop.now() - pause.since).total_seconds()
    ago = quantities.number(minutes, Quantity.TIME, asked.choice)
    why = f"It was in the hands of {pause.by}" if pause.other else "It rested"
    said = (
        f"{why}; the last entry is {ago} old.",
        "Nobody knows any more what is charged and tight: both are proven again first, and written down.",
    )
    step = step_text(work.steps[0], work.sheet, asked.choice).title
    tick = 'The tag "not rideable" hangs on the unit.'
    return Hold(said, "Go on", f"{number}/bench/go-on", tick, (Link("Tag to print", f"{number}/tag"),), step)
