"""The words of the trade: customers, due days, holds, and everything that was stored under older names.

Documents and sheets are named by digests of their texts; they get new ids, and what names them follows.

Revision ID: 0002
Revises: 0001
"""

from __future__ import annotations

import json
import zlib
from typing import Any

import sqlalchemy as sa
from alembic import op

from sagwright.store.migrations import words_0002 as words

revision = "0002"
down_revision = "0001"

_COLUMNS = (
    ("bicycles", "owner", "customer", True),
    ("units", "owner", "customer", True),
    ("visits", "owner", "customer", True),
    ("visits", "promised", "due", False),
    ("jobs", "promised", "due", False),
    ("jobs", "taken_in", "checked_in", False),
    ("jobs", "waiting", "on_hold", False),
    ("jobs", "waiting_what", "on_hold_what", False),
)


def upgrade() -> None:
    """Tables and columns first, then every row."""
    postgresql = op.get_bind().dialect.name == "postgresql"
    op.rename_table("owners", "customers")
    if postgresql:
        op.execute("ALTER TABLE customers RENAME CONSTRAINT pk_owners TO pk_customers")
    for table, old, new, indexed in _COLUMNS:
        if indexed:
            op.drop_index(f"ix_{table}_{old}", table_name=table)
        op.execute(f'ALTER TABLE "{table}" RENAME COLUMN "{old}" TO "{new}"')
        if indexed:
            op.create_index(f"ix_{table}_{new}", table, [new])
            if postgresql:
                op.execute(
                    f"ALTER TABLE {table} RENAME CONSTRAINT fk_{table}_{old}_owners TO fk_{table}_{new}_customers"
                )
    ids = _documents() | _sheets()
    _jobs()
    _entries(ids)
    _drafts()


def _rows(table: str, *columns: str) -> list[tuple[Any, ...]]:
    listed = ", ".join(f'"{one}"' for one in columns)
    return [tuple(row) for row in op.get_bind().execute(sa.text(f'SELECT {listed} FROM "{table}"'))]


def _run(statement: str, **values: object) -> None:
    op.get_bind().execute(sa.text(statement), values)


def _documents() -> dict[str, str]:
    ids: dict[str, str] = {}
    for old, was, content in _rows("documents", "id", "shape", "content"):
        text, shape = words.document(was, zlib.decompress(content).decode()), words.shape(was)
        new = ids[old] = words.document_id(shape, text)
        if new != old:
            _run("DELETE FROM documents WHERE id = :old", old=old)
            _run(
                "INSERT INTO documents (id, shape, content) VALUES (:id, :shape, :content)",
                id=new,
                shape=shape,
                content=zlib.compress(text.encode()),
            )
    return ids


def _sheets() -> dict[str, str]:
    ids: dict[str, str] = {}
    columns = ("id", "key", "revision", "text", "inputs", "added", "by")
    for row in _rows("sheets", *columns):
        values = words.row("sheets", dict(zip(columns, row, strict=True)))
        new = words.sheet_id(values["key"], values["text"], json.loads(values["inputs"]))
        ids[values["id"]] = new
        if new == values["id"]:
            continue
        names = ", ".join(f'"{one}"' for one in columns)
        marks = ", ".join(f":{one}" for one in columns)
        _run(f"INSERT INTO sheets ({names}) VALUES ({marks})", **{**values, "id": new})
        _run("UPDATE jobs SET sheet = :new WHERE sheet = :old", new=new, old=values["id"])
        _run("DELETE FROM sheets WHERE id = :old", old=values["id"])
    return ids


def _jobs() -> None:
    for key, stage, hold in _rows("jobs", "id", "stage", "on_hold"):
        values = words.row("jobs", {"stage": stage, "on_hold": hold})
        _run("UPDATE jobs SET stage = :stage, on_hold = :on_hold WHERE id = :id", id=key, **values)


def _entries(ids: dict[str, str]) -> None:
    for key, kind, payload in _rows("entries", "id", "kind", "payload"):
        values = words.row("entries", {"kind": kind, "payload": payload})
        text = words.with_ids(values["payload"], ids)
        statement = "UPDATE entries SET kind = :kind, payload = :payload WHERE id = :id"
        _run(statement, id=key, kind=values["kind"], payload=text)


def _drafts() -> None:
    for key, form, text in _rows("drafts", "id", "form", "text"):
        values = words.row("drafts", {"form": form, "text": text})
        _run("UPDATE drafts SET form = :form, text = :text WHERE id = :id", id=key, **values)
