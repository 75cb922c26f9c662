"""The browser modules, each by itself on a small page: what they export, and what they do to what stands there."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Route, expect

import sagwright.web
from tests.support.web.browser import PATIENCE_MS

ASSETS = Path(sagwright.web.__file__).parent / "assets"
ORIGIN = "https://workshop.test"

Opened = Callable[[str], Page]


@pytest.fixture
def opened(browser: Browser) -> Iterator[Opened]:
    """Opens a page of our own at the address of a job's bench, with the modules beside it; an error on it fails."""
    context = browser.new_context(base_url=ORIGIN)
    context.set_default_timeout(PATIENCE_MS)
    errors: list[str] = []
    bodies: list[str] = []

    def answer(route: Route) -> None:
        name = route.request.url.rpartition("/")[2]
        if name.endswith(".js"):
            route.fulfill(body=(ASSETS / name).read_text("utf-8"), content_type="text/javascript")
        else:
            route.fulfill(body=f"<!doctype html><main>{bodies[-1]}</main>", content_type="text/html; charset=utf-8")

    context.route("**/*", answer)

    def open_with(body: str) -> Page:
        bodies.append(body)
        page = context.new_page()
        page.on("pageerror", lambda error: errors.append(str(error)))
        page.goto("/jobs/1001/bench")
        return page

    yield open_with
    context.close()
    assert not errors


def run(page: Page, module: str, code: str, argument: Any = None) -> Any:  # noqa: ANN401  # whatever JSON has
    """What a function answers that is given a module and an argument."""
    return page.evaluate(f'async (given) => ({code})(await import("/{module}.js"), given)', argument)


NUMBER = '<input id="sag" name="sag" data-label="Sag" data-step="0.5" data-low="10" data-high="12"{more}>'


@pytest.mark.parametrize(
    ("more", "button", "becomes"),
    [
        (' value="11"', "more: Sag", "11.5"),
        (' value="11"', "less: Sag", "10.5"),
        (' value="11.3"', "more: Sag", "12.0"),  # the step nearest to what is there, and one on
        (' value="12"', "more: Sag", "12.0"),  # not over the end
        (' value="10"', "less: Sag", "10.0"),
        (' placeholder="11"', "more: Sag", "11.5"),  # from what holds while it is empty
        (' value="11,5" data-mark=","', "less: Sag", "11,0"),
        (' value="eleven"', "more: Sag", "eleven"),  # what is no number stays
    ],
)
def test_a_step_button_moves_a_number_within_its_limits(opened: Opened, more: str, button: str, becomes: str) -> None:
    page = opened(NUMBER.format(more=more))
    run(page, "stepper", "(made) => made.steppers(document)")
    page.get_by_role("button", name=button).click()
    expect(page.locator("#sag")).to_have_value(becomes)


def test_arrow_keys_step_and_a_number_gets_its_buttons_once(opened: Opened) -> None:
    page = opened(NUMBER.format(more=' value="11"'))
    run(page, "stepper", "(made) => { made.steppers(document); made.steppers(document); }")
    expect(page.get_by_role("button")).to_have_count(2)
    page.locator("#sag").press("ArrowDown")
    page.locator("#sag").press("ArrowDown")
    page.locator("#sag").press("ArrowUp")
    expect(page.locator("#sag")).to_have_value("10.5")


def test_a_step_is_heard_as_if_it_were_typed(opened: Opened) -> None:
    page = opened(NUMBER.format(more=' value="11"'))
    heard = run(
        page,
        "stepper",
        """(made) => {
          let heard = 0;
          document.addEventListener("input", () => { heard += 1; });
          made.steppers(document);
          document.querySelector("button").click();
          return heard;
        }""",
    )
    assert heard == 1


STORE = """async (made, entries) => {
  for (const entry of entries) await made.keep(entry);
  await made.drop("b");
  return (await made.kept()).map((entry) => entry.id);
}"""
ENTRIES = [{"id": "c", "since": 3}, {"id": "b", "since": 2}, {"id": "a", "since": 1}]


def test_what_waits_outlives_a_reload_and_comes_back_oldest_first(opened: Opened) -> None:
    page = opened("")
    assert run(page, "kept", STORE, ENTRIES) == ["a", "c"]
    page.reload()
    assert run(page, "kept", "async (made) => (await made.kept()).map((entry) => entry.id)") == ["a", "c"]


def test_without_a_store_it_waits_in_the_page_and_says_so(opened: Opened) -> None:
    page = opened("")
    page.evaluate('Object.defineProperty(window, "indexedDB", { value: { open() { throw new Error("none"); } } })')
    assert run(page, "kept", STORE, ENTRIES) == ["a", "c"]
    assert run(page, "kept", 'async (made) => made.keep({ id: "d", since: 4 })') is False


def test_the_job_is_read_from_an_address(opened: Opened) -> None:
    page = opened("")
    addresses = ["/jobs/1001/bench", f"{ORIGIN}/jobs/7/wrong?step=x", "/sheets"]
    assert run(page, "kept", "(made, all) => all.map(made.jobOf)", addresses) == ["1001", "7", ""]


