"""What is entered at the stand while the server cannot be reached: it waits on the device, and is recorded once."""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import ExitStack
from datetime import timedelta
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from sagwright.domain.records.payloads import ProblemFound, StepDone
from sagwright.service.bench.state import bench_state
from sagwright.service.jobs.queries import open_job_numbered
from sagwright.web.app import create_app
from sagwright.web.http.request import Shop
from tests.support.web.bench import NUMBER, Bench
from tests.support.web.browser import Opener
from tests.support.web.serving import served

CHARGE, KNOB, AFTER = "off:air_charge", "off:rebound_knob", "off:spring_foot_fastener"


class Switched:
    """A server over a bench that a test stops and starts again, at one address."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._running = ExitStack()
        self._port = 0
        self.home = ""
        self.start()

    def start(self) -> None:
        site = create_app(Shop(self._bench.store, now=self._bench.clock))
        self.home = self._running.enter_context(served(site, self._port))
        self._port = int(self.home.rpartition(":")[2])

    def stop(self) -> None:
        self._running.close()

    @property
    def address(self) -> str:
        return f"{self.home}/jobs/{NUMBER}/bench"


@pytest.fixture
def switched(bench: Bench) -> Iterator[Switched]:
    made = Switched(bench)
    yield made
    made.stop()


@pytest.fixture
def picture(tmp_path: Path) -> Path:
    """A photo as a tablet takes one."""
    Image.new("RGB", (64, 48), (90, 120, 60)).save(tmp_path / "taken.jpg")
    return tmp_path / "taken.jpg"


def at(open_page: Opener, address: str) -> Page:
    """A tablet of Kim's, its bench readable without the server."""
    page = open_page("/sheets")
    page.context.unroute("**/*")
    page.context.add_cookies([{"name": "by", "value": "Kim", "url": address}])
    page.goto(address)
    page.evaluate("() => navigator.serviceWorker.ready")
    page.wait_for_function(
        "async path => Boolean(await (await caches.open('bench')).match(path))", arg=f"/jobs/{NUMBER}/bench"
    )
    return page


def said(page: Page) -> str:
    expect(page.locator("[data-said]")).to_contain_text("cannot be reached")
    expect(page.locator("[data-said]")).to_be_in_viewport()
    return page.locator("[data-said]").inner_text()


def recorded(bench: Bench) -> list[StepDone]:
    lines = open_job_numbered(bench.store, NUMBER).view.state.lines
    return [line.payload for line in lines if isinstance(line.payload, StepDone)]


def told(bench: Bench) -> dict[str, str]:
    """What the last step's readings say, by key."""
    return {one.key: one.as_typed for one in recorded(bench)[-1].readings}


def filled_in(page: Page, picture: Path) -> None:
    """The proof that it is empty, with a photo of the gauge."""
    page.locator("#pressure_empty").fill("0")
    for yes in page.locator("input[type=radio][value=yes]").all():
        yes.check(force=True)
    page.locator("[name='photo']").set_input_files(picture)
    page.get_by_role("button", name="Done, next").click()


@pytest.fixture
def page(bench: Bench, switched: Switched, open_page: Opener, picture: Path) -> Page:
    """A tablet at the proof that the unit is empty, sent with a photo to a server that is gone."""
    bench.until(CHARGE)
    tablet = at(open_page, switched.address)
    switched.stop()
    filled_in(tablet, picture)
    return tablet


def test_a_closed_page_loses_neither_an_entry_nor_its_photo(bench: Bench, switched: Switched, page: Page) -> None:
    expect(page.locator("[data-said]")).to_contain_text("also if this page is closed")
    later = page.context.new_page()
    page.close()
    switched.start()
    later.goto(switched.address)
    expect(later.locator("[data-said]")).to_contain_text("the stored entry was sent once")
    assert bench.state().count(CHARGE) == 1
    assert told(bench)["pressure_empty"] == "0 psi"
    assert len(recorded(bench)[-1].photos) == 1


@pytest.mark.slow
def test_the_bench_is_opened_again_without_the_server(bench: Bench, switched: Switched, page: Page) -> None:
    said(page)
    title = page.locator("h1").inner_text()
    page.reload()
    expect(page.locator("h1")).to_have_text(title)
    expect(page.locator("[data-said]")).to_contain_text("is stored on this device")
    expect(page.locator("#pressure_empty")).to_have_value("0")
    assert page.locator("[name='photo']").evaluate("field => field.files.length") == 1
    expect(page.get_by_role("button", name="Done, next")).to_be_disabled()
    switched.start()
    expect(page.locator("[data-said]")).to_contain_text("the stored entry was sent once")
    assert bench.state().count(CHARGE) == 1


@pytest.mark.slow
def test_a_step_that_was_reached_by_a_step_is_readable_too(bench: Bench, switched: Switched, open_page: Opener) -> None:
    bench.until(KNOB)
    page = at(open_page, switched.address)
    page.keyboard.press("PageDown")
    expect(page.locator("input[name=step]")).to_have_value(AFTER)
    title = page.locator("h1").inner_text()
    switched.stop()
    page.reload()
    expect(page.locator("h1")).to_have_text(title)
    assert "You can read this step" in said(page)


def test_what_waits_is_taken_back_and_changed(bench: Bench, switched: Switched, page: Page) -> None:
    page.get_by_role("button", name="Change it before it is sent").click()
    page.locator("#pressure_empty").fill("1")
    switched.start()
    page.get_by_role("button", name="Done, next").click()
    expect(page.locator("#pressure_empty")).to_have_count(0)
    assert told(bench)["pressure_empty"] == "1 psi"


