"""What holds for every page there is."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect
from starlette.testclient import TestClient

from sagwright.drawing.svg import FAMILY
from tests.support.web.addresses import EXAMPLES, long_but, looked_at, one_of_each
from tests.support.web.axe import violations
from tests.support.web.browser import PHONE, SIZES, TABLET, Opener
from tests.support.web.example_workshop import AT_HOLD_POINT, WITH_BIKE
from tests.support.web.fonts import fonts_of

MOST_BYTES = 150_000
TARGET = 44  # px, how large what is touched must be in one direction at least, and 24 in the other [wcag-22]
PAGES, ONE_OF_EACH = looked_at(), one_of_each()
A_FEW = ("/", "/check-in", f"/jobs/{WITH_BIKE}/plan", f"/jobs/{AT_HOLD_POINT}/bench")


def test_every_page_has_an_example() -> None:
    assert len(PAGES) >= len(EXAMPLES) >= 3


@pytest.mark.parametrize("address", PAGES)
def test_it_answers_whole_and_small_with_its_headers(client: TestClient, address: str) -> None:
    answer = client.get(address, follow_redirects=True)
    assert answer.status_code == 200
    assert answer.text.rstrip().endswith("</html>")
    assert len(answer.content) < MOST_BYTES
    assert "default-src 'self'" in answer.headers["content-security-policy"]
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert not re.search(r"<(?:script|style)[^>]*>[^<]|\sstyle=|\son[a-z]+=", answer.text)


SMALL_TARGETS = """() => [...document.querySelectorAll('button, .button, input, select, summary, nav a, header a')]
  .filter(e => e.type !== 'hidden' && e.checkVisibility() && !e.closest('.skip') && !e.matches('.skip'))
  .map(e => [(e.closest('label') ?? e).getBoundingClientRect(), e.outerHTML.slice(0, 80)])
  .filter(([r]) => r.height < 44 || r.width < 24).map(([r, t]) => `${r.width}x${r.height} ${t}`)"""


WIDTHS = "() => [document.documentElement.scrollWidth, innerWidth]"


SCROLLED = """() => {
  document.querySelectorAll('details').forEach(each => { each.open = true; });
  const moves = ['auto', 'scroll'];
  const scrolls = e => { const { overflowX: x, overflowY: y } = getComputedStyle(e);
    return (moves.includes(x) && e.scrollWidth > e.clientWidth)
      || (moves.includes(y) && e.scrollHeight > e.clientHeight); };
  return [...document.querySelectorAll('main *:not(textarea, input, select)')].filter(scrolls)
    .filter(e => e.tabIndex !== 0 || e.role !== 'region' || !e.ariaLabel).map(e => e.outerHTML.slice(0, 90)); }"""


@pytest.mark.parametrize("address", long_but(ONE_OF_EACH, PAGES))
def test_a_page_in_a_browser(open_page: Opener, address: str) -> None:
    """One look at each: axe finds nothing, it fits every size, what is touched is large enough, what scrolls is
    reached by keyboard and has a name, and no letter is the machine's."""
    page = open_page(address)
    assert violations(page) == []
    assert fonts_of(page) == {(FAMILY, True)}
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        wide = page.evaluate(WIDTHS)
        assert wide[0] <= wide[1], f"{width}: {wide}"
    page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
    assert page.evaluate(SMALL_TARGETS) == []
    assert violations(page, colour=False) == []
    for width, height in (PHONE, TABLET):
        page.set_viewport_size({"width": width, "height": height})
        assert page.evaluate(SCROLLED) == []
        assert violations(page, only=("scrollable-region-focusable", "landmark-unique", "region")) == []


@pytest.mark.parametrize("address", long_but(A_FEW, ONE_OF_EACH))
def test_it_is_whole_without_script(open_page: Opener, address: str) -> None:
    page = open_page(address, PHONE, script=False)
    box = page.get_by_role("main").bounding_box()
    assert box is not None
    assert box["width"] <= PHONE[0]
    assert page.locator(".sheet").evaluate("e => e.scrollWidth <= innerWidth")
    assert page.get_by_role("heading", level=1).is_visible()


