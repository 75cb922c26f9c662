"""Every page is lettered in our own font, from our own address."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import Browser
from starlette.testclient import TestClient

from sagwright.drawing import svg
from sagwright.drawing.font import PUBLIC_NAME, standalone
from sagwright.drawing.svg import FAMILY
from sagwright.web.http.page import ASSETS, assets_address
from tests.support.web.browser import Opener
from tests.support.web.fonts import fonts_of

URL = re.compile(r'url\("([^"]+\.otf)"\)')


def test_the_style_names_files_that_are_served_for_ever(client: TestClient) -> None:
    names = URL.findall((ASSETS / "sheet.css").read_text("utf-8"))
    assert len(names) == 4
    for name in names:
        answer = client.get(f"{assets_address()}/{name}")
        assert answer.status_code == 200
        assert answer.headers["content-type"] == "font/otf"
        assert "immutable" in answer.headers["cache-control"]
        assert answer.content.startswith(b"OTTO")


def test_drawings_in_a_page_are_lettered_in_it_and_figures_line_up(open_page: Opener) -> None:
    page = open_page("/sheets/of/specimen/t35")
    page.evaluate("() => document.fonts.ready.then(() => null)")
    assert page.locator("svg text").first.evaluate("e => getComputedStyle(e).fontFamily").startswith(f'"{FAMILY}"')
    wide = page.evaluate(
        """() => [...'0123456789'].map(digit => { const e = document.createElement('span');
        e.textContent = digit.repeat(40); document.querySelector('main').append(e);
        const wide = e.getBoundingClientRect().width; e.remove(); return wide.toFixed(2); })"""
    )
    assert len(set(wide)) == 1


def test_a_drawing_in_a_file_is_lettered_in_what_it_carries(browser: Browser, tmp_path: Path) -> None:
    drawing = svg.document((200.0, 40.0), "title", "words", [svg.svg_text("38.2 mm ± 2.5", (4.0, 20.0), 14.0)])
    fonts = []
    for name, text in (("with", standalone(drawing)), ("without", drawing)):
        (tmp_path / f"{name}.svg").write_text(text, "utf-8")
        page = browser.new_page()
        page.goto((tmp_path / f"{name}.svg").as_uri())
        page.locator("text").wait_for()
        page.evaluate("() => document.fonts.ready.then(() => null)")
        fonts.append(fonts_of(page, "text"))
        page.close()
    assert fonts[0] == {(PUBLIC_NAME, True)}
    assert all(not ours for _, ours in fonts[1])


def test_the_check_itself_finds_a_letter_from_the_machine(open_page: Opener) -> None:
    page = open_page("/display")
    page.locator("h1").evaluate("e => { e.textContent = '\\u05d0\\u05d1'; }")
    assert fonts_of(page) != {(FAMILY, True)}
