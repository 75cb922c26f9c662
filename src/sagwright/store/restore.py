"""Records put in the place of others; what was there is kept beside them."""

from __future__ import annotations

import contextlib
import pathlib
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from datetime import datetime

from sagwright.errors import StoreFailed
from sagwright.store.atomic_files import report_progress, synced
from sagwright.store.backup import SQLITE, Manifest, unpacked
from sagwright.store.export import copied, import_rows
from sagwright.store.rows import ProgressCallback
from sagwright.store.workshop import Store


def restore_file(
    backup: pathlib.Path, target: pathlib.Path, *, at: datetime, tell: ProgressCallback
) -> tuple[Manifest, str]:
    """Put a backup in the place of a file of records; the manifest, and where what was there is kept, "" for nothing.

    Raises
    ------
    UnreadableFile
        If the backup is not whole; nothing is changed then.
    StoreFailed
        If the records are in use, or cannot be written.
    """
    with report_progress(target):
        target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        folder = pathlib.Path(tempfile.mkdtemp(prefix=f".{target.name[:40]}.", dir=target.parent))
    try:
        with unpacked(backup, folder) as (manifest, records):
            new = folder / "new.sqlite"
            if records.name == SQLITE:
                records.replace(new)
            with Store.at(new) as store:  # with the newest schema
                if records.name != SQLITE:
                    with store.writing() as transaction:
                        import_rows(transaction, records, tell)
            _alone(new)
            with report_progress(target):
                return manifest, _swapped(new, target, at)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def restore_database(backup: pathlib.Path, url: str, tell: ProgressCallback) -> Manifest:
    """Put a backup into an empty database; errors as `restore_file`, and StoreFailed if it is not empty."""
    with tempfile.TemporaryDirectory() as name, unpacked(backup, pathlib.Path(name)) as (manifest, records):
        with Store.at(url) as store, store.writing() as transaction:
            if records.name == SQLITE:
                with Store.at(records) as source, source.reading() as rows:
                    copied(rows, transaction, tell)
            else:
                import_rows(transaction, records, tell)
        return manifest


def _alone(path: pathlib.Path) -> None:
    """A file of records becomes complete without its log.

    Raises
    ------
    sqlite3.Error
        If somebody else has it open, or it is damaged.
    """
    with contextlib.closing(sqlite3.connect(path, timeout=2)) as connection:
        mode = connection.execute("PRAGMA journal_mode=DELETE").fetchone()[0]
        if mode != "delete":
            raise sqlite3.OperationalError(f"the log stays: {mode}")


def _swapped(new: pathlib.Path, target: pathlib.Path, at: datetime) -> str:
    """Put a file in the place of another one, at one moment; where the other one is kept."""
    synced(new)
    if not target.exists():
        new.replace(target)
        synced(target.parent)
        return ""
    with _nobody_else(target):
        kept = _free(target.with_name(f"{target.stem}.replaced-{at:%Y%m%dT%H%M%SZ}{target.suffix}"))
        _kept(target, kept)
        for end in ("-wal", "-shm"):  # only where the log could not be put into a damaged file
            log = target.with_name(target.name + end)
            if log.exists():
                log.replace(kept.with_name(kept.name + end))
        new.chmod(target.stat().st_mode)
        new.replace(target)
        synced(target.parent)
    return str(kept)


def _kept(target: pathlib.Path, kept: pathlib.Path) -> None:
    try:
        kept.hardlink_to(target)
    except OSError:  # a file system without links
        shutil.copy2(target, kept)
        synced(kept)


def _free(path: pathlib.Path) -> pathlib.Path:
    number, free = 1, path
    while free.exists():
        number += 1
        free = path.with_name(f"{path.stem}-{number}{path.suffix}")
    return free


@contextlib.contextmanager
def _nobody_else(target: pathlib.Path) -> Iterator[None]:
    """Hold the file so that no program can open it meanwhile; what is damaged can only be moved as it is.

    Raises
    ------
    StoreFailed
        If another program has it open.
    """
    try:
        _alone(target)
        connection = sqlite3.connect(target, isolation_level=None, timeout=2)
        connection.execute("BEGIN EXCLUSIVE")
    except sqlite3.DatabaseError as error:
        if getattr(error, "sqlite_errorname", "").startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
            remedy = "Stop `sagwright serve` and whatever else uses them, then restore again. Nothing was changed."
            raise StoreFailed("The records are in use by another program.", remedy=remedy) from error
        yield
        return
    try:
        yield
    finally:
        connection.close()