REACHED = """() => { const e = document.activeElement;
  if (!e || e === document.body) return null;
  const s = getComputedStyle(e), n = e.nextElementSibling && getComputedStyle(e.nextElementSibling);
  const seen = s.outlineStyle !== 'none' || (n && n.outlineStyle !== 'none');
  return [e.dataset.reached ?? (e.dataset.reached = String(Math.random())), seen, e.outerHTML.slice(0, 90)]; }"""
FOCUSABLE = """() => { const names = new Set(); let count = 0;
  for (const e of document.querySelectorAll('a[href], button, input, select, textarea, summary, [tabindex="0"]')) {
    if (e.disabled || e.type === 'hidden' || !e.checkVisibility()) continue;
    if (e.type === 'radio') { const key = e.form?.id + e.name; if (names.has(key)) continue; names.add(key); }
    count += 1; } return count; }"""


@pytest.mark.parametrize("address", long_but(A_FEW, ONE_OF_EACH))
def test_the_keyboard_reaches_everything_and_shows_where_it_is(open_page: Opener, address: str) -> None:
    page = open_page(address)
    wanted = page.evaluate(FOCUSABLE)
    reached = set()
    for _ in range(2 * wanted + 20):  # a date takes several
        page.keyboard.press("Tab")
        at = page.evaluate(REACHED)
        if at is None:
            break
        assert at[1], f"no focus to be seen on {at[2]}"
        reached.add(at[0])
    assert len(reached) == wanted


def test_the_checks_themselves_find_what_is_wrong(open_page: Opener) -> None:
    page = open_page("/display")
    page.locator("h1").evaluate("e => { e.textContent = ''; e.className = 'off-screen'; }")
    page.locator("main").evaluate(
        "e => e.insertAdjacentHTML('beforeend', '<img src=\"/x.png\"><button></button><pre></pre>')"
    )
    assert {text.partition(" ")[0] for text in violations(page)} >= {"image-alt", "button-name"}
    page.locator("pre").evaluate("e => { e.textContent = 'x'.repeat(2000); }")
    wide = page.evaluate(WIDTHS)
    assert wide[0] > wide[1]
    page.locator("main").evaluate("e => e.insertAdjacentHTML('beforeend', '<button class=\"button\">x</button>')")
    page.locator(".button").last.evaluate("e => { e.style.minHeight = '10px'; }")
    assert page.evaluate(SMALL_TARGETS)
    page.locator("main").evaluate("e => e.insertAdjacentHTML('beforeend', `<div>${'x'.repeat(90)}</div>`)")
    page.locator("main > div").last.evaluate("e => { e.style.cssText = 'overflow-x: auto; overflow-wrap: normal'; }")
    page.locator("main > div").last.evaluate("e => { e.style.width = '90px'; }")
    assert page.evaluate(SCROLLED)
    assert violations(page, only=("scrollable-region-focusable",))


def test_a_table_too_wide_for_a_phone_is_moved_by_arrow_keys(open_page: Opener) -> None:
    page = open_page(EXAMPLES["/sheets/of/{key:path}"][0], PHONE)
    block = page.get_by_role("region", name="Items", exact=True)
    assert block.evaluate("e => e.scrollWidth > e.clientWidth")
    page.get_by_role("link").last.focus()
    for _ in range(100):
        if block.evaluate("e => e === document.activeElement"):
            break
        page.keyboard.press("Tab")
    assert block.evaluate("e => e === document.activeElement")
    assert block.evaluate("e => getComputedStyle(e).outlineStyle !== 'none'")
    page.keyboard.press("ArrowRight")
    expect(block).not_to_have_js_property("scrollLeft", 0)
