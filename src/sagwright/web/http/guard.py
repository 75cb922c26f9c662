"""What holds for every answer: headers that shut out everything foreign, and who may ask at all.

There is no sign-in yet, so a form is taken only from a page of this server, and the server answers only under a name
of this machine: a page elsewhere can neither post to it nor, under a name of its own, read from it.
"""

from __future__ import annotations

from typing import Final
from urllib.parse import urlsplit

from starlette.applications import Starlette
from starlette.datastructures import Headers, MutableHeaders
from starlette.types import Message, Receive, Scope, Send

from sagwright.web.http.error_pages import error_page

POLICY: Final = "; ".join(
    (
        "default-src 'self'",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    )
)
HEADERS: Final = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "geolocation=(), microphone=(), payment=(), usb=()",
}
SAFE: Final = frozenset({"GET", "HEAD", "OPTIONS"})
_LOOPBACK: Final = frozenset({"localhost", "127.0.0.1", "::1"})


class Guard:
    """An application behind its guard.

    Attributes
    ----------
    app : Starlette
    """

    def __init__(self, app: Starlette) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request, or start and stop with the server."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        sending = _with_headers(send)
        refusal = refused(str(scope["method"]), Headers(scope=scope))
        if refusal:
            await error_page(403, refusal)(scope, receive, sending)
        else:
            await self.app(scope, receive, sending)


def _with_headers(send: Send) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return sending


def refused(method: str, headers: Headers) -> str:
    """Why a request is not answered, as a sentence; empty if it is."""
    host = headers.get("host", "")
    if _name_of(f"//{host}") not in _LOOPBACK:
        return "This server answers only under a name of its own machine: localhost or 127.0.0.1."
    if method in SAFE or _from_here(headers, host):
        return ""
    return "A form is taken only from a page of this server. Open the page here and send it again."


def _from_here(headers: Headers, host: str) -> bool:
    """Whether a page of this server sent it: the browser says so in one of two headers that no page can forge."""
    site = headers.get("sec-fetch-site")
    if site is not None:
        return site in {"same-origin", "none"}
    origin = urlsplit(headers.get("origin", ""))
    return origin.scheme in {"http", "https"} and origin.netloc == host


def _name_of(address: str) -> str:
    try:
        return (urlsplit(address).hostname or "").lower()
    except ValueError:  # a bracket that does not close
        return ""
