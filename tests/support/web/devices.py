"""Tablets at a program that serves, and what is typed on them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from playwright.sync_api import Browser

from sagwright.domain.records.job import JobView
from sagwright.service.jobs.queries import open_job_numbered
from sagwright.service.workshop.records import open_workshop
from tests.support.web.browser import PATIENCE_MS, TABLET
from tests.support.web.program import Program
from tests.support.web.walk import Tablet

Device = Callable[..., Tablet]


@contextmanager
def devices(browser: Browser, program: Program) -> Iterator[Device]:
    """Opens tablets on a program that serves; ends it."""
    contexts = []
    program.start()

    def opened(size: tuple[int, int] = TABLET, *, script: bool = True, by: str = "Kim") -> Tablet:
        viewport = {"width": size[0], "height": size[1]}
        context = browser.new_context(viewport=viewport, java_script_enabled=script, reduced_motion="reduce")  # type: ignore[arg-type]
        context.set_default_timeout(PATIENCE_MS)
        contexts.append(context)
        return Tablet(context.new_page(), program.address, by)

    try:
        yield opened
    finally:
        for context in contexts:
            context.close()
        code, said = program.stop()
    assert (code, said.strip().splitlines()[-1:]) == (0, ["Stopped. Everything that was recorded is kept."])


def kept(program: Program, number: int) -> JobView:
    """The job as it is stored."""
    with open_workshop(program.workshop) as store:
        return open_job_numbered(store, number).view


RIDER = {"rider.mass": "80", "rider.gear": "4"}


BIKE = {"bicycle.name": "Trail bike"}


STACK = {
    "as_found.travel_spacers": "0",
    "as_found.port_position": "0",
    "as_found.volume_spacers": "1",
    "as_found.charge.pressure": "78",
    "as_found.charge.last_set": "5",
}
