"""What comes between on the way: taps twice, back, reload, two tablets, a dead server, no network, another day."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import timedelta

import pytest
from playwright.sync_api import Browser, expect

from sagwright.domain.records.payloads import (
    Answered,
    CheckedIn,
    Decided,
    FinalChecked,
    HandedOver,
    Prepared,
    ProblemFound,
    Started,
    StepDone,
)
from sagwright.domain.records.stages import Stage
from sagwright.service.jobs.queries import open_job_numbered
from sagwright.service.workshop.records import Workshop, open_workshop
from sagwright.web.app import create_app
from sagwright.web.http.request import Shop
from tests.support.web import walk
from tests.support.web.bench import Clock
from tests.support.web.browser import DESKTOP, PATIENCE_MS, PHONE, TABLET
from tests.support.web.devices import BIKE, RIDER, STACK, devices, kept
from tests.support.web.example_workshop import NOW, arrival_of, at_the_stand_from, work_until
from tests.support.web.program import Program
from tests.support.web.serving import served
from tests.support.web.walk import Tablet, Unit
from tests.support.workshops import Person

pytestmark = pytest.mark.slow

SAID = {**STACK, **RIDER, "as_found.travel": "150", "wish.travel": "140"}
FORK = Unit("specimen/t35 mid", "T35-77", "Jo Example", SAID, (), BIKE)
GONE = ("ERR_CONNECTION_REFUSED", "ERR_INTERNET_DISCONNECTED", "ERR_CONNECTION_RESET", "ERR_EMPTY_RESPONSE")


@pytest.fixture
def empty(tmp_path_factory: pytest.TempPathFactory) -> Program:
    """The program over a file that is not there yet."""
    return Program(tmp_path_factory.mktemp("shop") / "workshop.sqlite")


def tap_twice(tablet: Tablet, button: str) -> None:
    """Two taps on a button, as an impatient hand does it."""
    tablet.page.get_by_role("button", name=button, exact=True).first.dblclick()
    tablet.page.wait_for_load_state("networkidle")
    tablet.look()


def back_and_again(tablet: Tablet) -> None:
    """Back to the form that was sent, forward again, and loaded anew."""
    tablet.page.go_back()
    tablet.page.wait_for_load_state()
    tablet.page.go_forward()
    tablet.page.reload()
    tablet.look()


def test_taps_back_reload_and_a_killed_server_leave_each_thing_once(browser: Browser, empty: Program) -> None:
    with devices(browser, empty) as device:
        tablet = device(TABLET)
        number = walk.check_in(tablet, FORK)
        back_and_again(tablet)
        killed_while_choosing(tablet, empty)
        tap_twice(tablet, "Decide")
        back_and_again(tablet)
        prepared_twice(tablet)
        tablet.stage("Bench")
        tap_twice(tablet, "Start")
        tablet.page.locator(walk.STEP).wait_for(state="attached")
        first = walk.at_step(tablet)
        killed_at_a_hold_point(tablet, empty)
        other = device(PHONE, script=False)
        both_at_one_step(tablet, other, number)
        network_gone(tablet)
        walk.work(tablet)
        walk.prove(tablet)
        back_and_again(tablet)
        tablet.stage("Hand over")
        tablet.enter("accepted", "yes")
        tablet.enter("how", "the customer, in person")
        tap_twice(tablet, "Hand over")
        back_and_again(tablet)
    assert_each_once(empty, number, first)


def killed_while_choosing(tablet: Tablet, program: Program) -> None:
    """The server dies between two controls; the page says so, and what was chosen is still there afterwards."""
    tablet.stage("Plan")
    tablet.enter("spacers", "2")
    tablet.page.wait_for_url("**spacers=2**")
    tablet.look()
    program.kill()
    program.start()
    tablet.page.reload()
    tablet.forgive(*GONE)
    assert tablet.page.locator("main [name=spacers]:checked").input_value() == "2"
    walk.answer_everything(tablet)


def prepared_twice(tablet: Tablet) -> None:
    """The tools and parts's ticks, recorded with two taps."""
    tablet.stage("Prepare")
    for tick in tablet.page.locator("#tools_and_parts-form input[type=checkbox]").all():
        tick.check()
    tap_twice(tablet, "Record what is ready")
    tablet.stage("Prepare")


