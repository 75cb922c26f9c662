"""Pictures of the pages, taken from the demo workshop by the build; where no Chromium can be had it goes without."""

from __future__ import annotations

import datetime as dt
import shutil
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING, ClassVar, Final

from docutils import nodes
from docutils.parsers.rst import directives
from sphinx.application import Sphinx
from sphinx.util import logging
from sphinx.util.docutils import SphinxDirective

if TYPE_CHECKING:
    from playwright.sync_api import Browser

    from sagwright.service.workshop.records import Workshop

LOG = logging.getLogger(__name__)
FOLDER: Final = "generated/pictures"
CHROMIUM: Final = ("chromium", "chromium-browser", "google-chrome", "chrome")
FLAGS: Final = ("--no-sandbox", "--disable-gpu", "--disable-background-networking", "--no-first-run")
START: Final = dt.datetime(2026, 3, 2, 8, 0, tzinfo=dt.UTC)
AFTER_LAST_ENTRY: Final = dt.timedelta(minutes=5)
PATIENCE: Final = 20  # s
TABLET: Final = (1180, 820)
PHONE: Final = (390, 844)


@dataclass(frozen=True, slots=True)
class Shot:
    """What one picture shows.

    Attributes
    ----------
    stage : int
        Place of the page in the row of a job's stages, from 1; 0 for a page of no job.
    at : str
        The page's address where it is of no job; else what the job's id ends with, the one touched last if empty.
    size : tuple of int
        Width and height of the window [px].
    """

    stage: int = 0
    at: str = "/"
    size: tuple[int, int] = TABLET


SHOTS: Final[dict[str, Shot]] = {
    "board": Shot(),
    "check-in": Shot(1, "", (1180, 900)),
    "plan": Shot(2, "fresh", (1180, 1500)),
    "prepare": Shot(3, "", (1180, 1100)),
    "bench": Shot(4, ""),
    "bench-phone": Shot(4, "", PHONE),
    "final-check": Shot(5, "", (1180, 900)),
    "hand-over": Shot(6, "", (1180, 1200)),
    "spec-sheets": Shot(0, "/sheets"),
}


def chromium() -> str:
    """The path of a Chromium on this machine; empty if there is none."""
    return next((path for path in map(shutil.which, CHROMIUM) if path), "")


def _check_in_unit(folder: Path, shots: dict[str, Shot]) -> None:
    """Fill a demo workshop, serve it, and take every picture into a folder.

    Raises
    ------
    OSError, playwright.sync_api.Error
        If it cannot be served, or a page does not answer.
    """
    from playwright.sync_api import sync_playwright

    from sagwright.phrases.diagnosis import final_check_words
    from sagwright.service.demo.fill import fill
    from sagwright.service.workshop.records import open_workshop

    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as place, open_workshop(Path(place) / "demo.sqlite") as records:
        fill(records, start=START, words=final_check_words)
        with _served(records) as address, sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=chromium(), args=FLAGS)
            for name, shot in shots.items():
                _take(browser, address + _path(records, shot), shot, folder / f"{name}.png")
            browser.close()


def _path(records: Workshop, shot: Shot) -> str:
    """The address of a page: a stage's is the link in the row of stages of a job that stands there."""
    from sagwright.domain.records.stages import OPEN
    from sagwright.service.jobs.queries import board
    from sagwright.web.job_frame import STAGE_PAGES, job_address

    if not shot.stage:
        return shot.at
    stage = OPEN[shot.stage - 1]
    there = [one for one in board(records) if one.stage is stage and one.id.endswith(shot.at)]
    newest = max(there, key=lambda one: one.updated)
    return job_address(newest.number, STAGE_PAGES[stage])


def _take(browser: Browser, address: str, shot: Shot, path: Path) -> None:
    width, height = shot.size
    page = browser.new_page(viewport={"width": width, "height": height}, locale="en-GB", timezone_id="UTC")
    answer = page.goto(address, wait_until="networkidle")
    if answer is None or not answer.ok:
        LOG.warning("%s was not shown: %s", address, answer and answer.status, type="pictures")
    page.screenshot(path=path)
    page.close()


@contextmanager
def _served(records: Workshop) -> Iterator[str]:
    """The pages over a workshop, its clock a little after the last entry."""
    import uvicorn

    from sagwright.cli.commands.serve import socket_on
    from sagwright.service.jobs.queries import board
    from sagwright.web.app import create_app
    from sagwright.web.http.request import Shop

    now = max(one.updated for one in board(records)) + AFTER_LAST_ENTRY
    listening = socket_on("127.0.0.1", 0)
    port = listening.getsockname()[1]
    config = uvicorn.Config(create_app(Shop(records, now=lambda: now)), log_level="warning", ws="none")
    server = uvicorn.Server(config)
    running = Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    running.start()
    until = time.monotonic() + PATIENCE
    while not server.started and time.monotonic() < until:
        time.sleep(0.02)
    try:
        yield f"http://127.0.0.1:{port}"
    finally:
        server.should_exit = True
        running.join(PATIENCE)


class Picture(SphinxDirective):
    """A picture of a page with a caption; nothing where it could not be taken."""

    required_arguments = 1
    has_content = True
    option_spec: ClassVar = {"alt": directives.unchanged_required}

    def run(self) -> list[nodes.Node]:
        """A figure, or nothing."""
        name = self.arguments[0]
        if name not in SHOTS:
            raise self.error(f"There is no picture {name!r}.")
        path = f"/{FOLDER}/{name}.png"
        self.env.note_dependency(path[1:])
        if not (Path(self.env.srcdir) / path[1:]).is_file():
            return []
        image = nodes.image(uri=path, alt=self.options["alt"])
        caption = nodes.caption("", "", *self.parse_inline(" ".join(self.content))[0])
        narrow = SHOTS[name].size[0] < TABLET[0]
        return [nodes.figure("", image, caption, classes=["page-narrow" if narrow else "page-wide"])]


def _prepare(app: Sphinx) -> None:
    folder = Path(app.srcdir) / FOLDER
    if not app.config.pictures:
        return
    shutil.rmtree(folder, ignore_errors=True)
    if not chromium():
        sys.stderr.write("No Chromium here: the pages are built without pictures.\n")  # seen in a quiet build too
        return
    _check_in_unit(folder, SHOTS)


def setup(app: Sphinx) -> dict[str, bool]:
    """Take the pictures before the pages are read; `-D pictures=0` keeps those that are there."""
    app.add_config_value("pictures", default=True, rebuild="")
    app.add_directive("picture", Picture)
    app.connect("builder-inited", _prepare)
    return {"parallel_read_safe": True}
