"""The application: every page behind the guard."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from threading import Thread
from typing import Final

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.responses import Response
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.types import Lifespan, Scope

from sagwright.errors import SagwrightError
from sagwright.web import faults
from sagwright.web.guard import Guard
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
    wrong,
)
from sagwright.web.render import ASSETS, assets_address
from sagwright.web.shop import Shop

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
FILES: Final[tuple[Route, ...]] = photos.ROUTES
"""What is no page: pictures."""


class Kept(StaticFiles):
    """Files whose address changes with them: a browser may keep them for ever."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        """One file."""
        response = await super().get_response(path, scope)
        response.headers["Cache-Control"] = "public, max-age=31536000, immutable"
        return response


def create_app(shop: Shop, *, warm: Callable[[], None] | None = None) -> Guard:
    """The application.

    Parameters
    ----------
    shop : Shop
    warm : callable, optional
        Called beside the first requests, for what is slow the first time.
    """
    routes: list[BaseRoute] = [*PAGES, *DATA, *FILES, Mount(assets_address(), Kept(directory=ASSETS), name="assets")]
    app = Starlette(
        routes=routes,
        lifespan=_lifespan(warm),
        exception_handlers={
            HTTPException: faults.http_fault,
            SagwrightError: faults.own_fault,
            Exception: faults.defect,
        },
    )
    app.router.redirect_slashes = False
    app.state.shop = shop
    return Guard(app)


def _lifespan(warm: Callable[[], None] | None) -> Lifespan[Starlette]:
    @asynccontextmanager
    async def running(_app: Starlette) -> AsyncIterator[None]:
        if warm is not None:
            Thread(target=warm, name="warm", daemon=True).start()
        yield

    return running
