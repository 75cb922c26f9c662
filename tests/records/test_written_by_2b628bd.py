"""A workshop, an export and a backup that an older program wrote are opened with everything in them."""

from __future__ import annotations

import json
import lzma
import re
import shutil
import zlib
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Final

import pytest
from sqlalchemy import inspect, text

from sagwright.formats.records.workshop import Head, StoredRows
from sagwright.formats.records.workshop_csv import write_folder
from sagwright.service.jobs.queries import open_job_numbered
from sagwright.service.workshop.maintenance import Grade, examine_records, import_workshop, restore_workshop
from sagwright.service.workshop.records import Workshop, open_workshop
from sagwright.store.rows import COLUMN_KINDS
from sagwright.store.words_0002 import columns_before
from sagwright.web.app import create_app
from sagwright.web.http.request import Shop
from tests.support.postgresql import Server
from tests.support.web.serving import asking

FROZEN: Final = Path(__file__).parent / "frozen" / "2b628bd"
LATER: Final = datetime(2026, 3, 20, 9, 0, tzinfo=UTC)
JOBS: Final = range(1001, 1018)
PAGES: Final = (
    "",
    "/check-in",
    "/plan",
    "/prepare",
    "/sheet",
    "/bench",
    "/bench/all",
    "/bench/problem",
    "/tag",
    "/log",
)
CLOSING: Final = ("/final-check", "/hand-over")
OLD: Final = re.compile(
    r'"(?:build|candidates|way_back|bath_oil|equaliser_hole|gate|kit|same_pressure|end_rise|mid_support|owner'
    r'|promised|architecture|distance|sat|proven|said|passes)":'
    r'|"[\w.:=-]*(?:equaliser|glide_ring|air_clip|spring_clip|proven-|bath_oil)[\w.:=-]*"|"thread compound"'
)
"""Keys and names that nothing stored has any more; sentences that people typed stay as they are."""


def unpacked(name: str, folder: Path) -> Path:
    """A frozen file, unpacked."""
    path = folder / name
    path.write_bytes(lzma.decompress((FROZEN / f"{name}.xz").read_bytes()))
    return path


def records(folder: Path, _: str) -> str:
    """The file itself, brought to the newest schema as it is opened."""
    return str(unpacked("demo.sqlite", folder))


def exported(folder: Path, where: str) -> str:
    """The export, imported."""
    with open_workshop(where) as store:
        assert import_workshop(store, unpacked("export.json", folder))["jobs"] == len(JOBS)
    return where


def exported_csv(folder: Path, where: str) -> str:
    """The export as a folder of CSV files, imported."""
    with unpacked("export.json", folder).open(encoding="utf-8") as file:
        rows = StoredRows(file, "export.json")
        head: dict[str, Any] = rows.head
        columns = tuple((table, tuple(kinds)) for table, kinds in columns_before(COLUMN_KINDS).items())
        (folder / "csv").mkdir()
        about = Head(head["schema"], head["program"], columns, tuple(head["counts"].items()))
        write_folder(folder / "csv", about, rows.tables())
    with open_workshop(where) as store:
        assert import_workshop(store, folder / "csv")["entries"] == 266
    return where


def backed_up(folder: Path, where: str) -> str:
    """The backup, restored."""
    shutil.copy(FROZEN / "demo.backup", folder)
    restore_workshop(folder / "demo.backup", where, now=LATER)
    return where


@pytest.fixture(params=["sqlite", "postgresql"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Where the records go."""
    if request.param == "sqlite":
        return str(tmp_path / "new.sqlite")
    server: Server = request.getfixturevalue("postgresql")
    return server.new_database(empty=True)


@pytest.fixture(params=[records, exported, exported_csv, backed_up], ids=lambda one: one.__name__)
def store(request: pytest.FixtureRequest, place: str, tmp_path: Path) -> Iterator[Workshop]:
    """The old records, opened by this program."""
    made: Callable[[Path, str], str] = request.param
    if made is records and place.startswith("postgresql"):
        pytest.skip("a file is a file")
    with open_workshop(made(tmp_path, place)) as opened:
        yield opened


def test_every_job_opens_and_every_page_answers(store: Workshop) -> None:
    stages = {open_job_numbered(store, number).view.state.stage for number in JOBS}
    assert len(stages) >= 7
    client = asking(create_app(Shop(store, now=lambda: LATER)))
    client.follow_redirects = True
    client.cookies.set("by", "Kim")
    for number in JOBS:
        unit = open_job_numbered(store, number).unit.id
        for address in (*(f"/jobs/{number}{page}" for page in PAGES), f"/units/{unit}"):
            answer = client.get(address)
            assert answer.status_code in {200, 409}, f"{address}: {answer.status_code}"  # 409: not at this stage
    for address in ("/", "/sheets", "/check-in"):
        assert client.get(address).status_code == 200


def test_doctor_finds_nothing(store: Workshop) -> None:
    found = list(examine_records(str(store.engine.url.render_as_string(hide_password=False))))
    assert [(one.about, one.what) for one in found if one.grade is Grade.BAD] == []
    assert {one.about for one in found} >= {"entries", "rows", "pointers", "documents", "sheets", "jobs", "photos"}


def test_no_old_word_is_stored(store: Workshop) -> None:
    with store.reading() as transaction:
        for table in inspect(transaction).get_table_names():
            for row in transaction.execute(text(f'SELECT * FROM "{table}"')):
                for column, value in row._mapping.items():
                    assert not OLD.search(as_text(table, value)), f"{table}.{column}"


def as_text(table: str, value: object) -> str:
    if isinstance(value, bytes):
        return zlib.decompress(value).decode() if table == "documents" else ""
    return value if isinstance(value, str) else json.dumps(value, default=str)
