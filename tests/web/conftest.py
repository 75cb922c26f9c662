"""One server and one browser for all tests of the pages."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Route
from starlette.testclient import TestClient

from sagwright.service.workshop.records import Workshop, open_workshop
from sagwright.web.app import create_app
from sagwright.web.http.guard import Guard
from sagwright.web.http.request import Shop
from tests.support.filled import filled_once
from tests.support.web.bench import NUMBER, Bench, bench_on
from tests.support.web.browser import PATIENCE_MS, TABLET, Opener, launched
from tests.support.web.example_workshop import NOW, arrival_of, at_the_stand_from, example_site, fill_file
from tests.support.web.one_job import front
from tests.support.web.serving import asking, served
from tests.support.workshops import Person

UNREACHED = ("Failed to load resource", "error occurred when fetching the script")
"""What a browser writes down by itself where a server does not answer."""


@pytest.fixture(scope="session")
def example(shared: Path) -> Path:
    """The workshop with a job for each face of a page, to be copied."""
    return filled_once(shared, "example", fill_file)


@pytest.fixture(scope="session")
def site(example: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Guard]:
    """The application, as it is served."""
    with example_site(example, tmp_path_factory.mktemp("workshop")) as made:
        yield made


@pytest.fixture(scope="session")
def client(site: Guard) -> Iterator[TestClient]:
    """Requests without a network; forms come from a page of this server."""
    with asking(site) as one:
        yield one


@pytest.fixture
def records(tmp_path: Path) -> Workshop:
    """A small workshop for one test."""
    return front(tmp_path)


@pytest.fixture
def tablet(records: Workshop) -> TestClient:
    """A tablet at it."""
    return asking(create_app(Shop(records, now=lambda: NOW)))


@pytest.fixture(autouse=True)
def _no_cookies(request: pytest.FixtureRequest) -> Iterator[None]:
    yield
    if "client" in request.fixturenames:
        request.getfixturevalue("client").cookies.clear()


@pytest.fixture(scope="session")
def server(site: Guard) -> Iterator[str]:
    """The address of a running server."""
    with served(site) as address:
        yield address


@pytest.fixture(scope="session")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    """One Chromium."""
    with launched(tmp_path_factory.mktemp("chromium")) as opened:
        yield opened


@pytest.fixture
def open_page(browser: Browser, server: str) -> Iterator[Opener]:
    """Opens an address in a browser of its own; whatever would leave the server fails the test."""
    contexts: list[BrowserContext] = []
    foreign: list[str] = []
    errors: list[str] = []

    def guard(route: Route) -> None:
        if route.request.url.startswith(f"{server}/"):
            route.continue_()
        else:
            foreign.append(route.request.url)
            route.abort()

    def open_at(path: str, size: tuple[int, int] = TABLET, *, script: bool = True) -> Page:
        context = browser.new_context(
            viewport={"width": size[0], "height": size[1]}, java_script_enabled=script, base_url=server
        )
        contexts.append(context)
        context.set_default_timeout(PATIENCE_MS)
        context.route("**/*", guard)
        page = context.new_page()
        page.on("pageerror", lambda error: errors.append(str(error)))
        page.on("console", lambda message: errors.append(message.text) if message.type == "error" else None)
        page.goto(path)
        return page

    yield open_at
    for context in contexts:
        context.close()
    assert not foreign
    assert not [error for error in errors if not any(one in error for one in UNREACHED)]


@pytest.fixture(scope="session")
def kept(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Workshops with one job begun, by the name of its intake, to be copied."""
    made = {}
    for name in ("shorten-t35-bike", "lengthen-p34"):
        made[name] = tmp_path_factory.mktemp("kept") / "workshop.sqlite"
        with open_workshop(made[name]) as store:
            at_the_stand_from(store, Person("Kim", start=NOW - timedelta(minutes=30)), arrival_of(name, "Jo Example"))
    return made


@pytest.fixture
def bench(kept: dict[str, Path], tmp_path: Path) -> Iterator[Bench]:
    """A bench with a fork on it whose travel is shortened."""
    with bench_on(kept["shorten-t35-bike"], tmp_path) as made:
        yield made


@pytest.fixture
def address(bench: Bench) -> Iterator[str]:
    """The same, served to browsers."""
    with served(create_app(Shop(bench.store, now=bench.clock))) as at:
        yield f"{at}/jobs/{NUMBER}/bench"
