"""Who is at this browser."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from starlette.responses import Response

from sagwright.web.asked import Asked, get, post, to
from sagwright.web.boxes import Box
from sagwright.web.frame import Page
from sagwright.web.pages.display import own_path
from sagwright.web.render import respond
from sagwright.web.who import BY, one_line


@dataclass(frozen=True, slots=True, kw_only=True)
class WhoPage(Page):
    """The name that is written beside every entry made here.

    Attributes
    ----------
    name : Box
    back : str
        Where to go on afterwards.
    """

    template: ClassVar[str] = "who.html"

    name: Box
    back: str


def look(asked: Asked) -> Response:
    """Who it is now."""
    return _answered(asked, asked.query.text("back"), "")


def say(asked: Asked) -> Response:
    """The browser keeps the name, as that of any form, and goes back to where it was asked."""
    back = asked.form.text("back")
    if not one_line(asked.form.text(BY)):
        return _answered(asked, back, "Must not be empty. Write the name that stands beside what you record.")
    return to(own_path(back))


def _answered(asked: Asked, back: str, wrong: str) -> Response:
    name = Box(BY, "your name", value=asked.by, wrong=wrong, first=bool(wrong))
    page = WhoPage(frame=asked.frame("Who is at this device"), name=name, back=own_path(back))
    return respond(page, status=422 if wrong else 200)


ROUTES = (get("/who", look), post("/who", say))
