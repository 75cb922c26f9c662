"""What the pages at the stand share: the job and its work, who is there, and pages that hold the work."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from starlette.responses import Response

from sagwright.domain.records.stages import Stage
from sagwright.service.jobs.queries import OpenedJob
from sagwright.web.asked import Asked
from sagwright.web.frame import Frame, Link, Page
from sagwright.web.job_frame import job_frame
from sagwright.web.render import respond


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
    by, submission, entries, now_at : str
        Who is there, the id of what is handed in, how many entries the job has, and where to ask for that.
    """

    template: ClassVar[str] = "bench_hold.html"

    hold: Hold
    by: str
    submission: str
    entries: str
    now_at: str


def address(job: OpenedJob, page: str) -> str:
    """Where a page of a job is."""
    return f"/jobs/{job.view.card.number}/{page}"


def frame_of(asked: Asked, job: OpenedJob, title: str, on: Stage) -> Frame:
    """The frame of a page of the second half."""
    return job_frame(asked, job, title, on)


def held(asked: Asked, job: OpenedJob, title: str, hold: Hold, *, on: Stage = Stage.BENCH) -> Response:
    """The page that holds the work."""
    page = HoldPage(
        frame=frame_of(asked, job, title, on),
        hold=hold,
        by=asked.by,
        submission=asked.shop.new_id(),
        entries=str(job.view.card.entries),
        now_at=address(job, "bench/now"),
    )
    return respond(page)
