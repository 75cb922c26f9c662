"""Every schema that was released becomes the newest one with all its rows, on both databases.

`schemas/NNNN.json` is a frozen workshop: every row of every table as that schema had them. A new schema adds a file
(`python -m tests.store.test_migrations NNNN`), and none is ever changed.
"""

from __future__ import annotations

import base64
import json
import sys
import tempfile
from pathlib import Path
from typing import Any

import pytest
from alembic import command
from alembic.config import Config
from sqlalchemy import Engine, MetaData, insert

from sagwright.domain.records.payloads import HandedOver, Noted, Prepared, Proved
from sagwright.domain.records.stages import Stage
from sagwright.errors import StoreFailed
from sagwright.service import jobs, keeping
from sagwright.service.choosing import decision_of
from sagwright.service.looking import board, history, open_job, search
from sagwright.service.workshop import open_workshop
from sagwright.store.engine import engine_for, writing
from sagwright.store.migrate import KNOWN, NEWEST, upgrade
from sagwright.store.store import Store
from sagwright.store.tables import METADATA
from tests.store.test_photos import shot
from tests.workshops import Person, Server, on_the_bench, worked_through

SCHEMAS = Path(__file__).parent / "schemas"
SCRIPTS = Path(sys.modules["sagwright.store.migrate"].__file__ or "").parent / "migrations"


def made_with(schema: str, where: str) -> Engine:
    """A database of an older schema, with the rows that were frozen with it."""
    engine = engine_for(where)
    config = Config()
    config.set_main_option("script_location", str(SCRIPTS))
    config.set_main_option("path_separator", "os")
    with writing(engine) as transaction:
        config.attributes["connection"] = transaction
        command.upgrade(config, schema)
        tables = MetaData()
        tables.reflect(transaction)
        for name, rows in json.loads((SCHEMAS / f"{schema}.json").read_text("utf-8")).items():
            for row in rows:
                transaction.execute(insert(tables.tables[name]).values(**{key: _back(row[key]) for key in row}))
    return engine


def _back(value: Any) -> Any:  # noqa: ANN401 - whatever a database holds
    return base64.b64decode(value["base64"]) if isinstance(value, dict) else value


def empty(server: Server | None, folder: Path) -> str:
    return str(folder / "old.sqlite") if server is None else server.new_database(empty=True)


@pytest.fixture(params=["sqlite", "postgresql"])
def nothing_there(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Where nothing is yet, not even tables."""
    server = request.getfixturevalue("postgresql") if request.param == "postgresql" else None
    return empty(server, tmp_path)


@pytest.mark.parametrize("schema", KNOWN)
def test_every_released_schema_becomes_the_newest(nothing_there: str, schema: str, kim: Person) -> None:
    made_with(schema, nothing_there).dispose()
    with open_workshop(nothing_there) as store:
        (card,) = board(store)
        assert (card.stage, card.owner_name, card.serial) == (Stage.BENCH, "Zoë Example", "0417")
        closed = next(one for one in search(store, "zoe") if one.stage is Stage.HANDED_OVER)
        assert [one.card.id for one in history(store, "0417")[0].jobs] == [closed.id]
        assert decision_of(store, closed.id).work.text.startswith('{\n  "shape": "plan/1"')
        photo, pieces = keeping.read_photo(store, "photo")
        assert len(b"".join(pieces)) == photo.size
        assert keeping.read_draft(store, "draft") == {"text": "half"}
        jobs.note(store, card.id, kim("after"), what=Noted("after the upgrade"))
        assert open_job(store, card.id).view.entries[-1].id == "after"


def test_every_known_schema_has_its_frozen_rows() -> None:
    assert tuple(sorted(path.stem for path in SCHEMAS.glob("*.json"))) == KNOWN
    assert KNOWN[-1] == NEWEST


def test_an_upgrade_that_fails_leaves_everything_as_it_was(nothing_there: str, monkeypatch: pytest.MonkeyPatch) -> None:
    engine = engine_for(nothing_there)

    def half(transaction: Any) -> None:  # noqa: ANN401
        METADATA.create_all(transaction)
        raise StoreFailed("stopped half-way")

    monkeypatch.setattr("sagwright.store.migrate._run", half)
    with pytest.raises(StoreFailed, match="half-way"):
        upgrade(engine)
    monkeypatch.undo()
    upgrade(engine)
    with Store(engine) as store:
        assert board(store) == ()


def freeze(schema: str) -> None:
    """Write down a workshop as the newest schema has it."""
    from dataclasses import replace

    from sagwright.service.taking_in import NewOwner
    from tests.workshops import ARRIVAL

    kim, zoe = Person(), NewOwner("Zoë Example", "zoe@example.org")
    with tempfile.TemporaryDirectory() as folder, open_workshop(Path(folder) / "w.sqlite") as store:
        keeping.keep_photo(store, shot((40, 30)), kim("photo"))
        first = on_the_bench(store, kim, replace(ARRIVAL, owner=zoe, photos=("photo",)))
        job = worked_through(store, first, kim).card.id
        jobs.prove(store, job, kim(), what=Proved(proven=True))
        jobs.hand_over(store, job, kim(), what=HandedOver(accepted=True))
        second = on_the_bench(store, kim, replace(ARRIVAL, owner=first.card.owner))
        jobs.prepare(store, second.card.id, kim("prepared"), what=Prepared(("a",)))
        jobs.correct(store, second.card.id, kim(), entry="prepared", what=Prepared(("b",)))
        keeping.keep_draft(store, "note", {"text": "half"}, kim("draft"), job=job)
        with store.reading() as transaction:
            tables = MetaData()
            tables.reflect(transaction)
            rows = {
                table.name: [dict(row._mapping) for row in transaction.execute(table.select())]
                for table in tables.sorted_tables
                if table.name != "alembic_version"
            }
    text = json.dumps(
        rows, ensure_ascii=False, indent=1, default=lambda raw: {"base64": base64.b64encode(raw).decode()}
    )
    (SCHEMAS / f"{schema}.json").write_text(text + "\n", "utf-8")


if __name__ == "__main__":
    freeze(sys.argv[1])