def test_a_link_to_a_line_selects_it_and_a_text_is_as_high_as_it_is_long(opened: Opened) -> None:
    lines = "&#10;".join(f"line {number}" for number in range(1, 31))
    page = opened(f'<a href="#line-3" data-line="3">line 3</a><div class="editor"><textarea>{lines}</textarea></div>')
    run(page, "editor", "(made) => made.editors(document)")
    text = page.locator("textarea")
    assert text.evaluate("(text) => text.rows") == 33
    page.get_by_role("link").click()
    assert text.evaluate("(text) => text.value.slice(text.selectionStart, text.selectionEnd)") == "line 3"
    text.fill("short")
    assert text.evaluate("(text) => text.rows") == 12


DRAFT = """<form data-draft="/keep"><p data-saved></p><input name="by" value="{by}">
<fieldset id="part" data-part="1"><input id="mass" name="mass"></fieldset></form>"""
KEPT = """<form data-draft="/keep"><p data-saved>kept at 9:30</p>
<fieldset id="part" data-part="2"><input id="mass" name="mass" value="old"><input name="new"></fieldset></form>"""


def answering(page: Page, text: str, *, ok: bool = True) -> None:
    """Let the page's server answer with a text, and count what it is asked."""
    page.evaluate(
        """([text, ok]) => {
          window.asked = 0;
          window.fetch = async () => {
            window.asked += 1;
            if (!ok) throw new TypeError("no network");
            return { ok: true, url: location.href, text: async () => text };
          };
        }""",
        [text, ok],
    )


def test_a_draft_is_kept_after_the_last_key_and_what_was_typed_stays(opened: Opened) -> None:
    page = opened(DRAFT.format(by="Kim"))
    answering(page, KEPT)
    run(page, "draft", "(made) => made.drafts(document)")
    page.locator("#mass").press_sequentially("80 kg")
    expect(page.locator("[data-saved]")).to_have_text("kept at 9:30")
    expect(page.locator("#mass")).to_have_value("80 kg")
    expect(page.locator("[name=new]")).to_have_count(1)
    expect(page.locator("#mass")).to_be_focused()
    assert page.evaluate("window.asked") <= 2  # not once a key; a part that is put in place may count as a change


def test_a_draft_of_nobody_is_not_kept(opened: Opened) -> None:
    page = opened(DRAFT.format(by=""))
    answering(page, KEPT)
    run(page, "draft", "(made) => made.drafts(document)")
    page.locator("#mass").fill("80 kg")
    expect(page.locator("[data-saved]")).to_have_text("Nothing is saved yet: enter who is at this device.")
    assert page.evaluate("window.asked") == 0


def test_a_draft_that_cannot_be_kept_is_tried_again(opened: Opened) -> None:
    page = opened(DRAFT.format(by="Kim"))
    answering(page, KEPT, ok=False)
    run(page, "draft", "(made) => made.drafts(document)")
    page.locator("#mass").fill("80 kg")
    expect(page.locator("[data-saved]")).to_contain_text("the server cannot be reached")
    answering(page, KEPT)
    expect(page.locator("[data-saved]")).to_have_text("kept at 9:30")


LIVE = """<form id="wish" action="/plan" data-live="#answer"><input id="travel" name="travel"><p data-said></p></form>
<div id="answer"><form action="/note"><input name="note"></form></div>"""


def test_only_the_answer_to_the_last_change_is_shown_and_a_note_beside_it_stays(opened: Opened) -> None:
    page = opened(LIVE)
    page.evaluate(
        """() => {
          window.fetch = (url, { signal }) => new Promise((done, failed) => {
            const travel = new URL(url, location).searchParams.get("travel");
            const text = `<div id="answer"><b>${travel}</b><form action="/note"><input name="note"></form></div>`;
            signal.addEventListener("abort", () => failed(new DOMException("", "AbortError")));
            setTimeout(() => done({ ok: true, url: location.href, text: async () => text }), travel === "1" ? 600 : 50);
          });
        }"""
    )
    run(page, "live", "(made) => made.live(document)")
    page.locator("[name=note]").fill("creaks")
    page.locator("#travel").fill("1")
    page.wait_for_timeout(250)  # the first question is under way
    page.locator("#travel").fill("12")
    expect(page.locator("#answer b")).to_have_text("12")
    page.wait_for_timeout(600)
    expect(page.locator("#answer b")).to_have_text("12")
    expect(page.locator("[name=note]")).to_have_value("creaks")


def test_what_somebody_said_is_not_talked_over(opened: Opened) -> None:
    page = opened("<p data-said hidden></p>")
    said = run(
        page,
        "waiting",
        """(made, sentences) => {
          const place = document.querySelector("[data-said]"), heard = [];
          for (const [text, by] of sentences) {
            made.say(text, by);
            heard.push(place.hidden ? null : place.textContent);
          }
          return heard;
        }""",
        [["The server is gone.", "look"], ["It waits here.", ""], ["Gone on.", "look"], ["", "look"], ["", ""]],
    )
    assert said == ["The server is gone.", "It waits here.", "It waits here.", "It waits here.", None]
