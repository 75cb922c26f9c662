"""The first schema.

Revision ID: 0001
Revises:
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """An empty database gets its tables."""
    _documents()
    _instruments()
    _owners()
    _photos()
    _sheets()
    _bicycles()
    _photo_chunks()
    _visits()
    _units()
    _jobs()
    _drafts()
    _entries()


def _documents() -> None:
    op.create_table(
        "documents",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("shape", sa.Text(), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_documents"),
    )


def _instruments() -> None:
    op.create_table(
        "instruments",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("accuracy", sa.Text(), nullable=False),
        sa.Column("last_check", sa.Text(), nullable=True),
        sa.Column("retired", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_instruments"),
    )


def _owners() -> None:
    op.create_table(
        "owners",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("contact", sa.Text(), nullable=False),
        sa.Column("search", sa.Text(), nullable=False),
        sa.Column("erased_at", sa.String(length=32), nullable=True),
        sa.Column("erased_by", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_owners"),
    )


def _photos() -> None:
    op.create_table(
        "photos",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_photos"),
    )


def _sheets() -> None:
    op.create_table(
        "sheets",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("inputs", sa.Text(), nullable=False),
        sa.Column("added", sa.String(length=32), nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_sheets"),
    )
    op.create_index("ix_sheets_key", "sheets", ["key"])


def _bicycles() -> None:
    op.create_table(
        "bicycles",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("owner", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["owner"], ["owners.id"], name="fk_bicycles_owner_owners"),
        sa.PrimaryKeyConstraint("id", name="pk_bicycles"),
    )
    op.create_index("ix_bicycles_owner", "bicycles", ["owner"])


def _photo_chunks() -> None:
    op.create_table(
        "photo_chunks",
        sa.Column("photo", sa.Text(), nullable=False),
        sa.Column("ordinal", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["photo"], ["photos.id"], name="fk_photo_chunks_photo_photos"),
        sa.PrimaryKeyConstraint("photo", "ordinal", name="pk_photo_chunks"),
    )


def _visits() -> None:
    op.create_table(
        "visits",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("owner", sa.Text(), nullable=False),
        sa.Column("arrived", sa.String(length=32), nullable=False),
        sa.Column("promised", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(["owner"], ["owners.id"], name="fk_visits_owner_owners"),
        sa.PrimaryKeyConstraint("id", name="pk_visits"),
    )
    op.create_index("ix_visits_owner", "visits", ["owner"])


def _units() -> None:
    op.create_table(
        "units",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("serial", sa.Text(), nullable=False),
        sa.Column("serial_search", sa.Text(), nullable=False),
        sa.Column("sheet", sa.Text(), nullable=False),
        sa.Column("chassis", sa.Text(), nullable=False),
        sa.Column("owner", sa.Text(), nullable=False),
        sa.Column("bicycle", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(["bicycle"], ["bicycles.id"], name="fk_units_bicycle_bicycles"),
        sa.ForeignKeyConstraint(["owner"], ["owners.id"], name="fk_units_owner_owners"),
        sa.PrimaryKeyConstraint("id", name="pk_units"),
    )
    op.create_index("ix_units_owner", "units", ["owner"])
    op.create_index("ix_units_serial_search", "units", ["serial_search"])


def _jobs() -> None:
    op.create_table(
        "jobs",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("visit", sa.Text(), nullable=False),
        sa.Column("unit", sa.Text(), nullable=False),
        sa.Column("sheet", sa.Text(), nullable=False),
        sa.Column("bicycle", sa.Text(), nullable=True),
        sa.Column("comeback_of", sa.Text(), nullable=True),
        sa.Column("stage", sa.Text(), nullable=False),
        sa.Column("waiting", sa.Text(), nullable=False),
        sa.Column("waiting_what", sa.Text(), nullable=False),
        sa.Column("holder", sa.Text(), nullable=False),
        sa.Column("promised", sa.Text(), nullable=True),
        sa.Column("taken_in", sa.String(length=32), nullable=False),
        sa.Column("updated", sa.String(length=32), nullable=False),
        sa.Column("entries", sa.Integer(), nullable=False),
        sa.Column("search", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["bicycle"], ["bicycles.id"], name="fk_jobs_bicycle_bicycles"),
        sa.ForeignKeyConstraint(["comeback_of"], ["jobs.id"], name="fk_jobs_comeback_of_jobs"),
        sa.ForeignKeyConstraint(["sheet"], ["sheets.id"], name="fk_jobs_sheet_sheets"),
        sa.ForeignKeyConstraint(["unit"], ["units.id"], name="fk_jobs_unit_units"),
        sa.ForeignKeyConstraint(["visit"], ["visits.id"], name="fk_jobs_visit_visits"),
        sa.PrimaryKeyConstraint("id", name="pk_jobs"),
        sa.UniqueConstraint("number", name="uq_jobs_number"),
    )
    op.create_index("ix_jobs_stage", "jobs", ["stage"])
    op.create_index("ix_jobs_unit", "jobs", ["unit"])
    op.create_index("ix_jobs_updated", "jobs", ["updated"])
    op.create_index("ix_jobs_visit", "jobs", ["visit"])


def _drafts() -> None:
    op.create_table(
        "drafts",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("form", sa.Text(), nullable=False),
        sa.Column("job", sa.Text(), nullable=True),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("updated", sa.String(length=32), nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["job"], ["jobs.id"], name="fk_drafts_job_jobs"),
        sa.PrimaryKeyConstraint("id", name="pk_drafts"),
    )
    op.create_index("ix_drafts_job", "drafts", ["job"])


def _entries() -> None:
    op.create_table(
        "entries",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("job", sa.Text(), nullable=False),
        sa.Column("ordinal", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("payload", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("corrects", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(["corrects"], ["entries.id"], name="fk_entries_corrects_entries"),
        sa.ForeignKeyConstraint(["job"], ["jobs.id"], name="fk_entries_job_jobs"),
        sa.PrimaryKeyConstraint("id", name="pk_entries"),
        sa.UniqueConstraint("job", "ordinal", name="uq_entries_job_ordinal"),
    )
