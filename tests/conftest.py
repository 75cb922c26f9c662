"""Workshops on both databases, for all tests; and how much the random tests try.

Few cases and always the same by default, many and new under `make long`.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

from sagwright.service.workshop.records import open_workshop
from sagwright.store.workshop import Store
from tests.support.postgresql import Server, a_server
from tests.support.workshops import Person

settings.register_profile("default", derandomize=True, deadline=None, max_examples=60)
settings.register_profile("long", derandomize=False, deadline=None, max_examples=2000, print_blob=True)
settings.load_profile(os.environ.get("SAGWRIGHT_HYPOTHESIS", "default"))


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Tests that run beside each other: those of a file stay together, and all that are serial."""
    for item in items:
        group = "serial" if item.get_closest_marker("serial") else item.nodeid.partition("::")[0]
        item.add_marker(pytest.mark.xdist_group(group))


@pytest.fixture(scope="session")
def postgresql() -> Iterator[Server]:
    """The server that tests share."""
    with a_server() as server:
        yield server


@pytest.fixture
def own_postgresql() -> Iterator[Server]:
    """A server for one test that ends it."""
    with a_server() as server:
        yield server


@pytest.fixture(params=["sqlite", "postgresql"])
def where(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Where records can be kept, on each database: the path of a file that is not there yet, or a URL."""
    if request.param == "sqlite":
        return str(tmp_path / "workshop.sqlite")
    server: Server = request.getfixturevalue("postgresql")
    return server.new_database()


@pytest.fixture
def store(where: str) -> Iterator[Store]:
    """An empty workshop on each database."""
    with open_workshop(where) as opened:
        yield opened


@pytest.fixture
def kim() -> Person:
    """A technician."""
    return Person("Kim")


@pytest.fixture
def lou() -> Person:
    """Another one."""
    return Person("Lou")
