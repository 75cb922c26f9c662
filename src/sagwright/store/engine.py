"""Connections to either database, set up so that what was committed survives a crash; errors with what to do."""

from __future__ import annotations

import pathlib
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Final

from sqlalchemy import Connection, Engine, create_engine, event, text
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError, DBAPIError, IntegrityError, NoSuchModuleError, SQLAlchemyError

from sagwright.errors import StoreFailed, shortened

_NOTHING: Final = "Nothing was recorded."

_FULL: Final = ("there is no room left on the disk", "Make room, then try again.")
_READ_ONLY: Final = ("it is read-only here", "See who may write the file and its folder, then try again.")
_BUSY: Final = ("another program has been writing to it for too long", "Try again; close what else has it open.")
_CLOSED: Final = ("it cannot be opened", "See that the folder is there and may be read and written.")
_DAMAGED: Final = ("it is damaged", "Keep the file as it is, and restore the last backup.")
_NOT_OURS: Final = ("it is no file of records", "Give the path of another file.")
_GONE: Final = ("the connection was lost", "Try again; whether the server runs, its own log says.")

_SQLITE: Final = {
    "SQLITE_FULL": _FULL,
    "SQLITE_READONLY": _READ_ONLY,
    "SQLITE_BUSY": _BUSY,
    "SQLITE_LOCKED": _BUSY,
    "SQLITE_CANTOPEN": _CLOSED,
    "SQLITE_PERM": _CLOSED,
    "SQLITE_CORRUPT": _DAMAGED,
    "SQLITE_NOTADB": _NOT_OURS,
}
_POSTGRESQL: Final = {  # by the first characters of its SQLSTATE
    "53100": _FULL,
    "25006": _READ_ONLY,
    "55P03": _BUSY,
    "40": _BUSY,
    "08": _GONE,
    "57P": _GONE,
    "XX001": _DAMAGED,
    "XX002": _DAMAGED,
    "28": ("the server refuses the user or password", "See the URL."),
    "3D": ("the server has no database of that name", "See the URL, or make the database."),
    "42501": ("the user may not do this there", "Ask whoever runs the server."),
}

BUSY_MS: Final = 20_000
"""How long a writer waits for another one [ms]."""

PRAGMAS: Final = ("synchronous=FULL", "foreign_keys=ON", f"busy_timeout={BUSY_MS}")

WRITES: Final = "sagwright_writes"
_CHECK_IN: Final = 7_340_721  # any number that nothing else locks by

Transaction = Connection
"""What is read and written together."""


def failure(error: SQLAlchemyError, url: URL) -> StoreFailed:
    """The sentence for what went wrong; passwords in a URL stay hidden."""
    where = url.database if url.get_backend_name() == "sqlite" else url.render_as_string(hide_password=True)
    what, remedy = _meaning(error)
    return StoreFailed(f"The records at {where} cannot be used: {what}. {_NOTHING}", remedy=remedy)


def _meaning(error: SQLAlchemyError) -> tuple[str, str]:
    origin = error.orig if isinstance(error, DBAPIError) else None
    name = getattr(origin, "sqlite_errorname", None) or ""
    state = getattr(origin, "sqlstate", None) or ""
    for start, meaning in (*_SQLITE.items(), *_POSTGRESQL.items()):
        if (name or "-").startswith(start) or (state or "-").startswith(start):
            return meaning
    lost = isinstance(error, DBAPIError) and error.connection_invalidated
    if lost or (type(origin).__name__ == "OperationalError" and not name):
        return _GONE
    reason = shortened(" ".join(str(origin or error).split()), 200)
    if isinstance(error, IntegrityError):
        return f"it refuses what does not fit to what is there ({reason})", ""
    return f"it answered: {reason}", ""


