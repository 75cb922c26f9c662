"""Run by Alembic: brings the database of a given transaction to the newest schema, within that transaction."""

from __future__ import annotations

from alembic import context

from sagwright.store.tables import METADATA

context.configure(connection=context.config.attributes["connection"], target_metadata=METADATA, render_as_batch=True)
context.run_migrations()