def killed_at_a_hold_point(tablet: Tablet, program: Program) -> None:
    """Readings are in, the server dies, Done is pressed: the entry waits in the page and is sent once."""
    hold_point = walk.at_step(tablet)
    walk.read_step(tablet)
    program.kill()
    tablet.page.get_by_role("button", name="Done, next").click()
    expect(tablet.page.locator("[data-said]")).to_contain_text("is stored on this device")
    program.start()
    sent_once(tablet, hold_point)


def network_gone(tablet: Tablet) -> None:
    """The same with the network gone."""
    step = walk.at_step(tablet)
    walk.read_step(tablet)
    tablet.page.context.set_offline(True)
    tablet.page.get_by_role("button", name="Done, next").click()
    expect(tablet.page.locator("[data-said]")).to_contain_text("is stored on this device")
    expect(tablet.page.get_by_role("heading", level=1)).to_be_visible()
    tablet.page.context.set_offline(False)
    sent_once(tablet, step)


def sent_once(tablet: Tablet, step: str) -> None:
    """The next step comes by itself."""
    expect(tablet.page.locator(walk.STEP)).not_to_have_value(step, timeout=2 * PATIENCE_MS)
    tablet.forgive(*GONE)
    tablet.look()


def both_at_one_step(one: Tablet, other: Tablet, number: int) -> None:
    """Two tablets have the same step before them; the second is told, and nothing is recorded twice."""
    other.open(f"/jobs/{number}/bench")
    step = walk.at_step(other)
    assert step == walk.at_step(one)
    walk.read_step(other)
    walk.do_step(one)
    other.is_me()
    other.page.get_by_role("button", name="Done, next").click()
    other.page.get_by_text("409").wait_for()
    other.forgive("409")
    other.open(f"/jobs/{number}/bench")
    assert walk.at_step(other) == walk.at_step(one) != step


def assert_each_once(program: Program, number: int, first: str) -> None:
    """Entries without a gap; every act once, every step once."""
    view = kept(program, number)
    assert view.card.stage is Stage.HANDED_OVER
    assert [entry.ordinal for entry in view.entries] == list(range(1, len(view.entries) + 1))
    payloads = [line.payload for line in view.state.lines]
    kinds = Counter(type(one) for one in payloads)
    assert {kinds[kind] for kind in (CheckedIn, Decided, Prepared, Started, HandedOver)} == {1}
    assert kinds[FinalChecked] == 2  # what was read, and that it is proven
    steps = [one.step for one in payloads if isinstance(one, StepDone)]
    assert len(steps) == len(set(steps)) > 30
    assert steps[0] == first
    order = [kind for kind in map(type, payloads) if kind is not Answered]
    assert [kind for at, kind in enumerate(order) if order[at - 1 : at] != [kind]][:5] == [
        CheckedIn,
        Decided,
        Prepared,
        Started,
        StepDone,
    ]


# with a clock that the test moves


class Stand:
    """A job at the stand, served to browsers by a server whose clock a test moves."""

    def __init__(self, browser: Browser, store: Workshop, clock: Clock, address: str) -> None:
        self.browser, self.store, self.clock, self.address = browser, store, clock, address
        self.number = 1001

    def tablet(self, size: tuple[int, int] = TABLET, *, script: bool = True, by: str = "Kim") -> Tablet:
        """A tablet at the bench."""
        viewport = {"width": size[0], "height": size[1]}
        context = self.browser.new_context(viewport=viewport, java_script_enabled=script)  # type: ignore[arg-type]
        context.set_default_timeout(PATIENCE_MS)
        context.add_cookies([{"name": "by", "value": by, "url": self.address}])
        tablet = Tablet(context.new_page(), self.address, by)
        tablet.open(f"/jobs/{self.number}/bench")
        return tablet

    def until(self, step: str) -> None:
        """Work as planned until a step is next."""
        kim = Person("Kim", said=100, start=self.clock.at - timedelta(minutes=145))
        work_until(self.store, open_job_numbered(self.store, self.number).view.card.id, kim, step)

    @property
    def done(self) -> tuple[str, ...]:
        """The steps done, in their order."""
        return open_job_numbered(self.store, self.number).view.state.done

    def recorded(self, kind: type) -> int:
        """How many entries of a kind there are."""
        view = open_job_numbered(self.store, self.number).view
        return sum(isinstance(line.payload, kind) for line in view.state.lines)


