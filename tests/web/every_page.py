"""Every page that the router has, with an address to look at: a page without one fails the tests."""

from __future__ import annotations

from starlette.routing import Route

from sagwright.web.app import PAGES
from tests.web.shop import (
    COIL,
    HALF,
    ON_THE_BENCH,
    OWN_IDS,
    OWN_KEY,
    REFUSED,
    TASKS_ONLY,
    TO_PREPARE,
    TURNED_AWAY,
    UNKNOWN,
    UNREADY,
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
}
"""Addresses by the path of their route; several where a page has quite different faces."""


def one_of_each(routes: tuple[Route, ...] = PAGES) -> list[str]:
    """One address of every page."""
    return [EXAMPLES[route.path][0] for route in routes if "GET" in (route.methods or ())]


def looked_at(routes: tuple[Route, ...] = PAGES) -> list[str]:
    """An address or more of every page."""
    return [address for route in routes if "GET" in (route.methods or ()) for address in EXAMPLES[route.path]]
