"""Workshops, exports and a backup that older programs wrote are opened with everything in them."""

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

from sagwright.formats.records.decision import read_plan
from sagwright.formats.records.workshop import Head, StoredRows
from sagwright.formats.records.workshop_csv import write_folder
from sagwright.service.jobs.decision import decision_of, known_intake
from sagwright.service.jobs.queries import open_job_numbered
from sagwright.service.workshop.maintenance import (
    Grade,
    examine_records,
    export_json,
    import_workshop,
    restore_workshop,
)
from sagwright.service.workshop.maintenance import exported as exported_lines
from sagwright.service.workshop.records import Workshop, open_workshop
from sagwright.store.migrations.words_0002 import columns_before
from sagwright.store.rows import COLUMN_KINDS
from sagwright.web.app import create_app
from sagwright.web.http.request import Shop
from tests.support.postgresql import Server
from tests.support.stored_rows import as_in_database, make_workshop
from tests.support.web.serving import asking

FROZEN: Final = Path(__file__).parent / "frozen"
LATER: Final = datetime(2026, 3, 20, 9, 0, tzinfo=UTC)
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
    "/final-check",
    "/hand-over",
)
OLD: Final = re.compile(
    r'"(?:build|candidates|way_back|bath_oil|equaliser_hole|gate|kit|same_pressure|end_rise|mid_support|owner'
    r'|promised|architecture|distance|sat|proven|said|passes)":'
    r'|(?<!"name": )(?<!"what":)(?<!"checks":)'
    r'(?:"[\w.:=-]*(?:equaliser|glide_ring|air_clip|spring_clip|proven-|bath_oil)[\w.:=-]*"'
    r'|"thread compound")'
)
"""Keys and names that nothing stored has any more; names of parts in words, and what people typed, stay as they are."""


def unpacked(name: str, folder: Path) -> Path:
    """A frozen file, unpacked."""
    path = folder / Path(name).name
    path.write_bytes(lzma.decompress((FROZEN / f"{name}.xz").read_bytes()))
    return path


def records(folder: Path, _: str) -> str:
    """The file itself, brought to the newest schema as it is opened."""
    return str(unpacked("2b628bd/demo.sqlite", folder))


def exported(folder: Path, where: str) -> str:
    """The export, imported."""
    with open_workshop(where) as store:
        assert import_workshop(store, unpacked("2b628bd/export.json", folder))["jobs"] == 17
    return where


def exported_csv(folder: Path, where: str) -> str:
    """The export as a folder of CSV files, imported."""
    with unpacked("2b628bd/export.json", folder).open(encoding="utf-8") as file:
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
    shutil.copy(FROZEN / "2b628bd" / "demo.backup", folder)
    restore_workshop(folder / "demo.backup", where, now=LATER)
    return where


def every_kind(folder: Path, where: str) -> str:
    """The export with an entry of every kind, imported."""
    with open_workshop(where) as store:
        assert import_workshop(store, unpacked("5dd63b9/everything.json", folder))["jobs"] == 5
    return where


def every_kind_upgraded(folder: Path, where: str) -> str:
    """The same rows, put into tables of schema 0001 that are brought to the newest schema as they are opened."""
    with unpacked("5dd63b9/everything.json", folder).open(encoding="utf-8") as file:
        make_workshop(where, "0001", as_in_database(StoredRows(file, "everything.json").tables()))
    return where


@pytest.fixture(params=["sqlite", "postgresql"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Where the records go."""
    if request.param == "sqlite":
        return str(tmp_path / "new.sqlite")
    server: Server = request.getfixturevalue("postgresql")
    return server.new_database(empty=True)


@pytest.fixture(
    params=[records, exported, exported_csv, backed_up, every_kind, every_kind_upgraded], ids=lambda one: one.__name__
)
def store(request: pytest.FixtureRequest, place: str, tmp_path: Path) -> Iterator[Workshop]:
    """The old records, opened by this program."""
    made: Callable[[Path, str], str] = request.param
    if made is records and place.startswith("postgresql"):
        pytest.skip("a file is a file")
    with open_workshop(made(tmp_path, place)) as opened:
        yield opened


def jobs_in(store: Workshop) -> list[int]:
    """The numbers of all jobs."""
    with store.reading() as transaction:
        return [int(number) for number in transaction.execute(text("SELECT number FROM jobs")).scalars()]


def test_every_job_opens_and_every_page_answers(store: Workshop) -> None:
    numbers = jobs_in(store)
    stages = {open_job_numbered(store, number).view.state.stage for number in numbers}
    assert len(stages) >= 5
    client = asking(create_app(Shop(store, now=lambda: LATER)))
    client.follow_redirects = True
    client.cookies.set("by", "Kim")
    for number in numbers:
        unit = open_job_numbered(store, number).unit.id
        for address in (*(f"/jobs/{number}{page}" for page in PAGES), f"/units/{unit}"):
            answer = client.get(address)
            assert answer.status_code in {200, 409}, f"{address}: {answer.status_code}"  # 409: not at this stage
    for address in ("/", "/sheets", "/check-in"):
        assert client.get(address).status_code == 200


def test_what_was_decided_is_read_for_every_job(store: Workshop) -> None:
    for number in jobs_in(store):
        job = open_job_numbered(store, number)
        if job.view.state.decision is not None:
            assert read_plan(decision_of(store, job.view.card.id).work.text).steps


def test_the_intake_of_a_decision_is_what_the_facts_make(tmp_path: Path) -> None:
    with open_workshop(every_kind(tmp_path, str(tmp_path / "new.sqlite"))) as store:
        for number in (1002, 1003):  # nothing was added since
            job = open_job_numbered(store, number).view.card.id
            intake = decision_of(store, job).intake
            assert intake is not None
            assert intake.text == known_intake(store, job).intake


def test_an_export_is_the_same_after_its_import(store: Workshop, tmp_path: Path) -> None:
    export_json(store, tmp_path / "first.json")
    with open_workshop(tmp_path / "again.sqlite") as again:
        import_workshop(again, tmp_path / "first.json")
        export_json(again, tmp_path / "second.json")
    assert (tmp_path / "first.json").read_bytes() == (tmp_path / "second.json").read_bytes()


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
    if table == "drafts" and str(value).startswith("{"):
        return json.dumps(list(json.loads(str(value))))  # the fields; what was typed into them stays
    return value if isinstance(value, str) else json.dumps(value, default=str)


def test_rows_are_upgraded_in_place_as_they_are_imported(tmp_path: Path, place: str) -> None:
    with (
        open_workshop(every_kind(tmp_path, str(tmp_path / "imported.sqlite"))) as imported,
        open_workshop(every_kind_upgraded(tmp_path, place)) as upgraded,
    ):
        assert list(exported_lines(imported)) == list(exported_lines(upgraded))
