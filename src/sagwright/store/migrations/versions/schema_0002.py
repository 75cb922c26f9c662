"""One shape for every plan: those of tasks alone, which were "steps/1", become "plan/1".

Revision ID: 0002
Revises: 0001
"""

from __future__ import annotations

import zlib

import sqlalchemy as sa
from alembic import op

from sagwright.store.migrations import steps_into_plan

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Documents first, then the entries that name them."""
    connection = op.get_bind()
    ids: dict[str, str] = {}
    old = connection.execute(sa.text("SELECT id, content FROM documents WHERE shape = 'steps/1'")).all()
    for key, content in old:
        text = steps_into_plan.document(zlib.decompress(content).decode())
        ids[key] = steps_into_plan.document_id(text)
        values = {"new": ids[key], "content": zlib.compress(text.encode()), "old": key}
        change = "UPDATE documents SET id = :new, shape = 'plan/1', content = :content WHERE id = :old"
        connection.execute(sa.text(change), values)
    for key, payload in connection.execute(sa.text("SELECT id, payload FROM entries")).all():
        said = steps_into_plan.entry(payload, ids)
        if said != payload:
            connection.execute(
                sa.text("UPDATE entries SET payload = :payload WHERE id = :key"), {"payload": said, "key": key}
            )
