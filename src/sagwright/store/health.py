"""How a database is set and how much room it has."""

from __future__ import annotations

import pathlib
import shutil
from dataclasses import dataclass
from typing import Final

from sqlalchemy import Engine, text

from sagwright.store.engine import is_url, reading, url_of
from sagwright.store.migrate import NEWEST, require_known, schema_of

LEAST_ROOM: Final = 500_000_000
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


@dataclass(frozen=True, slots=True)
class Setting:
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


def room_of(path: pathlib.Path) -> tuple[int, int]:
    """Bytes that are free on the disk of a file, and those there should be."""
    return shutil.disk_usage(path.parent).free, max(LEAST_ROOM, 2 * path.stat().st_size)


def settings_of(engine: Engine) -> tuple[Setting, ...]:
    """Every setting that durability stands on, as our own connections have it."""
    sqlite = engine.dialect.name == "sqlite"
    with reading(engine) as transaction:
        return tuple(
            _setting(name, str(transaction.execute(text(f"{'PRAGMA' if sqlite else 'SHOW'} {name}")).scalar()), *rest)
            for name, *rest in (_SQLITE if sqlite else _POSTGRESQL)
        )


def _setting(name: str, value: str, wanted: object, meaning: object) -> Setting:
    good = isinstance(wanted, set) and value in wanted
    remedy = f"Set {name} to {' or '.join(sorted(wanted)) if isinstance(wanted, set) else ''} on the server."
    return Setting(good, f"{name} = {value}" + (f": {meaning}" if good else ""), remedy)


def schema_said(engine: Engine) -> tuple[str | None, str]:
    """The schema there is, and the newest.

    Raises
    ------
    StoreFailed
        If a newer program made it, or the data are another program's.
    """
    with reading(engine) as transaction:
        return require_known(schema_of(transaction)), NEWEST