@pytest.fixture
def stand(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Stand]:
    """A fork on the bench whose travel is shortened."""
    clock = Clock()
    with open_workshop(tmp_path_factory.mktemp("stand") / "workshop.sqlite") as store:
        kim = Person("Kim", start=NOW - timedelta(minutes=30))
        at_the_stand_from(store, kim, arrival_of("shorten-t35-bike", "Jo Example"))
        with served(create_app(Shop(store, now=clock))) as address:
            yield Stand(browser, store, clock, address)
            for context in browser.contexts:
                context.close()


def test_another_day_on_another_tablet_proves_charge_and_torques_again(stand: Stand) -> None:
    stand.until("on:rebound_knob")
    stand.clock.at += timedelta(hours=16)
    tablet = stand.tablet(PHONE, script=False)
    assert tablet.page.get_by_text("Check pressure and torques again first").count()
    tablet.enter("tick", "yes")
    tablet.press("Continue")
    done = walk.work(tablet)
    again = [step for step in done if "again" in step]
    assert any("air_charge" in step for step in again)
    for part in ("spring_foot", "damper_foot"):
        assert any(part in step for step in again)
    assert done[: len(again)] == again
    assert len(stand.done) == len(set(stand.done))


def something_wrong(tablet: Tablet, then: str, words: str, **more: str) -> None:
    """Say at the bench that something is wrong, and what follows."""
    tablet.follow("Report a problem")
    tablet.enter("words", words)
    tablet.enter("then", then)
    for name, text in more.items():
        tablet.enter(name, text)
    tablet.is_me()
    tablet.press("Record")


@pytest.mark.long
def test_settings_found_otherwise_plan_the_rest_anew(stand: Stand) -> None:
    stand.until("inspect:air_cap")
    tablet = stand.tablet()
    something_wrong(tablet, "replan", "two spacers more than it said", volume_spacers="3")
    assert stand.recorded(ProblemFound) == 1
    tablet.open(f"/jobs/{stand.number}/bench")
    walk.work(tablet)
    assert len(stand.done) == len(set(stand.done))


@pytest.mark.long
@pytest.mark.parametrize("said", ["yes", "no"])
def test_it_waits_for_the_customer_and_goes_on(stand: Stand, said: str) -> None:
    stand.until("inspect:air_cap")
    tablet = stand.tablet(DESKTOP, script=said == "yes")
    something_wrong(tablet, "hold", "the seal is cut", ask="a new cap seal", amount="12")
    tablet.open(f"/jobs/{stand.number}/bench")
    tablet.follow("Enter the answer")
    for name, text in {"yes": said, "who": "Jo", "answer": "by telephone"}.items():
        tablet.enter(name, text)
    tablet.press("Record and continue")
    tablet.open(f"/jobs/{stand.number}/bench")
    walk.work(tablet)
    assert stand.recorded(ProblemFound) == (said == "yes")  # with a no it is taken back
    assert len(stand.done) == len(set(stand.done))


@pytest.mark.parametrize(("then", "stage"), [("refuse", Stage.REFUSED), ("scrap", Stage.SCRAPPED)])
def test_a_unit_that_must_not_be_ridden_ends_here(stand: Stand, then: str, stage: Stage) -> None:
    stand.until("inspect:lowers")
    tablet = stand.tablet(PHONE)
    something_wrong(tablet, then, "cracked at the arch")
    assert open_job_numbered(stand.store, stand.number).view.card.stage is stage
    tablet.open(f"/jobs/{stand.number}/bench")
    assert not walk.at_step(tablet)
    tablet.page.get_by_text("The job is closed").wait_for()


def test_refused_at_the_counter_and_back_with_another_customer(stand: Stand) -> None:
    tablet = stand.tablet(DESKTOP)
    first = walk.check_in(tablet, FORK)
    tablet.page.get_by_text("Refuse or scrap", exact=True).click()
    form = tablet.page.locator(f'form[action="/jobs/{first}/do/refuse"]')
    form.get_by_role("textbox").first.fill("The crown creaks.")
    form.get_by_role("button", name="Refuse the job").click()
    tablet.page.get_by_text("Closed:").wait_for()
    again = Unit(FORK.family, FORK.serial, "R. Oduya", FORK.said, was_here=True)
    second = walk.check_in(tablet, again)
    assert second != first
    unit = open_job_numbered(stand.store, second).unit.id
    assert unit == open_job_numbered(stand.store, first).unit.id
    tablet.open(f"/units/{unit}")
    for text in (f"Job {first}", f"Job {second}", "Jo Example", "R. Oduya", "crown creaks"):
        assert tablet.page.get_by_text(text).count(), text