@pytest.mark.slow
def test_what_waited_and_is_refused_stays_until_it_is_thrown_away(bench: Bench, switched: Switched, page: Page) -> None:
    said(page)
    page.close()
    work = bench_state(bench.store, open_job_numbered(bench.store, NUMBER).view.card.id)
    proof = {one.key: "0" if one.quantity else "yes" for one in work.steps[0].records}
    assert bench.post("bench/do", step=CHARGE, **proof) == 303  # at another tablet, before the server is back here
    switched.start()
    later = page.context.new_page()
    later.goto(switched.address)
    told_of = later.locator("[data-said]")
    expect(told_of).to_contain_text("was not recorded")
    expect(told_of).to_contain_text("pressure empty: 0")
    expect(told_of).to_contain_text("photo taken.jpg")
    expect(later.get_by_role("button", name="Delete it")).to_have_count(1)
    expect(later.locator("main[aria-busy]")).to_have_count(0)
    later.reload()
    expect(told_of).to_contain_text("was not recorded")
    expect(later.get_by_role("button", name="Done, next")).to_be_enabled()
    later.get_by_role("button", name="Delete it").click()
    expect(told_of).to_be_hidden()
    later.reload()
    expect(later.get_by_role("button", name="Done, next")).to_be_enabled()
    expect(told_of).to_be_hidden()


@pytest.mark.slow
def test_every_other_page_says_that_something_waits(switched: Switched, page: Page) -> None:
    said(page)
    board = page.context.new_page()
    page.close()
    switched.start()
    board.goto(switched.home)
    expect(board.get_by_text("are still on this device")).to_be_visible()
    board.get_by_role("link", name=f"job {NUMBER}", exact=True).click()
    expect(board.locator("[data-said]")).to_contain_text("the stored entry was sent once")
    board.goto(switched.home)
    expect(board.get_by_text("are still on this device")).to_have_count(0)


@pytest.mark.slow
def test_it_is_recorded_at_the_time_it_was_entered(bench: Bench, switched: Switched, page: Page) -> None:
    said(page)
    page.evaluate("() => { const now = Date.now; Date.now = () => now() + 1_800_000; }")  # half an hour goes by
    bench.clock.at += timedelta(minutes=30)
    switched.start()
    expect(page.locator("[data-said]")).to_contain_text("the stored entry was sent once")
    at = next(
        e.at for e in reversed(open_job_numbered(bench.store, NUMBER).view.entries) if isinstance(e.payload, StepDone)
    )
    assert timedelta(minutes=29) < bench.clock.at - at < timedelta(minutes=31)


@pytest.mark.slow
def test_what_one_page_takes_back_no_other_sends(bench: Bench, switched: Switched, page: Page) -> None:
    said(page)
    other = page.context.new_page()
    other.goto(switched.address)
    expect(other.locator("[data-said]")).to_contain_text("is stored on this device")
    page.get_by_role("button", name="Change it before it is sent").click()
    expect(other.locator("[data-said]")).to_contain_text("Another page on this device")
    switched.start()
    page.locator("#pressure_empty").fill("1")
    page.get_by_role("button", name="Done, next").click()
    expect(page.locator("#pressure_empty")).to_have_count(0)
    assert bench.state().count(CHARGE) == 1
    assert told(bench)["pressure_empty"] == "1 psi"


@pytest.mark.slow
def test_a_server_that_fails_on_it_loses_nothing(bench: Bench, address: str, open_page: Opener, picture: Path) -> None:
    bench.until(CHARGE)
    page = at(open_page, address)
    page.route("**/bench/do", lambda route: route.fulfill(status=500, body="a defect"))
    filled_in(page, picture)
    expect(page.locator("[data-said]")).to_contain_text("The server failed on this entry")
    page.unroute("**/bench/do")
    expect(page.locator("[data-said]")).to_contain_text("the stored entry was sent once")
    assert len(recorded(bench)[-1].photos) == 1


def test_a_finding_waits_too(bench: Bench, switched: Switched, open_page: Opener, picture: Path) -> None:
    page = at(open_page, switched.address)
    page.get_by_role("link", name="Report a problem").click()
    page.get_by_label("or describe it").fill("The crown is scratched.")
    page.locator("[name='photo']").set_input_files(picture)
    switched.stop()
    page.get_by_role("button", name="Record", exact=True).click()
    said(page)
    switched.start()
    expect(page).to_have_url(switched.address)
    lines = open_job_numbered(bench.store, NUMBER).view.state.lines
    found = [line.payload for line in lines if isinstance(line.payload, ProblemFound)]
    assert [one.what for one in found] == ["The crown is scratched."]
    assert len(found[0].photos) == 1


def test_a_refusal_without_a_form_leaves_what_was_typed(bench: Bench, address: str, open_page: Opener) -> None:
    page = at(open_page, address)
    page.locator("#pressure_found").fill("83")
    bench.until(KNOB)  # at another tablet
    page.get_by_role("button", name="Done, next").click()
    expect(page.locator("[data-said]")).to_be_visible()
    expect(page.locator("#pressure_found")).to_have_value("83")
    assert len(bench.state()) == 3


def test_a_refused_step_keeps_its_photo(bench: Bench) -> None:
    bench.until("off:air_charge")
    taken = io.BytesIO()
    Image.new("RGB", (64, 48)).save(taken, "JPEG")
    form = {"step": "off:air_charge", "submission": "refused-with-a-photo", "by": "Kim", "pressure_empty": "none"}
    sent = bench.client.post(f"/jobs/{NUMBER}/bench/do", data=form, files={"photo": ("a.jpg", taken.getvalue())})
    assert sent.status_code == 422
    assert sent.text.count('name="kept.photo.') == 1
