"""The one place where what went wrong becomes a page."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import ClassVar, Final

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response

from sagwright.errors import Defect, InputErrors, SagwrightError, status_code
from sagwright.phrases.errors import error_sentence
from sagwright.web.http.page import Link, Page, PageFrame, assets_address, respond
from sagwright.web.http.preferences import COOKIE, choice_of

_JOB: Final = re.compile(r"(/jobs/\d{1,9})(/bench)?", re.ASCII)
HEADINGS: Final = {
    400: "This cannot be read",
    403: "This may not be done",
    404: "There is no such page",
    405: "This page takes nothing of that kind",
    409: "Not as things stand",
    413: "That is too large",
    422: "This cannot be used",
    500: "A defect in Sagwright",
    503: "The records cannot be reached",
}
SENTENCES: Final = {
    400: "What arrived is not a form that a page of this server sends. Go back and send it again.",
    404: "Nothing stands at this address. It may have been mistyped, or what it showed is no longer here.",
    405: "It is only looked at, or only sent to. Go back to the page you came from.",
    500: "Something went wrong that should not have, and nothing of what you sent was kept. "
    "Please report what you did; the server's own log says where it happened.",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultPage(Page):
    """What went wrong, and what to do.

    Attributes
    ----------
    status : int
    sentences : tuple of str
        One sentence or more.
    ways : tuple of Link
        Where to go on: to the job that it was about, as far as the address tells.
    """

    template: ClassVar[str] = "http/error.html"

    status: int
    sentences: tuple[str, ...]
    ways: tuple[Link, ...]


def error_page(status: int, said: str) -> Response:
    """A refusal before there is a page."""
    return PlainTextResponse(f"{HEADINGS[status]}. {said}\n", status)


def http_fault(request: Request, error: Exception) -> Response:
    """What the framework refuses: no such page, no such method, too long."""
    if not isinstance(error, HTTPException):
        return defect(request, error)
    own = error.detail if error.status_code not in SENTENCES else ""
    response = _fault(request, error.status_code, (own or SENTENCES.get(error.status_code, error.detail),))
    response.headers.update(error.headers or {})
    return response


def defect_page(request: Request, error: Exception) -> Response:
    """An error of the tree: its sentences, with the status that its table gives."""
    if not isinstance(error, SagwrightError) or isinstance(error, Defect):
        return defect(request, error)
    choice = choice_of(request.cookies.get(COOKIE, ""))
    errors = error.errors if isinstance(error, InputErrors) else (error,)
    said = tuple(error_sentence(one, choice) for one in errors)
    return _fault(request, status_code(error), said)


def defect(request: Request, _error: Exception) -> Response:
    """Our own fault: what it was stands in the server's log, not on the page."""
    return _fault(request, 500, (SENTENCES[500],))


def _fault(request: Request, status: int, said: tuple[str, ...]) -> Response:
    heading = HEADINGS.get(status, "This cannot be done")
    choice = choice_of(request.cookies.get(COOKIE, ""))
    frame = PageFrame(heading, "", choice, assets_address(), "/")
    return respond(FaultPage(frame=frame, status=status, sentences=said, ways=_ways(request.url.path)), status=status)


def _ways(path: str) -> tuple[Link, ...]:
    about = _JOB.match(path)
    if about is None:
        return ()
    bench = (Link("To the bench", f"{about[1]}/bench"),) if about[2] else ()
    return (*bench, Link(f"To job {about[1].rpartition('/')[2]}", about[1]))
