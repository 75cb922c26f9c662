"""The workshop that the tests look at: one job for each face of a page."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any, Final

import yaml

from sagwright.domain.finding import Severity
from sagwright.domain.records.entry import Submission
from sagwright.domain.records.payloads import (
    Answered,
    DueDateSet,
    Facts,
    HandedOver,
    Noted,
    ProblemFound,
    PutOnHold,
    Started,
    WorkRefused,
)
from sagwright.domain.records.stages import HoldReason
from sagwright.formats.sheet.load import digest_of, extended
from sagwright.service.bench.state import bench_state, standing
from sagwright.service.jobs import actions
from sagwright.service.jobs.actions import check_in
from sagwright.service.jobs.decision import propose
from sagwright.service.jobs.intake import Arrival, NewBicycle, NewCustomer
from sagwright.service.jobs.queries import open_job_numbered
from sagwright.service.log import added, view_of
from sagwright.service.sheets import add_sheet
from sagwright.service.workshop.records import Workshop, open_workshop, save_draft
from sagwright.web.app import create_app, warm
from sagwright.web.http.guard import Guard
from sagwright.web.http.request import Shop
from tests.support.workshops import Person, decided, done_well, prepared, proven

EXAMPLES: Final = Path(__file__).parents[3] / "examples"
NOW: Final = datetime(2026, 3, 4, 9, 30, tzinfo=UTC)

WITH_BIKE, AS_BEFORE, UNKNOWN, SHAFT, COIL, TWO_VALVES, REFUSED, UNREADY, TASKS_ONLY = range(1001, 1010)
TO_PREPARE, ON_THE_BENCH, TURNED_AWAY = range(1010, 1013)
TO_START, AT_HOLD_POINT, AT_LOOK, TO_PROVE, TO_HAND_OVER, CLOSED, WAITING, ENDED = range(1013, 1021)
"""The numbers of the jobs, in the order in which they are checked in."""

HALF: Final = "half-filled-form"
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

NAMES: Final = (
    "shorten-t35-bike",
    "shorten-t35",
    "unknown-until-open-t35",
    "lengthen-p34",
    "shorten-c38",
    "two-stage-s38",
    "refused-t35",
)
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


def arrival_of(name: str, customer: str) -> Arrival:
    """An example intake as it comes in over the counter."""
    bike = example(name).get("bike")
    document = (EXAMPLES / bike).read_text("utf-8") if bike else ""
    return Arrival(
        customer=NewCustomer(customer),
        sheet=example(name)["sheet"],
        facts=facts_of(name),
        bicycle=NewBicycle("trail bike", document) if bike else None,
    )


def fill(store: Workshop) -> None:
    """Every job that the tests look at."""
    for number, name in enumerate(NAMES):
        check_in(store, arrival_of(name, f"Customer {number + 1}"), _said(name))
    chassis = (("unit.chassis", "mid"),)
    check_in(store, Arrival(NewCustomer("Customer 6"), "specimen/t35", chassis), _said("unready"))
    shock = (("unit.chassis", "standard"),)
    for number, text in enumerate(OWN_TEXTS):
        add_sheet(store, OWN_KEY, text, _said(f"sheet-{number}"))
    tasks = ("air-spring", "set-pressure=150psi")
    check_in(store, Arrival(NewCustomer("Customer 7"), "specimen/a55", shock, tasks=tasks), _said("tasks"))
    fill_further(store)
    save_draft(store, "check in", {"customer.name": "R. Oduya", "unit.family": "specimen/t35 mid"}, _said(HALF))
    fill_second_half(store)


def fill_file(path: Path) -> None:
    """Every job that the tests look at, in a new file."""
    with open_workshop(path) as store:
        fill(store)


def fill_second_half(store: Workshop) -> None:
    """Jobs at the stand and after it."""
    for number, name in zip(range(TO_START, ENDED + 1), STANDS, strict=True):
        kim = _kim(number)
        job = at_the_stand_from(store, kim, arrival_of(name, f"Customer {number}"), started=number != TO_START)
        work_until(store, job, kim, UNTIL.get(number, ""))
    finish(store, _kim(ENDED + 1))


def _kim(number: int) -> Person:
    """Kim, with ids of their own for each job, within the hour."""
    said = 100 * (number - TO_START + 20)
    return Person("Kim", said=said, start=NOW - timedelta(minutes=said + 55))


STANDS: Final = ("shorten-t35-bike",) * 3 + ("shorten-t35-bike", "lengthen-p34") + ("shorten-t35-bike",) * 3
UNTIL: Final = {AT_HOLD_POINT: "off:air_charge", AT_LOOK: "inspect:lowers", TO_PROVE: "end", TO_HAND_OVER: "end"} | {
    CLOSED: "end",
    ENDED: "inspect:lowers",
}


def at_the_stand_from(store: Workshop, kim: Person, arrival: Arrival, *, started: bool = True) -> str:
    """A job that was decided and prepared, and begun if it is to be."""
    job = check_in(store, arrival, kim()).card.id
    decide_as_it_is(store, job, kim)
    prepared(store, job, kim)
    if started:
        actions.record(store, job, kim(), what=Started())
    return job


def decide_as_it_is(store: Workshop, job: str, kim: Person) -> None:
    """What the plan asks is answered, and it is decided."""
    proposal = propose(store, job)
    asks = [one.code for one in proposal.plan.findings if one.severity is Severity.QUESTION]
    for code in asks:
        actions.record(store, job, kim(), what=Answered(code, "Jo", "2026-03-02", "as it is"))
    actions.decide(store, propose(store, job) if asks else proposal, kim())


def work_until(store: Workshop, job: str, kim: Person, until: str) -> None:
    """Steps done as planned until one is next, all in one transaction; "end" does them all, an empty text none."""
    with store.writing() as transaction:
        view = view_of(transaction, job)
        for step in standing(transaction, view).steps if until else ():
            if step.key == until:
                return
            view = added(transaction, view, done_well(step, 60.0), kim(), check=lambda _, __: None)


def finish(store: Workshop, kim: Person) -> None:
    """The jobs that are past the bench."""
    for number in (TO_HAND_OVER, CLOSED):
        proven(store, card(store, number), kim)
    actions.record(store, card(store, CLOSED), kim(), what=HandedOver(accepted=True, how="the customer, in person"))
    waits = PutOnHold(HoldReason.CUSTOMER, "new bushings", "120")
    actions.record(store, card(store, WAITING), kim(), what=waits)
    cracked = ProblemFound("crack at the arch", "inspect:lowers", ("castings",))
    actions.record(store, card(store, ENDED), kim(), what=cracked)


def card(store: Workshop, number: int) -> str:
    """The id of a job by its number."""
    return open_job_numbered(store, number).view.card.id


def fill_further(store: Workshop) -> None:
    """Jobs that have gone further: decided, at the stand with a correction and waiting, and turned away."""
    kim = Person(start=NOW - timedelta(days=2))
    to_prepare, bench, away = (
        check_in(store, arrival_of(NAMES[1], f"Customer {n}"), kim()).card.id for n in (8, 9, 10)
    )
    decided(store, to_prepare, kim)
    actions.record(store, to_prepare, kim(), what=DueDateSet("2026-03-03"))
    decided(store, bench, kim)
    prepared(store, bench, kim)
    actions.record(store, bench, kim(), what=Started())
    first = bench_state(store, bench).steps[0]
    actions.record(store, bench, kim("first-step"), what=done_well(first))
    actions.record(store, bench, kim(), corrects="first-step", what=done_well(first, 90.0))
    actions.record(store, bench, kim(), what=PutOnHold(HoldReason.PARTS, "wipers 35 mm", "18 euro"))
    actions.record(store, away, kim(), what=Noted("<b>crown</b> creaks"))
    actions.record(store, away, kim(), what=WorkRefused("The crown creaks."))


def _said(name: str) -> Submission:
    return Submission(name if name == HALF else f"check-in-{name}", "Kim", NOW)


@contextmanager
def example_site(example: Path, folder: Path) -> Iterator[Guard]:
    """The application over a copy of that workshop."""
    with open_workshop(shutil.copy(example, folder / "workshop.sqlite")) as store:
        yield create_app(Shop(store, now=lambda: NOW), warm=warm)
