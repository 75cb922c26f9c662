"""Pages on which a browser is told its units and decimal mark, and who is at it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from starlette.responses import Response

from sagwright.errors import OutOfRange
from sagwright.units import UnitChoice, choose_units
from sagwright.web.http.form import Box, pick_buttons
from sagwright.web.http.page import Page, respond
from sagwright.web.http.preferences import BY, COOKIE, MARKS, OFFERED, cookie_of, one_line
from sagwright.web.http.request import PageRequest, get, post, remember, to

_NAMES = {
    "pressure": "pressure",
    "length": "lengths",
    "torque": "torque",
    "mass": "mass",
    "force": "force",
    "volume": "volume",
    "temperature": "temperature",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class DisplayPage(Page):
    """Which units there are to choose from.

    Attributes
    ----------
    questions : tuple of Box
    back : str
        Where to go on afterwards.
    """

    template: ClassVar[str] = "settings/units.html"

    questions: tuple[Box, ...]
    back: str


def look_at_units(asked: PageRequest) -> Response:
    """What is chosen now."""
    units = tuple(_units_of(quantity, asked.choice) for quantity in OFFERED)
    marks = pick_buttons({mark: f"1{mark}5" for mark in MARKS}, asked.choice.decimal)
    page = DisplayPage(
        frame=asked.frame("Units and numbers"),
        questions=(*units, Box("mark", "decimals", "picks", picks=marks)),
        back=own_path(asked.query.text("back")),
    )
    return respond(page)


def _units_of(quantity: str, choice: UnitChoice) -> Box:
    offered = {unit: unit for unit in OFFERED[quantity]}
    return Box(quantity, _NAMES[quantity], "picks", picks=pick_buttons(offered, choice.unit(quantity)))


def set_display(asked: PageRequest) -> Response:
    """Keep a choice in this browser and go back to where it was made."""
    wanted = [asked.form.text(quantity) for quantity in OFFERED]
    if any(unit and unit not in OFFERED[quantity] for quantity, unit in zip(OFFERED, wanted, strict=True)):
        raise OutOfRange("must be one of the units on the page", field="units", remedy="Choose again.")
    mark = asked.form.text("mark") or asked.choice.decimal
    if mark not in MARKS:
        raise OutOfRange("must be a point or a comma", field="mark", value=mark)
    chosen = replace(choose_units(",".join(filter(None, wanted)), base=asked.choice), decimal=mark)
    response = to(own_path(asked.form.text("back")))
    remember(response, COOKIE, cookie_of(chosen))
    return response


def own_path(address: str) -> str:
    """An address of this server; its front door where it is none."""
    inside = address.startswith("/") and not address.startswith(("//", "/\\")) and address.isprintable()
    return address if inside else "/"


@dataclass(frozen=True, slots=True, kw_only=True)
class WhoPage(Page):
    """The name that is written beside every entry made here.

    Attributes
    ----------
    name : Box
    back : str
        Where to go on afterwards.
    """

    template: ClassVar[str] = "settings/name.html"

    name: Box
    back: str


def look_at_name(asked: PageRequest) -> Response:
    """Who it is now."""
    return _answered(asked, asked.query.text("back"), "")


def _set_name(asked: PageRequest) -> Response:
    """The browser keeps the name, as that of any form, and goes back to where it was asked."""
    back = asked.form.text("back")
    if not one_line(asked.form.text(BY)):
        return _answered(asked, back, "Must not be empty. Write the name that stands beside what you record.")
    return to(own_path(back))


def _answered(asked: PageRequest, back: str, wrong: str) -> Response:
    name = Box(BY, "your name", value=asked.by, wrong=wrong, first=bool(wrong))
    page = WhoPage(frame=asked.frame("Your name"), name=name, back=own_path(back))
    return respond(page, status=422 if wrong else 200)


ROUTES = (
    get("/display", look_at_units),
    post("/display", set_display),
    get("/who", look_at_name),
    post("/who", _set_name),
)
