"""Every address there is. Whoever imports this imports every page, and with them all that computes."""

from __future__ import annotations

from typing import Final

from starlette.routing import Route

from sagwright.web import files, settings
from sagwright.web.bench import final_check, problem, step, tag
from sagwright.web.counter import check_in, update_intake
from sagwright.web.jobs import board, hand_over, job, log, prepare, unit, work_sheet
from sagwright.web.plan import decide, page
from sagwright.web.sheets import catalogue, edit, measure, sheet

PAGE_ROUTES: Final[tuple[Route, ...]] = (
    *board.ROUTES,
    *job.ROUTES,
    *check_in.ROUTES,
    *update_intake.ROUTES,
    *page.ROUTES,
    *decide.ROUTES,
    *prepare.ROUTES,
    *work_sheet.ROUTES,
    *catalogue.ROUTES,
    *measure.ROUTES,
    *sheet.ROUTES,
    *catalogue.CHANGES_ROUTES,
    *edit.ROUTES,
    *step.ROUTES,
    *problem.ROUTES,
    *tag.ROUTES,
    *log.ROUTES,
    *final_check.ROUTES,
    *hand_over.ROUTES,
    *unit.ROUTES,
    *settings.ROUTES,
)
"""Every page and every form, in the order in which addresses are tried."""

_DATA: Final[tuple[Route, ...]] = step.DATA
"""What scripts ask for; no page."""
FILES: Final[tuple[Route, ...]] = files.ROUTES
"""What is no page: pictures, and the script that a browser asks for by itself."""

ALL: Final[tuple[Route, ...]] = (*PAGE_ROUTES, *_DATA, *FILES)
