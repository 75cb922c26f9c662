"""Every address there is. Whoever imports this imports every page, and with them all that computes."""

from __future__ import annotations

from typing import Final

from starlette.routing import Route

from sagwright.web.pages import (
    bench,
    board,
    choose,
    decide,
    display,
    entries,
    hand_over,
    job,
    job_sheet,
    measure,
    photos,
    prepare,
    prove,
    settle,
    sheet,
    sheet_changes,
    sheet_edit,
    sheets,
    tag,
    take_in,
    unit,
    who,
    worker,
    wrong,
)

PAGES: Final[tuple[Route, ...]] = (
    *board.ROUTES,
    *job.ROUTES,
    *take_in.ROUTES,
    *settle.ROUTES,
    *choose.ROUTES,
    *decide.ROUTES,
    *prepare.ROUTES,
    *job_sheet.ROUTES,
    *sheets.ROUTES,
    *measure.ROUTES,
    *sheet.ROUTES,
    *sheet_changes.ROUTES,
    *sheet_edit.ROUTES,
    *bench.ROUTES,
    *wrong.ROUTES,
    *tag.ROUTES,
    *entries.ROUTES,
    *prove.ROUTES,
    *hand_over.ROUTES,
    *unit.ROUTES,
    *display.ROUTES,
    *who.ROUTES,
)
"""Every page and every form, in the order in which addresses are tried."""

DATA: Final[tuple[Route, ...]] = bench.DATA
"""What scripts ask for; no page."""
FILES: Final[tuple[Route, ...]] = (*photos.ROUTES, *worker.ROUTES)
"""What is no page: pictures, and the script that a browser asks for by itself."""

ALL: Final[tuple[Route, ...]] = (*PAGES, *DATA, *FILES)
