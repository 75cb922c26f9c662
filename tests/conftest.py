"""Workshops on both databases, for all tests; and how much the random tests try.

A few cases and always the same under `make test`, more of them under `make check`, many and new under `make long`.
"""

from __future__ import annotations

import gc
import os
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Final

import pytest
from hypothesis import settings
from xdist.remote import Producer
from xdist.scheduler import LoadFileScheduling

from sagwright.service.workshop.records import open_workshop
from sagwright.store.workshop import Store
from tests.reference.fluids import Properties, properties
from tests.support.postgresql import Server, a_server
from tests.support.workshops import Person

settings.register_profile("fast", derandomize=True, deadline=None, max_examples=12)
settings.register_profile("default", derandomize=True, deadline=None, max_examples=60)
settings.register_profile("long", derandomize=False, deadline=None, max_examples=2000, print_blob=True)
settings.load_profile(os.environ.get("SAGWRIGHT_HYPOTHESIS", "default"))


STARTED: Final = frozenset({"browser", "postgresql", "own_postgresql", "PropsSI"})
"""What takes seconds to start or to load: a test with one of these is slow."""


def pytest_itemcollected(item: pytest.Item) -> None:
    """Marks what is slow."""
    if isinstance(item, pytest.Function) and (STARTED & set(item.fixturenames) or on_postgresql(item)):
        item.add_marker(pytest.mark.slow)


def on_postgresql(item: pytest.Function) -> bool:
    """Whether it is the case of a test that keeps its records on a server."""
    return hasattr(item, "callspec") and "postgresql" in item.callspec.params.values()


APART: Final = frozenset({"tests/goldens/test_goldens.py"})
"""Files whose tests take long and share only what is made once in a run: any worker may take any of them."""


class ByFile(LoadFileScheduling):  # type: ignore[misc]  # its package ships no types
    """Runs the tests of a file on one worker, so that what they share is made once; and all files that have a serial
    test on one, so that never two of these run at once.

    `--dist loadgroup` does not do it: pytest-xdist 3.8 names a test's group where pytest 9 no longer looks for it.
    """

    def _split_scope(self, nodeid: str) -> str:
        file = nodeid.partition("::")[0]
        if file in APART:
            return nodeid
        return "serial" if file in serial_files() else file


def pytest_collection_finish() -> None:
    """What was imported and collected stays to the end: looking through it for garbage again and again is in vain."""
    gc.collect()
    gc.freeze()


@cache
def serial_files() -> frozenset[str]:
    """Files with a serial test."""
    files = (path for path in Path(__file__).parent.rglob("test_*.py") if "mark.serial" in path.read_text("utf-8"))
    return frozenset(path.relative_to(Path(__file__).parents[1]).as_posix() for path in files)


def pytest_xdist_make_scheduler(config: pytest.Config, log: Producer) -> ByFile:
    """What decides which worker runs what."""
    return ByFile(config, log)


@pytest.fixture(scope="session")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that all workers of this run share."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if "PYTEST_XDIST_WORKER" in os.environ else own


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


@pytest.fixture(scope="session", name="PropsSI")
def props_si() -> Properties:
    """The properties of fluids, from an independent program."""
    return properties()


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
