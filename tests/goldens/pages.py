"""Every page of the web application: the value that a template shows, and the HTML that it makes."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from functools import partial
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path
from typing import Any, Final
from unittest.mock import patch

from httpx2 import Response
from starlette.testclient import TestClient

from sagwright.service.workshop.records import open_workshop
from sagwright.web.app import create_app
from sagwright.web.http.page import Page, html
from sagwright.web.http.request import Shop
from sagwright.web.routes import ALL
from tests.goldens.documents import tables
from tests.goldens.fixed import START, fixed_folder, numbered_ids
from tests.goldens.values import as_json, as_lines, digest
from tests.support.web.addresses import EXAMPLES
from tests.support.web.example_workshop import NOW, fill

Recorded = Iterator[tuple[str, Any]]
OTHER_UNITS: Final = {"by": "Kim", "shown_in": "bar%2Cin%2Clbf%C2%B7in%2Clb%2Clbf%2Cfl%20oz%2C%C2%B0F%3B%2C"}
WRONG: Final = (
    "/nowhere",
    "/jobs/1",
    "/jobs/x",
    "/sheets/of/specimen/t36",
    "/sheets/revision/x",
    "/units/x",
    "/photos/x",
)


@dataclass
class Site:
    """The application over a workshop, with what its pages showed."""

    client: TestClient
    pages: list[Page] = field(default_factory=list)
    new_id: Callable[..., str] = field(default_factory=partial(numbered_ids, "form"))

    def get(self, address: str, *, ids: str = "form") -> Response:
        """An address, looked at; ids begin anew, so that one page does not depend on others."""
        self.pages.clear()
        self.new_id = numbered_ids(ids)
        answer: Response = self.client.get(address)
        return answer

    def post(self, address: str, form: list[tuple[str, str]]) -> Response:
        """A form, sent."""
        self.pages.clear()
        body: dict[str, list[str]] = {}
        for name, text in form:
            body.setdefault(name, []).append(text)
        answer: Response = self.client.post(address, data=body)
        return answer

    def told(self, answer: Response, *, whole: bool = False) -> dict[str, Any]:
        """An answer, with its page's value; its HTML in brief, or whole."""
        said: dict[str, Any] = {"status": answer.status_code}
        if "location" in answer.headers:
            return said | {"to": answer.headers["location"]}
        if not answer.headers.get("content-type", "").startswith(("text", "application/json")):
            return said | {"content": digest(answer.content)}
        lines = as_lines(answer.text)
        said["html"] = lines if whole else digest("\n".join(lines) if isinstance(lines, list) else lines)
        return said | {"page": [as_json(page) for page in self.pages]}


@contextmanager
def site_on(workshop: Path, now: datetime) -> Iterator[Site]:
    """A site over a copy of a workshop, whose pages are seen as they are rendered."""
    with fixed_folder() as folder:
        shutil.copy(workshop, folder / "workshop.sqlite")
        with open_workshop(folder / "workshop.sqlite") as store:

            def new_id() -> str:
                return site.new_id()

            app = create_app(Shop(store, now=lambda: now, new_id=new_id))
            client = TestClient(
                app,
                base_url="http://127.0.0.1",
                headers={"sec-fetch-site": "same-origin"},
                cookies={"by": "Kim"},
                follow_redirects=False,
            )
            site = Site(client)

            def seen(page: Page) -> str:
                site.pages.append(page)
                return html(page)

            with patch.dict(html.__globals__, {html.__name__: seen}):
                yield site


def fill_shop(path: Path) -> None:
    """The workshop that the tests of the pages look at, in a new file."""
    with fixed_folder(), open_workshop(path) as store:
        fill(store)


def looked_at(demo: Path) -> Recorded:
    """Every address of every page over the demo workshop: the page's value, and its HTML in brief."""
    with site_on(demo, START) as site:
        for address in (*addresses(demo), *WRONG):
            yield address, site.told(site.get(address))


def in_html(shop: Path) -> Recorded:
    """An address or more of every page with its value and its whole HTML, and once more in other units."""
    with site_on(shop, NOW) as site:
        for address in examples():
            yield address, site.told(site.get(address), whole=True)
        for name, text in OTHER_UNITS.items():
            site.client.cookies.set(name, text)
        for address in examples():
            yield f"in other units {address}", site.told(site.get(address))


