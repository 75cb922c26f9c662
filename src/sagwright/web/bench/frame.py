"""What stands around every page of the bench; what holds the work up there, and a page for each of those reasons."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from starlette.responses import Response

from sagwright.domain.item import Verdict
from sagwright.domain.records.stages import CLOSED, HoldReason, Stage
from sagwright.domain.value import Quantity
from sagwright.phrases import quantities
from sagwright.phrases.entries import WAITS_FOR
from sagwright.phrases.findings import finding_sentence
from sagwright.phrases.steps import step_text
from sagwright.service.bench.state import BenchState, Rested, rested
from sagwright.service.jobs.queries import OpenedJob
from sagwright.web.http.page import Link, Page, respond
from sagwright.web.http.request import PageRequest
from sagwright.web.job_frame import job_frame

BEFORE_BENCH = (Stage.CHECK_IN, Stage.PLAN)


@dataclass(frozen=True, slots=True)
class Hold:
    """Why the work does not go on, and the one thing to do.

    Attributes
    ----------
    sentences : tuple of str
    button, action : str
        What the form says and where it goes; empty for none.
    tick : str
        What must be ticked first; empty for nothing.
    ways : tuple of Link
        Where else to go.
    step : str
        The step that is next, to be seen; empty for none.
    """

    sentences: tuple[str, ...]
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


def held(asked: PageRequest, job: OpenedJob, title: str, hold: Hold, *, on: Stage = Stage.BENCH) -> Response:
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
        return Hold(("No plan is decided yet.",), ways=(Link("Plan", f"{number}/plan"),))
    if card.on_hold:
        waits = (f"On hold for {WAITS_FOR[HoldReason(card.on_hold)]}.", card.on_hold_what)
        return Hold(waits, ways=(Link("Enter the answer", f"{number}/bench/problem"), Link("Tag", f"{number}/tag")))
    if not job.view.state.started:
        ready = () if job.view.state.ready else ("Some tools or parts are not ticked as ready.",)
        said = (
            "The work has not begun.",
            *ready,
            "Check that tools and parts are laid out, hang the tag on the unit, then start.",
        )
        ways = (Link("Prepare", f"{number}/prepare"), Link("Print the tag", f"{number}/tag"))
        return Hold(said, "Start", f"{number}/bench/start", ways=ways)
    return None


def during_work(asked: PageRequest, job: OpenedJob, work: BenchState) -> Hold | None:
    """Why the work does not go on with its next step; None where it does."""
    number = f"/jobs/{job.view.card.number}"
    wrong = Link("Report a problem", f"{number}/bench/problem")
    said: tuple[str, ...]
    if work.stops:
        found = tuple(f"{stop.what} Verdict: {stop.verdict or Verdict.REFUSE}." for stop in work.stops)
        said = ("Stop work. Open nothing more, above all nothing that holds gas.", *found)
        return Hold(said, ways=(Link("Record the verdict", wrong.href), Link("Print the tag", f"{number}/tag")))
    if work.impossible and work.next is None:
        said = (
            "With what was found inside, what the customer wants is not possible.",
            "Plan again, ask the customer, or refuse the job.",
        )
        return Hold(said, ways=(Link("Plan again", f"{number}/plan"), wrong))
    if work.contradicted:
        return _contradicted(asked, work, number)
    if work.next is None:
        return Hold(("All steps are done.",), ways=(Link("Final check", f"{number}/final-check"),))
    pause = rested(job.view, asked.shop.now(), asked.by)
    return None if pause is None else _rest(asked, job, work, pause)


def _contradicted(asked: PageRequest, work: BenchState, number: str) -> Hold:
    said = (
        "The values found contradict each other.",
        *(finding_sentence(one, asked.choice) for one in work.contradicted),
        "Count and measure again. Correct a wrong value in the log; the plan follows.",
    )
    ways = (Link("Log", f"{number}/log"), Link("Report a problem", f"{number}/bench/problem"))
    return Hold(
        said,
        "The values are right: continue",
        f"{number}/bench/so",
        "I counted and measured again; the values are right.",
        ways,
    )


def _rest(asked: PageRequest, job: OpenedJob, work: BenchState, pause: Rested) -> Hold:
    number = f"/jobs/{job.view.card.number}"
    minutes = (asked.shop.now() - pause.since).total_seconds()
    ago = quantities.number_text(minutes, Quantity.TIME, asked.choice)
    why = f"{pause.by} worked on it last" if pause.other else "There was a break"
    said = (
        f"{why}; the last entry was {ago} ago.",
        "Check pressure and torques again first, and record them.",
    )
    step = step_text(work.steps[0], work.sheet, asked.choice).title
    tick = 'The tag "not rideable" hangs on the unit.'
    return Hold(said, "Continue", f"{number}/bench/after-break", tick, (Link("Print the tag", f"{number}/tag"),), step)