def engine_for(where: str | pathlib.Path) -> Engine:
    """Connections to a file, or to what a URL names; nothing is opened yet.

    Raises
    ------
    StoreFailed
        If the folder of the file cannot be made, or the URL cannot be used.
    """
    url = url_of(where)
    try:
        if url.get_backend_name() == "sqlite":
            return _sqlite(url)
        if url.get_backend_name() == "postgresql":
            return _postgresql(url)
    except ModuleNotFoundError as error:
        remedy = "Install it: pip install 'sagwright[postgresql]'."
        raise StoreFailed("PostgreSQL needs the package psycopg, and it is not installed.", remedy=remedy) from error
    remedy = "Give the path of a file, or a URL like postgresql://user@host/name."
    raise StoreFailed(f"Records are not kept in {url.get_backend_name()}.", remedy=remedy)


def is_url(where: str | pathlib.Path) -> bool:
    """Whether a place is written as a URL, and not as a path."""
    return not isinstance(where, pathlib.Path) and "://" in where


def url_of(where: str | pathlib.Path) -> URL:
    """The URL of a place; the folder of a file is made.

    Raises
    ------
    StoreFailed
    """
    if not is_url(where):
        path = pathlib.Path(where)
        try:
            path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        except OSError as error:
            raise StoreFailed(f"The folder {path.parent} cannot be made: {error.strerror}.") from error
        return URL.create("sqlite", database=str(path))
    try:
        return make_url(str(where))
    except (ArgumentError, NoSuchModuleError, ValueError) as error:
        raise StoreFailed("The URL of the records cannot be read.", remedy="Write it like postgresql://…") from error


def _sqlite(url: URL) -> Engine:
    engine = create_engine(url, connect_args={"timeout": BUSY_MS / 1000})
    event.listen(engine, "connect", _set_up)
    event.listen(engine, "begin", _begin)
    return engine


def _postgresql(url: URL) -> Engine:
    """A commit waits for the server's disk, whatever the server usually does."""
    said = url.query.get("options", "")
    options = f"{said if isinstance(said, str) else ' '.join(said)} -c synchronous_commit=on".strip()
    url = url.set(drivername="postgresql+psycopg").difference_update_query(["options"])
    settings = {"options": options} | ({} if "connect_timeout" in url.query else {"connect_timeout": "10"})
    return create_engine(url, pool_pre_ping=True, connect_args=settings)


def _set_up(connection: sqlite3.Connection, _: object) -> None:
    """Every connection: a write-ahead log, synced at each commit; transactions begin where we say so."""
    connection.isolation_level = None
    for pragma in PRAGMAS:
        connection.execute(f"PRAGMA {pragma}")
    mode = connection.execute("PRAGMA journal_mode=WAL").fetchone()[0]
    if mode != "wal":
        raise sqlite3.OperationalError(f"no write-ahead log here: {mode}")


def _begin(connection: Connection) -> None:
    """A writer takes its turn before it reads, so that what it read still holds when it writes."""
    writes = connection.get_execution_options().get(WRITES, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


@contextmanager
def reading(engine: Engine) -> Iterator[Transaction]:
    """A transaction that sees one state of everything.

    Raises
    ------
    StoreFailed
    """
    options = {} if engine.dialect.name == "sqlite" else {"isolation_level": "REPEATABLE READ"}
    with _transaction(engine, options) as transaction:
        yield transaction


@contextmanager
def writing(engine: Engine) -> Iterator[Transaction]:
    """A transaction that is on disk when it ends; an error inside undoes all of it.

    Raises
    ------
    StoreFailed
        If it could not be written; then nothing of it is.
    """
    with _transaction(engine, {WRITES: True}) as transaction:
        yield transaction


@contextmanager
def _transaction(engine: Engine, options: dict[str, Any]) -> Iterator[Transaction]:
    try:
        with engine.connect().execution_options(**options) as connection, connection.begin():
            yield connection
    except SQLAlchemyError as error:
        raise failure(error, engine.url) from error


def one_at_a_time(transaction: Transaction) -> None:
    """Until this transaction ends no other one passes here; a writer of SQLite is alone anyway."""
    if transaction.dialect.name == "postgresql":
        transaction.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": _CHECK_IN})
