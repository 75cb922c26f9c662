"""Routes that are read after the server has started, so that its first page does not wait for all the others."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from threading import Lock

from starlette.concurrency import run_in_threadpool
from starlette.routing import BaseRoute, Router
from starlette.types import Receive, Scope, Send


class Later:
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
