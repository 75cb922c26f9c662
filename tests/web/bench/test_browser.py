"""The bench in a browser: keys and hold points, two tablets, the network gone, many browsers at once."""

from __future__ import annotations

import contextlib
import re
import time
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest
from playwright.sync_api import Error as PlaywrightError
from playwright.sync_api import Page, expect, sync_playwright

from sagwright.service.bench.state import bench_state
from sagwright.service.jobs.queries import open_job
from sagwright.service.workshop.records import Workshop
from tests.support.web.bench import NUMBER, Bench
from tests.support.web.browser import FLAGS, Opener, installed
from tests.support.web.example_workshop import NOW, arrival_of, at_the_stand_from
from tests.support.workshops import Person

TOGETHER, SECONDS, SHARED = 8, 120.0, 12


@pytest.mark.long
def test_eight_browsers_for_two_minutes(bench: Bench, address: str) -> None:
    """Each in a browser of its own, two on each job, job after job: nothing lost, doubled or out of order."""
    home = address.removesuffix(f"/jobs/{NUMBER}/bench")
    pairs = TOGETHER // 2
    ids = [_begun_just_now(bench.store, number) for number in range(SHARED * pairs)]
    benches = [f"{home}/jobs/{open_job(bench.store, one).view.card.number}/bench" for one in ids]
    until = time.monotonic() + SECONDS
    with ThreadPoolExecutor(TOGETHER) as tablets:
        told = [*tablets.map(lambda number: _works(benches[number // 2 :: pairs], until), range(TOGETHER))]
    assert not any(told), "the work ran out"
    assert sum(_require_whole(bench.store, one) for one in ids) > 100


def _begun_just_now(store: Workshop, number: int) -> str:
    """One more job at the stand, under ids of its own."""
    said = 1000 + 10 * number
    kim = Person("Kim", said=said, start=NOW - timedelta(minutes=said + 5))
    return at_the_stand_from(store, kim, arrival_of("shorten-t35-bike", f"Customer {number}"))


def _works(benches: list[str], until: float) -> bool:
    """Work at one bench after the other for a time; whether the work ran out before."""
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=installed(), args=list(FLAGS))
        page = opened.new_page()
        page.context.add_cookies([{"name": "by", "value": "Kim", "url": benches[0].partition("/jobs")[0]}])
        for bench in benches:
            page.goto(bench)
            while time.monotonic() < until and page.locator("[data-next]").count():
                _passed(page)
        opened.close()
    return time.monotonic() < until


def _require_whole(store: Workshop, job: str) -> int:
    """Each step of a job stands once, after what it needs, and no entry is missing; how many steps are done."""
    view = open_job(store, job).view
    assert len(view.state.done) == len(set(view.state.done))
    assert [entry.ordinal for entry in view.entries] == list(range(1, len(view.entries) + 1))
    assert len(bench_state(store, job).done) == len(view.state.done)
    return len(view.state.done)


def _passed(page: Page) -> None:
    """One step as a person passes it: what is asked is entered, then the button is pressed."""
    for value in ("good", "yes"):
        for radio in page.locator(f"input[type=radio][value={value}]").all():
            with contextlib.suppress(PlaywrightError):
                radio.evaluate("radio => radio.click()", timeout=500)
    for words in page.locator(".in-words").all():
        with contextlib.suppress(PlaywrightError):
            words.fill("none", timeout=500)
    for number in page.locator(".read input[data-label]").all():
        with contextlib.suppress(PlaywrightError):
            low, high = number.get_attribute("data-least"), number.get_attribute("data-most")
            ends = [float(end) for end in (low, high) if end]
            number.fill(f"{sum(ends) / len(ends):g}" if ends else "5", timeout=500)
    with contextlib.suppress(PlaywrightError):
        page.locator("[data-next]").click(timeout=1_000)
    page.wait_for_timeout(400)


def step_of(page: Page) -> str:
    return page.locator("input[name=step]").input_value()


def test_no_hold_point_is_passed_by_a_key_or_by_holding_one(bench: Bench, address: str, open_page: Opener) -> None:
    bench.until("off:rebound_knob")
    page = open_at(open_page, address)
    for key in ("PageDown", "Space", "ArrowRight", "Enter"):
        page.keyboard.down(key)
        for _ in range(30):
            page.keyboard.down(key)  # a held key repeats
        expect(page.locator(".count")).not_to_have_text(re.compile("hold_point"))
        page.wait_for_timeout(250)
        page.keyboard.up(key)
    done = bench.state()
    assert len(done) <= 3 + 4  # one step for each key that was pressed, however long it was held
    assert len(done) > 3


def test_a_held_key_stops_before_a_hold_point_with_its_readings_empty(
    bench: Bench, address: str, open_page: Opener
) -> None:
    page = open_at(open_page, address)
    for key in ("PageDown", "Space", "Enter", "ArrowRight"):
        for _ in range(20):
            page.keyboard.down(key)
        page.keyboard.up(key)
        page.locator("main").focus()
    assert bench.state() == ()
    assert page.locator("#pressure_found").input_value() == ""


@pytest.mark.serial
def test_the_other_tablet_sees_it_within_two_seconds(bench: Bench, address: str, open_page: Opener) -> None:
    bench.until("off:rebound_knob")
    one, other = open_at(open_page, address), open_at(open_page, address)
    one.keyboard.press("PageDown")
    expect(other.locator("input[name=step]")).to_have_value("off:spring_foot_fastener", timeout=2_000)
    expect(one.locator("input[name=step]")).to_have_value("off:spring_foot_fastener")


def test_with_the_network_gone_an_entry_waits_and_is_sent_once(bench: Bench, address: str, open_page: Opener) -> None:
    bench.until("off:rebound_knob")
    page = open_at(open_page, address)
    page.context.set_offline(True)
    page.get_by_role("button", name="Done, next").click()
    expect(page.locator("[data-said]")).to_contain_text("is stored on this device")
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    assert len(bench.state()) == 3
    page.context.set_offline(False)
    expect(page.locator("input[name=step]")).to_have_value("off:spring_foot_fastener")
    expect(page.locator("[data-said]")).to_contain_text("was sent once")
    assert bench.state()[3:] == ("off:rebound_knob",)


def test_an_entry_waits_while_the_records_cannot_be_reached(bench: Bench, address: str, open_page: Opener) -> None:
    bench.until("off:rebound_knob")
    page = open_at(open_page, address)
    page.route("**/bench/do", lambda route: route.fulfill(status=503, body="the records cannot be reached"))
    page.get_by_role("button", name="Done, next").click()
    expect(page.locator("[data-said]")).to_contain_text("is stored on this device")
    assert len(bench.state()) == 3
    page.unroute("**/bench/do")
    expect(page.locator("input[name=step]")).to_have_value("off:spring_foot_fastener")
    assert bench.state()[3:] == ("off:rebound_knob",)


def test_limits_are_said_at_once_and_presets_fill(bench: Bench, address: str, open_page: Opener) -> None:
    bench.until("off:air_charge")
    page = open_at(open_page, address)
    page.locator("#pressure_empty").fill("9")
    expect(page.locator("[data-limit=pressure_empty]")).to_contain_text("Outside its limits")
    page.get_by_role("button", name="zero").click()
    expect(page.locator("#pressure_empty")).to_have_value("0")
    expect(page.locator("[data-limit=pressure_empty]")).to_be_hidden()


def test_it_works_without_script(bench: Bench, address: str, open_page: Opener) -> None:
    bench.until("off:rebound_knob")
    page = open_at(open_page, address, script=False)
    page.get_by_role("button", name="Done, next").click()
    assert step_of(page) == "off:spring_foot_fastener"
    page.get_by_role("link", name="Back").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Entry")


def open_at(open_page: Opener, address: str, *, script: bool = True) -> Page:
    """A tablet of Kim's at a server of its own."""
    page = open_page("/sheets", script=script)
    page.context.unroute("**/*")
    page.context.add_cookies([{"name": "by", "value": "Kim", "url": address}])
    page.goto(address)
    return page
