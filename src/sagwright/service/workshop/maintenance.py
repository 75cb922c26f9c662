"""Backup and restore, export and import, and the examination of a workshop's records, check by check."""

from __future__ import annotations

import pathlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum

from sagwright.errors import StoreFailed
from sagwright.service.log import view_of
from sagwright.store.atomic_files import appearing
from sagwright.store.backup import Manifest, integrity_of, write_backup
from sagwright.store.engine import is_url, url_of
from sagwright.store.export import csv_folder, import_rows, json_lines
from sagwright.store.integrity import unsound
from sagwright.store.jobs import all_jobs, project, refresh_search
from sagwright.store.restore import restore_database, restore_file
from sagwright.store.rows import ProgressCallback, silent
from sagwright.store.schema import database_settings, file_of, free_space, schema_state
from sagwright.store.workshop import Store
from sagwright.version import PROGRAM

__all__ = [
    "CHECKED",
    "NONE_YET",
    "Check",
    "Grade",
    "Manifest",
    "Restored",
    "examine_records",
    "export_csv",
    "export_json",
    "exported",
    "import_workshop",
    "mend",
    "restore_workshop",
    "write_backup_of",
]


@dataclass(frozen=True, slots=True)
class Restored:
    """What was restored, and where what it replaced is kept; "" where nothing was there."""

    manifest: Manifest
    replaced: str


def write_backup_of(
    store: Store, file: str | pathlib.Path, *, now: datetime, tell: ProgressCallback = silent
) -> Manifest:
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


def restore_workshop(
    file: str | pathlib.Path, where: str | pathlib.Path, *, now: datetime, tell: ProgressCallback = silent
) -> Restored:
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


def exported(store: Store, *, tell: ProgressCallback = silent) -> Iterator[str]:
    """A workshop of one moment as lines of one JSON document, shape workshop/1; made as they are asked for."""
    with store.reading() as transaction:
        yield from json_lines(transaction, PROGRAM, tell)


def export_json(store: Store, file: str | pathlib.Path, *, tell: ProgressCallback = silent) -> None:
    """Export a workshop as a JSON file of shape workshop/1, which must not be there yet.

    Raises
    ------
    OutOfRange, UnreadableFile
        If it is, or cannot be written; nothing is left behind then.
    """
    with appearing(pathlib.Path(file)) as new, new.open("w", encoding="utf-8", newline="\n") as written:
        written.writelines(exported(store, tell=tell))


def export_csv(store: Store, folder: str | pathlib.Path, *, tell: ProgressCallback = silent) -> None:
    """A workshop as a new folder of CSV files, one a table; errors as `export_json`."""
    with appearing(pathlib.Path(folder)) as new, store.reading() as transaction:
        csv_folder(transaction, new, PROGRAM, tell)


def import_workshop(store: Store, source: str | pathlib.Path, *, tell: ProgressCallback = silent) -> dict[str, int]:
    """Put an export, a JSON file or a folder of CSV, into an empty workshop, on either database; rows by table.

    Raises
    ------
    UnreadableFile, OutOfRange
        If it is not a whole and unchanged export.
    StoreFailed
        If the workshop is not empty, or the records contradict each other. Nothing is imported then.
    """
    with store.writing() as transaction:
        return import_rows(transaction, pathlib.Path(source), tell)


class Grade(StrEnum):
    """How a check ended."""

    GOOD = "good"
    LOOK = "look"
    BAD = "bad"


@dataclass(frozen=True, slots=True)
class Check:
    """One thing that was looked at: what, how it is, and what to do about it; "" where nothing is to be done."""

    about: str
    grade: Grade
    what: str
    remedy: str = ""


NONE_YET = (
    "There are no records there yet: `sagwright job check-in` begins them, and `sagwright demo fill` tries them out."
)
CHECKED = {
    "entries": "Every job has all its entries, and they can be read.",
    "rows": "Every job's row is what its entries come to.",
    "pointers": "Nothing is named that is not there.",
    "photos": "Every photo is whole.",
    "documents": "Every decided plan is as it was kept.",
    "sheets": "Every sheet is as it was kept.",
    "jobs": "Every job has entries.",
}


def examine_records(where: str | pathlib.Path, *, tell: ProgressCallback = silent) -> Iterator[Check]:
    """Look at the records in a file or at a URL; nothing is changed, and what cannot be checked says so."""
    path = file_of(where)
    if path is not None and not path.exists():
        yield Check("place", Grade.LOOK, f"{path}", NONE_YET)
        return
    yield Check("place", Grade.GOOD, f"{path or 'a database server'}")
    store = Store.as_it_is(where)
    try:
        yield from _examined(store, path, tell)
    except StoreFailed as error:
        yield Check("records", Grade.BAD, error.sentence, error.remedy)
    finally:
        store.close()


def _examined(store: Store, path: pathlib.Path | None, tell: ProgressCallback) -> Iterator[Check]:
    if path is not None:
        yield _room(path)
    yield from (
        Check("settings", Grade.GOOD if one.good else Grade.BAD, one.what, "" if one.good else one.remedy)
        for one in database_settings(store.engine)
    )
    yield from _pages(store)
    schema, newest = schema_state(store.engine)
    if schema != newest:
        said = f"schema {schema or 'none'}, and the newest is {newest}"
        yield Check("schema", Grade.LOOK, said, "Any command that opens the records brings them to the newest.")
        return
    yield Check("schema", Grade.GOOD, f"schema {schema}, the newest")
    yield from _soundness(store, tell)


def _room(path: pathlib.Path) -> Check:
    free, wanted = free_space(path)
    said = f"{free / 1e9:.1f} GB free on the disk of the records"
    remedy = f"Make room: at least {wanted / 1e9:.1f} GB, for new entries and a backup."
    return Check("room", Grade.GOOD if free >= wanted else Grade.BAD, said, "" if free >= wanted else remedy)


def _pages(store: Store) -> Iterator[Check]:
    found = integrity_of(store.engine)
    for one in found:
        remedy = "Keep the file as it is, and restore the last backup: `sagwright restore FILE`."
        yield Check("integrity", Grade.BAD, f"The database is damaged: {one}.", remedy)
    if not found:
        yield Check("integrity", Grade.GOOD, "The database's own check finds nothing.")


def _soundness(store: Store, tell: ProgressCallback) -> Iterator[Check]:
    with store.reading() as transaction:
        found = tuple(unsound(transaction, tell))
    yield from (Check(one.about, Grade.BAD, one.what, one.remedy) for one in found)
    bad = {one.about for one in found}
    yield from (Check(about, Grade.GOOD, said) for about, said in CHECKED.items() if about not in bad)


def mend(store: Store) -> int:
    """Make every job's row again from its entries, which are never touched; how many were looked at."""
    with store.writing() as transaction:
        which = all_jobs(transaction)
        for job in which:
            project(transaction, view_of(transaction, job).state)
        refresh_search(transaction, which)
    return len(which)
