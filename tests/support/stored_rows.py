"""The rows of a workshop as text, so that what an old schema held can be kept beside the tests for ever.

Written once, when a schema is released, from `rows_of` a workshop of its time.
"""

from __future__ import annotations

import base64
import json
from pathlib import Path
from typing import Any, Final

from sqlalchemy import inspect, text

from sagwright.store.engine import Transaction

FOLDER: Final = Path(__file__).parents[1] / "store" / "schemas"
ORDER: Final = (
    *("customers", "bicycles", "visits", "units", "sheets", "jobs", "entries"),
    *("documents", "photos", "photo_chunks", "instruments", "drafts"),
)


def rows_of(transaction: Transaction) -> dict[str, list[dict[str, Any]]]:
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


def put_rows(transaction: Transaction, rows: dict[str, list[dict[str, Any]]]) -> None:
    """Write rows as they were."""
    for name in ORDER:
        for row in rows.get(name, []):
            columns, marks = ", ".join(f'"{key}"' for key in row), ", ".join(f":{key}" for key in row)
            values = {
                key: base64.b64decode(value["base64"]) if isinstance(value, dict) else value
                for key, value in row.items()
            }
            transaction.execute(text(f'INSERT INTO "{name}" ({columns}) VALUES ({marks})'), values)


def frozen(schema: str) -> dict[str, list[dict[str, Any]]]:
    """The rows of one schema."""
    loaded: dict[str, list[dict[str, Any]]] = json.loads((FOLDER / f"{schema}.json").read_text("utf-8"))
    return loaded