def sent(shop: Path) -> Recorded:
    """Every form of the pages in `examples`: sent as it stands, then empty; one after another in one workshop."""
    with site_on(shop, NOW) as site:
        known: set[str] = set()
        for address in examples():
            for action in forms_of(site.get(address).text):
                if (target := action or address) not in known:
                    known.add(target)
                    fields = forms_of(site.get(address, ids=f"form-{len(known):02}").text).get(action, [])
                    for how, sent in (("as it stands", fields), ("empty", [])):
                        yield f"{len(known):02} {target} {how}", site.told(site.post(target, sent))


def examples() -> list[str]:
    """The addresses that stand for all pages."""
    return list(dict.fromkeys(address for each in EXAMPLES.values() for address in each))


def addresses(workshop: Path) -> Iterator[str]:
    """Every address that the routes have over a workshop; of the entries, the first of each kind."""
    rows = tables(workshop)
    kinds = {entry["kind"]: entry for entry in reversed(rows["entries"])}
    numbers = {row["id"]: row["number"] for row in rows["jobs"]}
    keys = sorted({row["key"] for row in rows["sheets"]})
    fillings: dict[str, list[str]] = {
        "": [""],
        "{number}": [str(number) for number in numbers.values()],
        "{number} {ordinal}": [f"{numbers[one['job']]} {one['ordinal']}" for one in kinds.values()],
        "{id}": [row["id"] for row in rows["units"]] + [row["id"] for row in rows["sheets"]],
        "{photo}": [row["id"] for row in rows["photos"]],
        "{key:path}": keys,
        "{before} {after}": [f"{one['id']} {two['id']}" for one, two in pairwise(rows["sheets"])],
    }
    for route in ALL:
        if "GET" in (route.methods or ()):
            names = [part for part in route.path.split("/") if part.startswith("{")]
            for texts in fillings[" ".join(names)]:
                yield _filled(route.path, names, texts.split(" "))


def _filled(path: str, names: list[str], texts: list[str]) -> str:
    for name, text in zip(names, texts, strict=False):
        path = path.replace(name, text, 1)
    return path


@dataclass
class Sent:
    """A form as a browser sends it untouched."""

    action: str
    method: str
    fields: list[tuple[str, str]] = field(default_factory=list)


class Forms(HTMLParser):
    """Reads the forms of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.found: dict[str, Sent] = {}
        self.inside = ""
        self.area = ""
        self.select = ("", "")

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """A tag."""
        has = {name: text or "" for name, text in attrs}
        name, into = has.get("name", ""), has.get("form") or self.inside
        if tag == "form":
            self.inside = has.get("id") or f"number {len(self.found)}"
            self.found[self.inside] = Sent(has.get("action", ""), has.get("method", "get"))
        elif tag == "textarea":
            self.area = name
            self._add(into, name, "")
        elif tag == "select":
            self.select = (into, name)
        elif tag == "option" and "selected" in has:
            self._add(*self.select, has.get("value", ""))
        elif tag == "input" and name and _is_sent(has):
            self._add(into, name, has.get("value", "on" if "checked" in has else ""))

    def handle_endtag(self, tag: str) -> None:
        """Its end."""
        if tag == "form":
            self.inside = ""
        elif tag == "textarea":
            self.area = ""

    def handle_data(self, data: str) -> None:
        """What stands in a text area."""
        if self.area and self.inside:
            fields = self.found[self.inside].fields
            fields[-1] = (self.area, fields[-1][1] + data)

    def _add(self, form: str, name: str, text: str) -> None:
        if form in self.found and name:
            self.found[form].fields.append((name, text))


def _is_sent(has: dict[str, str]) -> bool:
    kind = has.get("type", "text")
    return kind not in {"file", "submit", "button"} and (kind not in {"radio", "checkbox"} or "checked" in has)


def forms_of(text: str) -> dict[str, list[tuple[str, str]]]:
    """The forms of a page that record something, by where they are sent; of two for one place, the first."""
    parser = Forms()
    parser.feed(text)
    found: dict[str, list[tuple[str, str]]] = {}
    for form in parser.found.values():
        if form.method == "post":
            found.setdefault(form.action, form.fields)
    return found
