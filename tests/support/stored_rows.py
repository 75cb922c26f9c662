"""The rows of a workshop as text, so that what an old schema held can be kept beside the tests for ever.

Written once, when a schema is released, from `rows_of` a workshop of its time. Rows of an old schema are put into the
tables of that schema, under the names that these had.
"""

from __future__ import annotations

import base64
import json
import zlib
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any, Final

from alembic import command
from alembic.config import Config
from sqlalchemy import inspect, text

from sagwright.store.engine import Transaction, engine_for, writing
from sagwright.store.schema import _SCRIPTS

FOLDER: Final = Path(__file__).parents[1] / "store" / "schemas"
ORDER: Final = (
    *("customers", "bicycles", "visits", "units", "sheets", "jobs", "entries"),
    *("documents", "photos", "photo_chunks", "instruments", "drafts"),
)
RENAMED: Final = {"owners": "customers"}
"""Tables of old schemas, and what they are called now."""

Rows = dict[str, list[dict[str, Any]]]


def rows_of(transaction: Transaction) -> Rows:
    """Every row by its table, as the database itself has it."""
    there = set(inspect(transaction).get_table_names()) - {"alembic_version"}
    if there != set(ORDER):
        raise ValueError(f"ORDER lacks or has too many: {there ^ set(ORDER)}")
    return {name: [_plain(row._mapping) for row in transaction.execute(_all(name))] for name in ORDER}


def _all(name: str) -> Any:  # noqa: ANN401  # whatever text() makes
    return text(f'SELECT * FROM "{name}"')  # a name of ours


def _plain(row: Any) -> dict[str, Any]:  # noqa: ANN401  # a row has no type
    return {key: {"base64": _ascii(value)} if isinstance(value, bytes) else value for key, value in row.items()}


def _ascii(value: bytes) -> str:
    return base64.b64encode(value).decode("ascii")


def put_rows(transaction: Transaction, rows: Rows) -> None:
    """Write rows as they were, each table after those it points at."""
    for name in sorted(rows, key=lambda one: ORDER.index(RENAMED.get(one, one))):
        for row in rows[name]:
            columns, marks = ", ".join(f'"{key}"' for key in row), ", ".join(f":{key}" for key in row)
            values = {
                key: base64.b64decode(value["base64"]) if isinstance(value, dict) else value
                for key, value in row.items()
            }
            transaction.execute(text(f'INSERT INTO "{name}" ({columns}) VALUES ({marks})'), values)


def make_workshop(where: str, schema: str, rows: Rows) -> None:
    """A database as a program of that schema left it."""
    engine = engine_for(where)
    with writing(engine) as transaction:
        config = Config()
        config.set_main_option("script_location", str(_SCRIPTS))
        config.set_main_option("path_separator", "os")
        config.attributes["connection"] = transaction
        command.upgrade(config, schema)
        put_rows(transaction, rows)
    engine.dispose()


def as_in_database(tables: Iterable[tuple[str, Iterable[Mapping[str, Any]]]]) -> Rows:
    """The rows of an export as the database has them: documents packed, pieces of photos as bytes."""
    return {name: [dict(_packed(name, row)) for row in rows] for name, rows in tables}


def _packed(table: str, row: Mapping[str, Any]) -> Mapping[str, Any]:
    if table == "documents":
        content = {"base64": _ascii(zlib.compress(row["text"].encode()))}
        return {"id": row["id"], "shape": row["shape"], "content": content}
    if table == "photo_chunks":
        return {**{key: value for key, value in row.items() if key != "base64"}, "content": {"base64": row["base64"]}}
    return row


def frozen(schema: str) -> Rows:
    """The rows of one schema."""
    loaded: Rows = json.loads((FOLDER / f"{schema}.json").read_text("utf-8"))
    return loaded
