"""Every schema that was ever released, with rows in it, becomes the newest one on both databases."""

from __future__ import annotations

from typing import Any

import pytest
from sqlalchemy import inspect

from sagwright.service.jobs.actions import check_in
from sagwright.service.jobs.queries import board, open_job_numbered, search_jobs
from sagwright.service.workshop.records import list_drafts, list_instruments, open_workshop, read_photo
from sagwright.store.engine import engine_for
from sagwright.store.schema import KNOWN, NEWEST, schema_of
from tests.support.postgresql import Server
from tests.support.stored_rows import RENAMED, frozen, make_workshop, rows_of
from tests.support.workshops import ARRIVAL, Person


@pytest.fixture(params=["sqlite", "postgresql"])
def empty(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> str:
    """Where nothing is kept yet."""
    if request.param == "sqlite":
        return str(tmp_path_factory.mktemp("old") / "w.sqlite")
    server: Server = request.getfixturevalue("postgresql")
    return server.new_database(empty=True)


@pytest.mark.parametrize("schema", KNOWN)
def test_an_old_workshop_without_rows_becomes_the_newest(empty: str, schema: str) -> None:
    make_workshop(empty, schema, {})
    with open_workshop(empty) as store:
        with store.reading() as transaction:
            assert schema_of(transaction) == NEWEST
        assert check_in(store, ARRIVAL, Person()()).card.number == 1001


@pytest.mark.parametrize("schema", KNOWN)
def test_an_old_workshop_with_rows_opens_with_everything_in_it(empty: str, schema: str) -> None:
    make_workshop(empty, schema, frozen(schema))
    with open_workshop(empty) as store:
        done, scrapped, new = (open_job_numbered(store, number).view for number in (1001, 1002, 1003))
        assert (done.state.stage, scrapped.state.stage, new.state.stage) == ("handed over", "scrapped", "plan")
        assert [card.number for card in board(store)] == [1003]
        assert [card.number for card in search_jobs(store, "rami")] == [1003]
        assert not search_jobs(store, "sample")  # erased
        assert sum(entry.corrects is not None for entry in done.entries) == 1
        assert sum(len(piece) for piece in read_photo(store, "photo-1")[1]) > 100
        assert [pump.name for pump in list_instruments(store)] == ["shock pump, digital"]
        assert len(list_drafts(store, "check-in")) == 1


def by_id(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Rows in one order; of photos' pieces there is only one."""
    return sorted(rows, key=lambda row: str(row.get("id")))


def test_the_newest_rows_are_frozen_as_they_are_read(empty: str) -> None:
    make_workshop(empty, NEWEST, frozen(NEWEST))
    with open_workshop(empty) as store, store.reading() as transaction:
        read = rows_of(transaction)
    assert {name: by_id(rows) for name, rows in read.items()} == {n: by_id(r) for n, r in frozen(NEWEST).items()}


def test_every_released_schema_has_its_rows_kept() -> None:
    for schema in KNOWN:
        assert {RENAMED.get(name, name) for name in frozen(schema)} <= set(frozen(KNOWN[-1]))


def test_a_database_half_made_is_not_left(empty: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr("alembic.runtime.migration.HeadMaintainer.update_to_step", fail)
        with pytest.raises(KeyboardInterrupt):
            open_workshop(empty)
    engine = engine_for(empty)
    with engine.connect() as connection:
        assert not [name for name in inspect(connection).get_table_names() if name != "alembic_version"]
    engine.dispose()
    with open_workshop(empty) as store, store.reading() as transaction:
        assert schema_of(transaction) == NEWEST
