"""Backups of a workshop, and restoring one."""

from __future__ import annotations

import pathlib
from dataclasses import dataclass
from datetime import UTC, datetime

from sagwright.errors import StoreFailed
from sagwright.service.plan import PROGRAM
from sagwright.store.backup import Manifest, write_backup
from sagwright.store.engine import is_url, url_of
from sagwright.store.restore import restore_database, restore_file
from sagwright.store.rows import Told, silent
from sagwright.store.workshop import Store

__all__ = ["Manifest", "Restored", "back_up", "restore"]


@dataclass(frozen=True, slots=True)
class Restored:
    """What was restored, and where what it replaced is kept; "" where nothing was there."""

    manifest: Manifest
    kept: str


def back_up(store: Store, file: str | pathlib.Path, *, now: datetime, tell: Told = silent) -> Manifest:
    """Write a backup of everything, as it is at one moment, while others go on working.

    Parameters
    ----------
    store : Store
    file : str or Path
        Must not be there yet.
    now : datetime
    tell : callable
        Called with what is done and what there is.

    Raises
    ------
    OutOfRange, UnreadableFile
        If the file is there already or cannot be written.
    StoreFailed
        If what is kept is damaged.
    """
    return write_backup(store.engine, pathlib.Path(file), program=PROGRAM, at=now.astimezone(UTC), tell=tell)


def restore(file: str | pathlib.Path, where: str | pathlib.Path, *, now: datetime, tell: Told = silent) -> Restored:
    """Put a backup in the place of the records in a file, which are kept beside it; or into an empty database.

    The backup is verified first: its digest, its integrity, its schema and the number of its rows.

    Raises
    ------
    UnreadableFile
        If it is no backup, damaged, or of a newer program; nothing is changed then.
    StoreFailed
        If the records are in use, or a database is not empty.
    """
    source, at = pathlib.Path(file), now.astimezone(UTC)
    if is_url(where):
        url = url_of(where)
        if url.get_backend_name() != "sqlite":
            return Restored(restore_database(source, str(where), tell), "")
        if url.database is None:
            raise StoreFailed("The URL names no file.", remedy="Give the path of a file.")
        where = url.database
    return Restored(*restore_file(source, pathlib.Path(where), at=at, tell=tell))
