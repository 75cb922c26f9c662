"""The tables, as the newest schema has them; how older ones become it stands in `migrations`."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Final

from sqlalchemy import (
    Boolean,
    Column,
    Dialect,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    TypeDecorator,
    UniqueConstraint,
)

NAMING: Final = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}
METADATA: Final = MetaData(naming_convention=NAMING)


class UtcMoment(TypeDecorator[datetime]):
    """A point in time, kept as text of one width in UTC, so that both databases hold and sort it alike."""

    impl = String(32)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> str | None:
        """To the database."""
        return None if value is None else value.astimezone(UTC).isoformat(timespec="microseconds")

    def process_result_value(self, value: str | None, dialect: Dialect) -> datetime | None:
        """From the database."""
        return None if value is None else datetime.fromisoformat(value)


def _id() -> Column[str]:
    return Column("id", Text, primary_key=True)


customers: Final = Table(
    "customers",
    METADATA,
    _id(),
    Column("name", Text, nullable=False),
    Column("contact", Text, nullable=False),
    Column("search", Text, nullable=False),
    Column("erased_at", UtcMoment),
    Column("erased_by", Text),
)
bicycles: Final = Table(
    "bicycles",
    METADATA,
    _id(),
    Column("customer", ForeignKey("customers.id"), nullable=False, index=True),
    Column("name", Text, nullable=False),
    Column("document", Text, nullable=False),
)
units: Final = Table(
    "units",
    METADATA,
    _id(),
    Column("serial", Text, nullable=False),
    Column("serial_search", Text, nullable=False, index=True),
    Column("sheet", Text, nullable=False),
    Column("chassis", Text, nullable=False),
    Column("customer", ForeignKey("customers.id"), nullable=False, index=True),
    Column("bicycle", ForeignKey("bicycles.id")),
)
sheets: Final = Table(
    "sheets",
    METADATA,
    _id(),
    Column("key", Text, nullable=False, index=True),
    Column("revision", Integer, nullable=False),
    Column("text", Text, nullable=False),
    Column("inputs", Text, nullable=False),
    Column("added", UtcMoment, nullable=False),
    Column("by", Text, nullable=False),
)
visits: Final = Table(
    "visits",
    METADATA,
    _id(),
    Column("customer", ForeignKey("customers.id"), nullable=False, index=True),
    Column("arrived", UtcMoment, nullable=False),
    Column("due", Text),
)
jobs: Final = Table(
    "jobs",
    METADATA,
    _id(),
    Column("number", Integer, nullable=False, unique=True),
    Column("visit", ForeignKey("visits.id"), nullable=False, index=True),
    Column("unit", ForeignKey("units.id"), nullable=False, index=True),
    Column("sheet", ForeignKey("sheets.id"), nullable=False),
    Column("bicycle", ForeignKey("bicycles.id")),
    Column("comeback_of", ForeignKey("jobs.id")),
    Column("stage", Text, nullable=False, index=True),
    Column("on_hold", Text, nullable=False),
    Column("on_hold_what", Text, nullable=False),
    Column("holder", Text, nullable=False),
    Column("due", Text),
    Column("checked_in", UtcMoment, nullable=False),
    Column("updated", UtcMoment, nullable=False),
    Column("entries", Integer, nullable=False),
    Column("search", Text, nullable=False),
)
entries: Final = Table(
    "entries",
    METADATA,
    _id(),
    Column("job", ForeignKey("jobs.id"), nullable=False),
    Column("ordinal", Integer, nullable=False),
    Column("at", UtcMoment, nullable=False),
    Column("by", Text, nullable=False),
    Column("kind", Text, nullable=False),
    Column("payload", Text, nullable=False),
    Column("note", Text, nullable=False),
    Column("corrects", ForeignKey("entries.id")),
    UniqueConstraint("job", "ordinal"),
)
documents: Final = Table(
    "documents",
    METADATA,
    _id(),
    Column("shape", Text, nullable=False),
    Column("content", LargeBinary, nullable=False),  # UTF-8, zlib
)
photos: Final = Table(
    "photos",
    METADATA,
    _id(),
    Column("width", Integer, nullable=False),
    Column("height", Integer, nullable=False),
    Column("size", Integer, nullable=False),
    Column("digest", Text, nullable=False),  # of what was handed in
    Column("at", UtcMoment, nullable=False),
    Column("by", Text, nullable=False),
)
photo_chunks: Final = Table(
    "photo_chunks",
    METADATA,
    Column("photo", ForeignKey("photos.id"), primary_key=True),
    Column("ordinal", Integer, primary_key=True, autoincrement=False),
    Column("content", LargeBinary, nullable=False),
)
instruments: Final = Table(
    "instruments",
    METADATA,
    _id(),
    Column("kind", Text, nullable=False),
    Column("name", Text, nullable=False),
    Column("accuracy", Text, nullable=False),
    Column("last_check", Text),
    Column("retired", Boolean, nullable=False),
)
drafts: Final = Table(
    "drafts",
    METADATA,
    _id(),
    Column("form", Text, nullable=False),
    Column("job", ForeignKey("jobs.id"), index=True),
    Column("text", Text, nullable=False),
    Column("updated", UtcMoment, nullable=False),
    Column("by", Text, nullable=False),
)
Index("ix_jobs_updated", jobs.c.updated)
