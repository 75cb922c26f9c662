"""The schema of a database: which one it has, how it becomes the newest; how a database is set and how full it is."""

from __future__ import annotations

import pathlib
import shutil
from dataclasses import dataclass
from typing import Final

from sqlalchemy import Engine, inspect, text

from sagwright.errors import StoreFailed
from sagwright.store.engine import Transaction, is_url, one_at_a_time, reading, url_of, writing

NEWEST: Final = "0002"
"""The schema that `tables` describes."""

KNOWN: Final = ("0001", "0002")
"""Every schema there was, oldest first."""

_SCRIPTS: Final = pathlib.Path(__file__).parent / "migrations"

LEAST_FREE_SPACE: Final = 500_000_000
_SQLITE: Final = (
    ("journal_mode", {"wal"}, "write-ahead log"),
    ("synchronous", {"2", "3"}, "every commit is synced to the disk"),
    ("foreign_keys", {"1"}, "references are checked"),
)
_POSTGRESQL: Final = (
    ("fsync", {"on"}, "the server syncs to its disk"),
    ("full_page_writes", {"on"}, "torn pages are mended"),
    ("synchronous_commit", {"on", "remote_apply"}, "a commit waits for the disk"),
)


def schema_of(transaction: Transaction) -> str | None:
    """The schema a database has; None for an empty one.

    Raises
    ------
    StoreFailed
        If there are tables, but none that say which schema it is.
    """
    tables = inspect(transaction).get_table_names()
    if "alembic_version" in tables:
        return transaction.execute(text("SELECT version_num FROM alembic_version")).scalar()
    if tables:
        rule = f"There is another program's data ({', '.join(sorted(tables)[:3])}) where the records should be."
        raise StoreFailed(rule, remedy="Give a path or URL of its own to the records.")
    return None


def upgrade(engine: Engine) -> None:
    """Bring a database to the newest schema, in one transaction: it has either the old or the new one.

    Raises
    ------
    StoreFailed
        If a newer program made it, or it cannot be written.
    """
    with reading(engine) as transaction:
        if require_known(schema_of(transaction)) == NEWEST:
            return
    with writing(engine) as transaction:
        one_at_a_time(transaction)
        if require_known(schema_of(transaction)) != NEWEST:
            _run(transaction)


def require_known(schema: str | None) -> str | None:
    """The schema, if this program knows it.

    Raises
    ------
    StoreFailed
    """
    if schema is not None and schema not in KNOWN:
        rule = f"The records have the schema {schema}, and this program knows up to {NEWEST}."
        raise StoreFailed(rule, remedy="A newer program wrote them; use that one.")
    return schema


def _run(transaction: Transaction) -> None:
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(_SCRIPTS).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = transaction
    command.upgrade(config, "head")


@dataclass(frozen=True, slots=True)
class _Setting:
    """One setting that durability stands on."""

    good: bool
    what: str
    remedy: str


def file_of(where: str | pathlib.Path) -> pathlib.Path | None:
    """The file that records are kept in; None for a server's."""
    if not is_url(where):
        return pathlib.Path(where)
    url = url_of(where)
    return pathlib.Path(url.database) if url.get_backend_name() == "sqlite" and url.database else None


def free_space(path: pathlib.Path) -> tuple[int, int]:
    """Bytes that are free on the disk of a file, and those there should be."""
    return shutil.disk_usage(path.parent).free, max(LEAST_FREE_SPACE, 2 * path.stat().st_size)


def database_settings(engine: Engine) -> tuple[_Setting, ...]:
    """Every setting that durability stands on, as our own connections have it."""
    sqlite = engine.dialect.name == "sqlite"
    with reading(engine) as transaction:
        return tuple(
            _setting(name, str(transaction.execute(text(f"{'PRAGMA' if sqlite else 'SHOW'} {name}")).scalar()), *rest)
            for name, *rest in (_SQLITE if sqlite else _POSTGRESQL)
        )


def _setting(name: str, value: str, wanted: object, meaning: object) -> _Setting:
    good = isinstance(wanted, set) and value in wanted
    remedy = f"Set {name} to {' or '.join(sorted(wanted)) if isinstance(wanted, set) else ''} on the server."
    return _Setting(good, f"{name} = {value}" + (f": {meaning}" if good else ""), remedy)


def schema_state(engine: Engine) -> tuple[str | None, str]:
    """The schema there is, and the newest.

    Raises
    ------
    StoreFailed
        If a newer program made it, or the data are another program's.
    """
    with reading(engine) as transaction:
        return require_known(schema_of(transaction)), NEWEST
