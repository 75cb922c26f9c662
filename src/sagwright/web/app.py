"""The application: every page behind the guard.

A browser is sent to the board. Its modules are read at the start; those of every other page, which bring in all that
computes, are read beside the first answer, or by the first request that comes sooner.
"""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable, Sequence
from contextlib import asynccontextmanager
from threading import Thread

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.responses import Response
from starlette.routing import BaseRoute, Mount
from starlette.staticfiles import StaticFiles
from starlette.types import Lifespan, Scope

from sagwright.drawing import font
from sagwright.errors import SagwrightError
from sagwright.web import faults
from sagwright.web.guard import Guard
from sagwright.web.later import Later
from sagwright.web.pages import board
from sagwright.web.render import ASSETS, assets_address
from sagwright.web.shop import Shop


class Kept(StaticFiles):
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
    others = Later(_every_route)
    assets = Mount(assets_address(), Kept(directory=ASSETS, packages=[font.PACKAGE]), name="assets")
    app = Starlette(
        routes=[*board.ROUTES, assets, Mount("/", others)],
        lifespan=_lifespan(others, warm),
        exception_handlers={
            HTTPException: faults.http_fault,
            SagwrightError: faults.own_fault,
            Exception: faults.defect,
        },
    )
    app.router.redirect_slashes = False
    app.state.shop = shop
    return Guard(app)


def _every_route() -> Sequence[BaseRoute]:
    from sagwright.web.routes import ALL

    return ALL


def _lifespan(others: Later, warm: Callable[[], None] | None) -> Lifespan[Starlette]:
    def beside() -> None:
        others.read()
        if warm is not None:
            warm()

    @asynccontextmanager
    async def running(_app: Starlette) -> AsyncIterator[None]:
        Thread(target=beside, name="warm", daemon=True).start()
        yield

    return running
