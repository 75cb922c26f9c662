"""The whole way in a browser, against the program itself: from the counter to the hand-over and the unit's history."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from collections import Counter
from contextlib import suppress
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Browser

from sagwright.cli.main import run
from sagwright.domain.records.payloads import CheckedIn, Decided, HandedOver, Started, StepDone
from sagwright.domain.records.stages import Stage
from sagwright.errors import SagwrightError
from sagwright.phrases import quantities
from sagwright.phrases.spring_terms import BEHAVIOUR_TERMS
from sagwright.service.bench.state import bench_state
from sagwright.service.jobs.actions import check_in
from sagwright.service.jobs.intake import Arrival, NewCustomer
from sagwright.service.workshop.records import open_workshop
from sagwright.store.documents import load_document
from sagwright.units import UnitChoice
from tests.support.web import walk
from tests.support.web.browser import DESKTOP, PHONE, TABLET
from tests.support.web.devices import BIKE, RIDER, STACK, devices, kept
from tests.support.web.example_workshop import OWN_KEY, OWN_SHEET, decide_as_it_is
from tests.support.web.program import Program
from tests.support.web.tables import rows
from tests.support.web.walk import Tablet, Unit
from tests.support.workshops import Person

pytestmark = pytest.mark.slow

CHASSIS: Final = dict.fromkeys(("p34", "n32", "a55", "b38", "c38", "s38", "v34"), "standard") | {"t35": "mid"}
EVERYTHING = ("lower-legs", "wipers", "air-spring", "damper")
DUAL_CROWN = Unit(
    "specimen/b38 standard",
    "B38-0900",
    "R. Oduya",
    {**STACK, **RIDER, "as_found.travel": "180", "wish.travel": "170"},
    EVERYTHING,
    BIKE,
)
SPACER_STACK = Unit(
    "specimen/t35 mid",
    "T35-0900",
    "Jo Example",
    {**STACK, **RIDER, "as_found.travel": "150", "wish.travel": "140"},
    EVERYTHING,
    BIKE,
)


TWO_STAGE = Unit(
    "specimen/s38 standard",
    "S38-0900",
    "Jo Example",
    {
        "as_found.travel": "170",
        "as_found.air_shaft": "170",
        "as_found.volume_spacers": "1",
        "as_found.charge.pressure": "62",
        "as_found.charge.second_pressure": "140",
        "as_found.charge.last_set": "5",
        "rider.mass": "82",
        "rider.gear": "5",
        "wish.travel": "160",
    },
    EVERYTHING,
    BIKE,
)


@pytest.fixture
def empty(tmp_path: Path) -> Program:
    """The program over a file that is not there yet."""
    return Program(tmp_path / "workshop.sqlite")


@pytest.fixture(scope="module")
def demo_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo workshop, filled once."""
    path = tmp_path_factory.mktemp("demo") / "workshop.sqlite"
    assert run(["demo", "fill", "--workshop", str(path)]) == 0
    return path


@pytest.fixture
def demo(demo_file: Path, tmp_path: Path) -> Program:
    """The program over a demo workshop of its own."""
    return Program(Path(shutil.copy(demo_file, tmp_path / "workshop.sqlite")))


def go_the_whole_way(tablet: Tablet, unit: Unit, program: Program, *, script: bool, holding: bool = False) -> int:
    """The whole way of a unit; the number of its job."""
    number = walk.check_in(tablet, unit, script=script)
    shown = walk.choose(tablet, script=script, spacers="2")
    walk.prepare(tablet)
    assert_numbers_of_plan_json(program, number, shown, tablet.page.content())
    walk.begin(tablet)
    done = walk.work(tablet, holding=holding)
    assert walk.prove(tablet) > 2
    walk.hand_over(tablet)
    assert_stored_once_in_order(program, number, done)
    return number


def assert_stored_once_in_order(program: Program, number: int, done: list[str]) -> None:
    """Each thing that was done is one entry, in its order, and the job is closed."""
    view = kept(program, number)
    assert view.card.stage is Stage.HANDED_OVER
    assert [line.payload.step for line in view.state.lines if isinstance(line.payload, StepDone)] == done
    assert [entry.ordinal for entry in view.entries] == list(range(1, len(view.entries) + 1))
    kinds = Counter(type(line.payload) for line in view.state.lines)
    assert {kinds[kind] for kind in (CheckedIn, Decided, Started, HandedOver)} == {1}


def assert_numbers_of_plan_json(program: Program, number: int, shown: str, prepared: str) -> None:
    """What Choose and Prepare showed is what `sagwright plan --json` says of the intake that was kept."""
    plan = plan_json(program, number)
    for term, row in zip(BEHAVIOUR_TERMS, rows(shown, "behaviour")[1:], strict=True):
        value = plan["target"]["behaviour"][term.field]["value"]
        assert row[3] == quantities.in_column(value, term.quantity, UnitChoice())
    assert f"<dt>steps</dt><dd>{len(plan['steps'])}</dd>" in prepared


