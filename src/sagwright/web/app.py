"""The application: every page behind the guard.

A browser is sent to the board. Its modules are read at the start; those of every other page, which bring in all that
computes, are read beside the first answer, or by the first request that comes sooner.
"""

from __future__ import annotations

import gc
from collections.abc import AsyncIterator, Callable, Sequence
from contextlib import asynccontextmanager
from threading import Lock, Thread

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.responses import Response
from starlette.routing import BaseRoute, Mount, Router
from starlette.staticfiles import StaticFiles
from starlette.types import Lifespan, Receive, Scope, Send

from sagwright.drawing import font
from sagwright.errors import SagwrightError
from sagwright.web.http import error_pages
from sagwright.web.http.guard import Guard
from sagwright.web.http.page import ASSETS, assets_address, environment
from sagwright.web.http.request import Shop
from sagwright.web.jobs import board


class Deferred:
    """An application of routes that are read once: when one of them is first asked for, or when `read` is called.

    Parameters
    ----------
    routes : callable
        Gives the routes; what it imports is what takes long.
    """

    def __init__(self, routes: Callable[[], Sequence[BaseRoute]]) -> None:
        self._routes = routes
        self._reading = Lock()
        self._router: Router | None = None

    def read(self) -> Router:
        """The router, its routes read; a second caller waits for the first."""
        with self._reading:
            if self._router is None:
                self._router = Router(self._routes(), redirect_slashes=False)
            return self._router

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request; the first may wait."""
        router = self._router
        if router is None:
            router = await run_in_threadpool(self.read)
        await router(scope, receive, send)


class CachedFiles(StaticFiles):
    """Files whose address changes with them: a browser may keep them for ever."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        """One file."""
        response = await super().get_response(path, scope)
        response.headers["Cache-Control"] = "public, max-age=31536000, immutable"
        if path.endswith(".otf"):
            response.headers["Content-Type"] = "font/otf"  # which not every machine's list of types has
        return response


def create_app(shop: Shop, *, warm: Callable[[], None] | None = None) -> Guard:
    """The application.

    Parameters
    ----------
    shop : Shop
    warm : callable, optional
        Called beside the first requests, when every page is read, for what else is slow the first time.
    """
    others = Deferred(_every_route)
    assets = Mount(assets_address(), CachedFiles(directory=ASSETS, packages=[font.PACKAGE]), name="assets")
    app = Starlette(
        routes=[*board.ROUTES, assets, Mount("/", others)],
        lifespan=_lifespan(others, warm),
        exception_handlers={
            HTTPException: error_pages.http_fault,
            SagwrightError: error_pages.defect_page,
            Exception: error_pages.defect,
        },
    )
    app.router.redirect_slashes = False
    app.state.shop = shop
    return Guard(app)


def _every_route() -> Sequence[BaseRoute]:
    from sagwright.web.routes import ALL

    return ALL


def _lifespan(others: Deferred, warm: Callable[[], None] | None) -> Lifespan[Starlette]:
    def beside() -> None:
        others.read()
        if warm is not None:
            warm()

    @asynccontextmanager
    async def running(_app: Starlette) -> AsyncIterator[None]:
        Thread(target=beside, name="warm", daemon=True).start()
        yield

    return running


def warm() -> None:
    """Read a sheet, so that the shapes of the format are built, and the templates; then let the collector leave alone
    what is there to stay: walking over it is what made one answer in twenty take twice as long."""
    from sagwright.formats.sheet.catalogue import shipped_sheets
    from sagwright.formats.sheet.load import load_sheet

    load_sheet(shipped_sheets()[0], files=False)
    for template in environment().list_templates():
        environment().get_template(template)
    gc.collect()
    gc.freeze()
