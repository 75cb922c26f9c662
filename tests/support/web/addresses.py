"""Every page that the router has, with an address to look at: a page without one fails the tests."""

from __future__ import annotations

from collections.abc import Collection, Iterable

import pytest
from _pytest.mark import ParameterSet
from starlette.routing import Route

from sagwright.web.routes import PAGE_ROUTES
from tests.support.web.example_workshop import (
    AT_HOLD_POINT,
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
    "/": ("/", "/?q=customer"),
    "/who": ("/who",),
    "/jobs/{number}/check-in": (f"/jobs/{UNREADY}/check-in",),
    "/jobs/{number}/prepare": (f"/jobs/{TO_PREPARE}/prepare",),
    "/jobs/{number}/sheet": (f"/jobs/{TO_PREPARE}/sheet",),
    "/check-in": ("/check-in", f"/check-in?draft={HALF}"),
    "/jobs/{number}": tuple(f"/jobs/{number}" for number in (WITH_BIKE, ON_THE_BENCH, TURNED_AWAY)),
    "/sheets": ("/sheets",),
    "/display": ("/display",),
    "/sheets/measure": ("/sheets/measure", "/sheets/measure?base=rear-air-shock"),
    "/sheets/of/{key:path}": ("/sheets/of/specimen/t35", "/sheets/of/specimen/a55"),
    "/sheets/revision/{id}": (f"/sheets/revision/{OWN_IDS[1]}",),
    "/sheets/changes/{before}/{after}": (f"/sheets/changes/{OWN_IDS[0]}/{OWN_IDS[1]}",),
    "/sheets/new": ("/sheets/new",),
    "/sheets/edit/{key:path}": (f"/sheets/edit/{OWN_KEY}",),
    "/jobs/{number}/plan": tuple(
        f"/jobs/{number}/plan" for number in (WITH_BIKE, UNKNOWN, COIL, REFUSED, UNREADY, TASKS_ONLY)
    ),
    "/jobs/{number}/bench": tuple(
        f"/jobs/{number}/bench" for number in (AT_HOLD_POINT, AT_LOOK, TO_START, WAITING, ENDED, CLOSED)
    ),
    "/jobs/{number}/bench/all": (f"/jobs/{AT_HOLD_POINT}/bench/all",),
    "/jobs/{number}/bench/problem": tuple(f"/jobs/{number}/bench/problem" for number in (AT_LOOK, WAITING, ENDED)),
    "/jobs/{number}/tag": (f"/jobs/{AT_LOOK}/tag",),
    "/jobs/{number}/log": (f"/jobs/{CLOSED}/log",),
    "/jobs/{number}/log/{ordinal}": (f"/jobs/{AT_LOOK}/log/5",),
    "/jobs/{number}/final-check": (f"/jobs/{TO_PROVE}/final-check",),
    "/jobs/{number}/hand-over": (f"/jobs/{TO_HAND_OVER}/hand-over", f"/jobs/{CLOSED}/hand-over"),
    "/units/{id}": ("/units/Kim-2001",),
}
"""Addresses by the path of their route; several where a page has quite different faces."""


def one_of_each(routes: tuple[Route, ...] = PAGE_ROUTES) -> list[str]:
    """One address of every page."""
    return [EXAMPLES[route.path][0] for route in routes if "GET" in (route.methods or ())]


def looked_at(routes: tuple[Route, ...] = PAGE_ROUTES) -> list[str]:
    """An address or more of every page."""
    return [address for route in routes if "GET" in (route.methods or ()) for address in EXAMPLES[route.path]]


def long_but(enough: Collection[str], addresses: Iterable[str]) -> list[ParameterSet]:
    """Addresses as cases of a test; all but some are for `make long`."""
    return [pytest.param(one, marks=() if one in enough else pytest.mark.long) for one in addresses]