def plan_json(program: Program, number: int) -> dict[str, Any]:
    """The plan of a job's kept intake, by the command line."""
    decided = [line.payload for line in kept(program, number).state.lines if isinstance(line.payload, Decided)]
    with open_workshop(program.workshop) as store, store.reading() as records:
        text = load_document(records, decided[-1].intake).text
    file = program.workshop.with_name("intake.yaml")
    file.write_text(text, "utf-8")
    command = [sys.executable, "-m", "sagwright", "plan", str(file), "--json"]
    said = subprocess.run(command, capture_output=True, check=True)
    plan: dict[str, Any] = json.loads(said.stdout)
    return plan


@pytest.mark.parametrize(
    ("workshop", "unit", "size", "script"),
    [
        pytest.param("demo", DUAL_CROWN, TABLET, True, id="demo-dual-crown-tablet", marks=pytest.mark.long),
        pytest.param("empty", TWO_STAGE, PHONE, False, id="empty-two-stage-phone-no-script"),
        pytest.param("demo", TWO_STAGE, DESKTOP, True, id="demo-two-stage-desktop", marks=pytest.mark.long),
        pytest.param("demo", DUAL_CROWN, PHONE, False, id="demo-dual-crown-phone-no-script", marks=pytest.mark.long),
        pytest.param("empty", DUAL_CROWN, DESKTOP, True, id="empty-dual-crown-desktop", marks=pytest.mark.long),
        pytest.param("empty", SPACER_STACK, TABLET, True, id="empty-spacer-stack-tablet", marks=pytest.mark.long),
    ],
)
def test_the_whole_way(
    browser: Browser, request: pytest.FixtureRequest, workshop: str, unit: Unit, size: tuple[int, int], *, script: bool
) -> None:
    program: Program = request.getfixturevalue(workshop)
    with devices(browser, program) as device:
        tablet = device(size, script=script)
        if workshop == "empty":
            walk.say_who(tablet, "Kim")
        go_the_whole_way(tablet, unit, program, script=script, holding=script)
        tablet.follow("History")
        tablet.page.get_by_text("handed over").first.wait_for()


@pytest.mark.long
def test_a_unit_measured_by_hand_goes_the_whole_way(browser: Browser, empty: Program) -> None:
    with devices(browser, empty) as device:
        tablet = device(DESKTOP)
        walk.say_who(tablet, "Kim")
        family = walk.measure(
            tablet,
            "air-fork/spacer-stack",
            maker="Specimen",
            model="H35",
            longest="150",
            travels="120..150",
            every="10",
        )
        unit = Unit(family, "H35-1", "Jo Example", {}, ("wipers",))
        number = walk.check_in(tablet, unit)
        walk.settle(tablet)
        walk.choose(tablet)
        walk.prepare(tablet)
        walk.begin(tablet)
        done = walk.work(tablet)
        walk.prove(tablet)
        walk.hand_over(tablet)
        assert_stored_once_in_order(empty, number, done)


@pytest.mark.long
def test_a_sheet_is_brought_in_to_an_empty_workshop_and_worked_by(browser: Browser, empty: Program) -> None:
    """A file of a family that is not shipped, as another workshop would pass it on."""
    file = empty.workshop.with_name("q36.yaml")
    file.write_text(OWN_SHEET, "utf-8")
    with devices(browser, empty) as device:
        tablet = device(TABLET)
        walk.say_who(tablet, "Kim")
        walk.bring_in(tablet, file, OWN_KEY)
        unit = Unit(f"{OWN_KEY} standard", "Q36-1", "Jo Example", SPACER_STACK.said, ("wipers",))
        number = walk.check_in(tablet, unit)
        walk.choose(tablet)
        walk.prepare(tablet)
        walk.begin(tablet)
    view = kept(empty, number)
    assert view.card.stage is Stage.BENCH
    assert view.card.sheet == OWN_KEY


@pytest.mark.long
def test_the_two_that_are_walked_have_the_most_steps(empty: Program) -> None:
    """Every shipped sheet with a service of all that it has: dual crown first, then the two-stage spring."""
    kim = Person("Kim")
    steps: dict[str, int] = {}
    services = (EVERYTHING, ("lower-legs", "wipers", "damper"), ("air-spring",))
    with open_workshop(empty.workshop) as store:
        for key, chassis in CHASSIS.items():
            for tasks in services:
                with suppress(SagwrightError):
                    arrival = Arrival(NewCustomer("Jo"), f"specimen/{key}", (("unit.chassis", chassis),), tasks=tasks)
                    number = check_in(store, arrival, kim()).card.id
                    decide_as_it_is(store, number, kim)
                    steps[key] = max(steps.get(key, 0), len(bench_state(store, number).steps))
    assert set(steps) == set(CHASSIS)
    most = sorted(steps, key=lambda key: -steps[key])
    assert most[:2] == ["b38", "s38"], steps
