"""A page → HTML."""

from __future__ import annotations

import hashlib
import pathlib
from dataclasses import fields
from functools import cache
from typing import Final

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from starlette.responses import HTMLResponse

from sagwright.drawing import font
from sagwright.web.frame import Page

HERE: Final = pathlib.Path(__file__).parent
TEMPLATES: Final = HERE / "templates"
ASSETS: Final = HERE / "assets"


@cache
def environment() -> Environment:
    """The templates: everything is escaped, and a name that a page does not have is an error."""
    return Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )


@cache
def assets_address() -> str:
    """Where scripts, styles and the font are served: under a digest of them all, so that a browser may keep
    them for ever."""
    digest = hashlib.sha256()
    for path in (*sorted(ASSETS.iterdir()), *(pathlib.Path(font.path_of(face)) for face in font.FACES)):
        digest.update(path.name.encode() + b"\0" + path.read_bytes())
    return f"/assets/{digest.hexdigest()[:12]}"


def html(page: Page) -> str:
    """The page as its template shows it."""
    shown = {field.name: getattr(page, field.name) for field in fields(page)}
    return environment().get_template(page.template).render(shown)


def respond(page: Page, *, status: int = 200) -> HTMLResponse:
    """The page as an answer; nothing keeps it, so that going back shows the job as it is by now, not as it was."""
    return HTMLResponse(html(page), status, headers={"Cache-Control": "no-store"})
