"""Every page that the router has, with an address to look at: a page without one fails the tests."""

from __future__ import annotations

from collections.abc import Collection, Iterable

import pytest
from _pytest.mark import ParameterSet
from starlette.routing import Route

from sagwright.web.routes import PAGES
from tests.support.web.example_workshop import (
    AT_GATE,
    AT_LOOK,
    CLOSED,
    COIL,
    ENDED,
    HALF,
    ON_THE_BENCH,
    OWN_IDS,
    OWN_KEY,
    REFUSED,
    TASKS_ONLY,
    TO_HAND_OVER,
    TO_PREPARE,
    TO_PROVE,
    TO_START,
    TURNED_AWAY,
    UNKNOWN,
    UNREADY,
    WAITING,
    WITH_BIKE,
)

EXAMPLES: dict[str, tuple[str, ...]] = {
    "/": ("/", "/?q=owner"),
    "/who": ("/who",),
    "/jobs/{number}/take-in": (f"/jobs/{UNREADY}/take-in",),
    "/jobs/{number}/prepare": (f"/jobs/{TO_PREPARE}/prepare",),
    "/jobs/{number}/sheet": (f"/jobs/{TO_PREPARE}/sheet",),
    "/take-in": ("/take-in", f"/take-in?draft={HALF}"),
    "/jobs/{number}": tuple(f"/jobs/{number}" for number in (WITH_BIKE, ON_THE_BENCH, TURNED_AWAY)),
    "/sheets": ("/sheets",),
    "/display": ("/display",),
    "/sheets/measure": ("/sheets/measure", "/sheets/measure?architecture=rear-air-shock"),
    "/sheets/of/{key:path}": ("/sheets/of/specimen/t35", "/sheets/of/specimen/a55"),
    "/sheets/revision/{id}": (f"/sheets/revision/{OWN_IDS[1]}",),
    "/sheets/changes/{before}/{after}": (f"/sheets/changes/{OWN_IDS[0]}/{OWN_IDS[1]}",),
    "/sheets/new": ("/sheets/new",),
    "/sheets/edit/{key:path}": (f"/sheets/edit/{OWN_KEY}",),
    "/jobs/{number}/choose": tuple(
        f"/jobs/{number}/choose" for number in (WITH_BIKE, UNKNOWN, COIL, REFUSED, UNREADY, TASKS_ONLY)
    ),
    "/jobs/{number}/bench": tuple(
        f"/jobs/{number}/bench" for number in (AT_GATE, AT_LOOK, TO_START, WAITING, ENDED, CLOSED)
    ),
    "/jobs/{number}/bench/all": (f"/jobs/{AT_GATE}/bench/all",),
    "/jobs/{number}/bench/wrong": tuple(f"/jobs/{number}/bench/wrong" for number in (AT_LOOK, WAITING, ENDED)),
    "/jobs/{number}/tag": (f"/jobs/{AT_LOOK}/tag",),
    "/jobs/{number}/entries": (f"/jobs/{CLOSED}/entries",),
    "/jobs/{number}/entries/{ordinal}": (f"/jobs/{AT_LOOK}/entries/5",),
    "/jobs/{number}/prove": (f"/jobs/{TO_PROVE}/prove",),
    "/jobs/{number}/hand-over": (f"/jobs/{TO_HAND_OVER}/hand-over", f"/jobs/{CLOSED}/hand-over"),
    "/units/{id}": ("/units/Kim-2001",),
}
"""Addresses by the path of their route; several where a page has quite different faces."""


def one_of_each(routes: tuple[Route, ...] = PAGES) -> list[str]:
    """One address of every page."""
    return [EXAMPLES[route.path][0] for route in routes if "GET" in (route.methods or ())]


def looked_at(routes: tuple[Route, ...] = PAGES) -> list[str]:
    """An address or more of every page."""
    return [address for route in routes if "GET" in (route.methods or ()) for address in EXAMPLES[route.path]]


def long_but(enough: Collection[str], addresses: Iterable[str]) -> list[ParameterSet]:
    """Addresses as cases of a test; all but some are for `make long`."""
    return [pytest.param(one, marks=() if one in enough else pytest.mark.long) for one in addresses]
