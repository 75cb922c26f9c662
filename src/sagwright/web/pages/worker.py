"""The script that keeps the last look at a bench readable without the server.

A browser lets such a script serve only what lies below its own address, and asks for it anew at every visit: so it
lies at the top, and under no digest.
"""

from __future__ import annotations

from starlette.responses import FileResponse, Response

from sagwright.web.asked import Asked, get
from sagwright.web.render import ASSETS


def worker(_asked: Asked) -> Response:
    """The script."""
    return FileResponse(ASSETS / "worker.js", media_type="text/javascript", headers={"Cache-Control": "no-cache"})


ROUTES = (get("/worker.js", worker),)
