"""From the board to prepare in a browser, with and without script; and what can go wrong on the way."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from sagwright.service.jobs.queries import board, open_job_numbered
from sagwright.service.workshop.records import open_workshop
from sagwright.web.app import create_app
from sagwright.web.http.request import Shop
from tests.support.web.browser import DESKTOP, PATIENCE_MS, PHONE, TABLET
from tests.support.web.one_job import JOB, front
from tests.support.web.program import Program
from tests.support.web.serving import served

Device = Callable[..., Page]


@pytest.fixture
def device(browser: Browser, tmp_path: Path) -> Iterator[Device]:
    """Opens a page of a small workshop on a device of its own."""
    contexts = []
    with front(tmp_path) as records, served(create_app(Shop(records))) as address:

        def opened(path: str, size: tuple[int, int] = TABLET, *, script: bool = True) -> Page:
            context = browser.new_context(
                viewport={"width": size[0], "height": size[1]}, java_script_enabled=script, base_url=address
            )
            context.set_default_timeout(PATIENCE_MS)
            contexts.append(context)
            page = context.new_page()
            page.goto(path)
            return page

        yield opened
        for context in contexts:
            context.close()


def fill_in(page: Page) -> None:
    page.get_by_label("who is at this device").fill("Kim")
    page.get_by_label("name", exact=True).fill("R. Oduya")
    page.get_by_label("serial number").fill("0417-B")
    page.get_by_label("spec sheet and chassis").select_option("specimen/t35 mid")


def read(page: Page) -> None:
    page.get_by_label("travel, mm", exact=True).fill("150")
    for name in ("travel-spacers", "port-position", "volume-spacers"):
        field = page.locator(".field", has=page.locator(f"#f-as-found-{name}"))
        field.get_by_label("unknown until open").check()
    page.get_by_label("pressure, psi", exact=True).fill("78")
    page.get_by_label("pressure last set, days").fill("5")
    page.get_by_label("rider, kg").fill("80")
    page.get_by_label("gear worn and carried, kg").fill("4")
    page.get_by_label("travel wished, mm").fill("140")


@pytest.mark.parametrize(
    ("size", "script"),
    [(TABLET, True), *(pytest.param(*other, marks=pytest.mark.slow) for other in ((PHONE, False), (DESKTOP, True)))],
)
def test_the_half_flow(device: Device, size: tuple[int, int], script: bool) -> None:  # noqa: FBT001
    page = device("/", size, script=script)
    page.get_by_role("link", name="Check in").last.click()
    fill_in(page)
    if script:
        expect(page.get_by_label("travel spacers", exact=True)).to_be_visible()
    else:
        page.get_by_role("button", name="Find unit").click()
    read(page)
    page.get_by_role("button", name="Check in", exact=True).click()
    page.get_by_role("heading", name="T35 mid, no. 0417-B").wait_for()
    page.get_by_role("main").get_by_role("link", name="Choose").click()
    page.get_by_role("heading", level=1).first.wait_for()
    page.goto(f"/jobs/{JOB + 1}")
    page.get_by_text("Hold", exact=True).click()
    page.get_by_label("parts").check()
    page.locator("#f-hold-what").fill("wipers 35 mm")
    page.get_by_role("button", name="Put on hold").click()
    page.get_by_text("On hold for parts: wipers").wait_for()
    page.goto("/")
    expect(page.get_by_role("cell", name="parts: wipers 35 mm")).to_be_visible()


def test_what_is_typed_is_kept_while_it_is_typed(device: Device) -> None:
    page = device("/check-in")
    fill_in(page)
    expect(page.locator("[data-saved]")).to_contain_text("Draft saved")
    page.get_by_label("pressure, psi", exact=True).fill("78")
    expect(page).to_have_url(re.compile(r"/check-in\?draft="))
    page.wait_for_timeout(700)
    page.reload()
    expect(page.get_by_label("name", exact=True)).to_have_value("R. Oduya")
    expect(page.get_by_label("pressure, psi", exact=True)).to_have_value("78")
    other = device("/check-in", PHONE)
    expect(other.get_by_role("heading", name="Drafts")).to_be_visible()
    other.get_by_role("link", name="Continue").click()
    expect(other.get_by_label("pressure, psi", exact=True)).to_have_value("78")


@pytest.mark.slow
def test_a_double_tap_and_the_back_button_record_once(device: Device, tmp_path: Path) -> None:
    page = device("/check-in")
    fill_in(page)
    expect(page.get_by_label("travel spacers", exact=True)).to_be_visible()
    read(page)
    page.get_by_role("button", name="Check in", exact=True).dblclick()
    page.get_by_role("heading", name="T35 mid, no. 0417-B").wait_for()
    page.go_back()
    page.wait_for_load_state()
    if page.get_by_role("button", name="Check in", exact=True).is_visible():
        page.get_by_role("button", name="Check in", exact=True).click()
    page.get_by_role("heading", name="T35 mid, no. 0417-B").wait_for()
    with open_workshop(tmp_path / "workshop.sqlite") as records:
        assert len(board(records)) == 2


def test_the_first_field_that_is_wrong_has_the_focus(device: Device) -> None:
    for script in (True, False):
        page = device("/check-in", script=script)
        page.get_by_label("who is at this device").fill("Kim")
        page.get_by_label("name", exact=True).fill("R. Oduya")
        page.get_by_role("button", name="Check in", exact=True).click()
        page.get_by_role("alert").wait_for()
        if script:
            expect(page.get_by_label("spec sheet and chassis")).to_be_focused()
        page.get_by_role("alert").get_by_role("link").first.click()
        expect(page.get_by_label("spec sheet and chassis")).to_be_in_viewport()
        expect(page.get_by_label("name", exact=True)).to_have_value("R. Oduya")


@pytest.mark.slow
def test_two_tablets_on_one_job(device: Device) -> None:
    mine, theirs = device(f"/jobs/{JOB}"), device(f"/jobs/{JOB}", PHONE, script=False)
    for page, name, what in ((theirs, "Lou", "wipers"), (mine, "Kim", "a seal head")):
        page.get_by_text("Hold", exact=True).click()
        form = page.locator("#act-hold")
        form.get_by_label("parts").check()
        form.get_by_label("what exactly").fill(what)
        form.get_by_label("who is at this device").fill(name)
        form.get_by_role("button").click()
    theirs.get_by_text("On hold for parts: wipers").wait_for()
    expect(mine.get_by_role("alert")).to_contain_text("Lou: put on hold")
    expect(mine.locator("#act-hold").get_by_label("what exactly")).to_have_value("a seal head")


@pytest.mark.slow
def test_a_draft_survives_the_death_of_the_server(browser: Browser, tmp_path: Path) -> None:
    front(tmp_path).close()
    program = Program(tmp_path / "workshop.sqlite")
    program.start()
    context = browser.new_context(base_url=program.address)
    context.set_default_timeout(PATIENCE_MS)
    page = context.new_page()
    try:
        page.goto("/check-in")
        fill_in(page)
        expect(page.locator("[data-saved]")).to_contain_text("Draft saved, ")
        program.kill()
        page.get_by_label("how to reach them").fill("by telephone")
        expect(page.locator("[data-saved]")).to_contain_text("Not saved")
        program.start()
        expect(page.locator("[data-saved]")).to_contain_text("Draft saved, ", timeout=15_000)
        page.reload()
        expect(page.get_by_label("name", exact=True)).to_have_value("R. Oduya")
        expect(page.get_by_label("how to reach them")).to_have_value("by telephone")
    finally:
        context.close()
        program.stop()
    with open_workshop(tmp_path / "workshop.sqlite") as records:
        assert open_job_numbered(records, JOB).view.state.entries == 1
