"""A page as a value and as HTML: navigation, stages and title block around it, the template that shows it."""

from __future__ import annotations

import hashlib
import pathlib
from dataclasses import dataclass, fields
from functools import cache
from typing import ClassVar, Final

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from starlette.responses import HTMLResponse

from sagwright.drawing import font
from sagwright.units import UnitChoice
from sagwright.version import __version__
from sagwright.web.http.preferences import brief

HERE: Final = pathlib.Path(__file__).parent.parent
PAGE_TEMPLATES: Final = HERE / "templates"
ASSETS: Final = HERE / "assets"


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of the title block: what it is, and what it says."""

    label: str
    text: str


@dataclass(frozen=True, slots=True)
class Link:
    """Somewhere to go; `here` if it is where we are."""

    text: str
    href: str
    here: bool = False


@dataclass(frozen=True, slots=True)
class Tab:
    """Another open job, one touch away: its number, its unit, where it stands; `here` if it is the one we see."""

    number: int
    unit: str
    stands: str
    here: bool = False


@dataclass(frozen=True, slots=True)
class StageTab:
    """One stage of a job: its name, its page (empty while it cannot be opened), and "done", "now" or "ahead"."""

    name: str
    href: str
    state: str


_SECTIONS: Final = (("Board", "/"), ("Check in", "/check-in"), ("Sheets", "/sheets"))
"""The navigation: what it says, and where it leads."""


@dataclass(frozen=True, slots=True)
class PageFrame:
    """What every page shows around its own content.

    Attributes
    ----------
    title : str
        Of the page, for its heading and the browser's tab.
    section : str
        Which entry of the navigation it belongs to; empty for none.
    choice : UnitChoice
        Units and decimal mark.
    assets : str
        Where scripts and styles are, a new address for every new content.
    here : str
        Path and query of this page, to come back to.
    block : tuple of Cell
        The title block: which unit, job, sheet revision, state.
    stages : tuple of Stage
        Of the job; empty on pages that belong to none.
    notice : str
        What was just done, after a form; empty for nothing.
    by : str
        Who is at this browser; empty while nobody has said so.
    tabs : tuple of Tab
        Open jobs to switch to; empty on pages that belong to none.
    job : str
        The address of the job; empty on pages that belong to none.
    """

    title: str
    section: str
    choice: UnitChoice
    assets: str
    here: str
    block: tuple[Cell, ...] = ()
    stages: tuple[StageTab, ...] = ()
    notice: str = ""
    by: str = ""
    tabs: tuple[Tab, ...] = ()
    job: str = ""

    @property
    def navigation(self) -> tuple[Link, ...]:
        """Where one can go from every page."""
        return tuple(Link(text, href, here=text == self.section) for text, href in _SECTIONS)

    @property
    def shown_in(self) -> str:
        """Units and decimal mark in a few characters."""
        return brief(self.choice)

    @property
    def program(self) -> str:
        """Name and version of the program."""
        return f"Sagwright {__version__}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """What one page shows: its template shows these fields, all of them and nothing else."""

    template: ClassVar[str]

    frame: PageFrame


@cache
def environment() -> Environment:
    """The templates: everything is escaped, and a name that a page does not have is an error."""
    return Environment(
        loader=FileSystemLoader(PAGE_TEMPLATES),
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
