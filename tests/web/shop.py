"""The workshop that the tests look at: one job for each face of a page."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import Any, Final

import yaml

from sagwright.domain.records.entry import Submission
from sagwright.domain.records.payloads import Facts
from sagwright.formats.sheet_text import digest_of, extended
from sagwright.service.sheets import add_sheet
from sagwright.service.taking_in import Arrival, NewBicycle, NewOwner, take_in
from sagwright.service.workshop import Workshop, open_workshop
from sagwright.web.app import create_app
from sagwright.web.guard import Guard
from sagwright.web.shop import Shop
from sagwright.web.warming import warm

EXAMPLES: Final = Path(__file__).parents[2] / "examples"
NOW: Final = datetime(2026, 3, 4, 9, 30, tzinfo=UTC)

WITH_BIKE, AS_BEFORE, UNKNOWN, SHAFT, REFUSED, UNREADY, TASKS_ONLY = range(1001, 1008)
"""The numbers of the jobs, in the order in which they are taken in."""

OWN_KEY: Final = "specimen/q36"
OWN_SHEET: Final = """\
shape: sheet/1
extends: air-fork/spacer-stack
maker: Specimen
model: Q36
revision: 1
origin: measured
chassis:
  standard: {longest: 150 mm, travels: 120..150 mm, every: 10 mm}
spring: {bore: 31.8 ± 0.05 mm}
"""
OWN_TEXTS: Final = (OWN_SHEET, OWN_SHEET.replace("revision: 1", "revision: 2").replace("31.8", "31.9"))
OWN_IDS: Final = tuple(digest_of(OWN_KEY, text, extended(OWN_KEY, text, {})) for text in OWN_TEXTS)
"""What the revisions of the workshop's own sheet are named by: a digest of their texts."""

NAMES: Final = ("shorten-t35-bike", "shorten-t35", "unknown-until-open-t35", "lengthen-p34", "refused-t35")
NO_FACTS: Final = {"shape", "name", "sheet", "bike", "answers"}


@cache
def example(name: str) -> dict[str, Any]:
    """An example intake as its file writes it, every scalar as text."""
    tree: dict[str, Any] = yaml.load((EXAMPLES / f"{name}.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
    return tree


def facts_of(name: str) -> Facts:
    """The facts that an example intake says."""
    return tuple(_facts({key: value for key, value in example(name).items() if key not in NO_FACTS}, ""))


def _facts(tree: dict[str, Any], prefix: str) -> Iterator[tuple[str, str]]:
    for key, value in tree.items():
        if isinstance(value, dict):
            yield from _facts(value, f"{prefix}{key}.")
        else:
            yield f"{prefix}{key}", str(value)


def arrival_of(name: str, owner: str) -> Arrival:
    """An example intake as it comes in over the counter."""
    bike = example(name).get("bike")
    document = (EXAMPLES / bike).read_text("utf-8") if bike else ""
    return Arrival(
        owner=NewOwner(owner),
        sheet=example(name)["sheet"],
        facts=facts_of(name),
        bicycle=NewBicycle("trail bike", document) if bike else None,
    )


def fill(store: Workshop) -> None:
    """Every job that the tests look at."""
    for number, name in enumerate(NAMES):
        take_in(store, arrival_of(name, f"Owner {number + 1}"), _said(name))
    chassis = (("unit.chassis", "mid"),)
    take_in(store, Arrival(NewOwner("Owner 6"), "specimen/t35", chassis), _said("unready"))
    shock = (("unit.chassis", "standard"),)
    for number, text in enumerate(OWN_TEXTS):
        add_sheet(store, OWN_KEY, text, _said(f"sheet-{number}"))
    tasks = ("air-spring", "set-pressure=150psi")
    take_in(store, Arrival(NewOwner("Owner 7"), "specimen/a55", shock, tasks=tasks), _said("tasks"))


def _said(name: str) -> Submission:
    return Submission(f"take-in-{name}", "Kim", NOW)


@contextmanager
def example_site(folder: Path) -> Iterator[Guard]:
    """The application over that workshop."""
    with open_workshop(folder / "workshop.sqlite") as store:
        fill(store)
        yield create_app(Shop(store, now=lambda: NOW), warm=warm)
