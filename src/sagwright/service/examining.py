"""Whether a workshop's records are safe and whole, check by check, each with what to do."""

from __future__ import annotations

import pathlib
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from sagwright.errors import StoreFailed
from sagwright.service.recording import view_of
from sagwright.store.backup import integrity_of
from sagwright.store.integrity import unsound
from sagwright.store.jobs import all_jobs, project, refresh_search
from sagwright.store.rows import Told, silent
from sagwright.store.schema import file_of, room_of, schema_said, settings_of
from sagwright.store.workshop import Store


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


NONE_YET = "There are no records there yet: `sagwright job new` begins them, and `sagwright demo fill` tries them out."
CHECKED = {
    "entries": "Every job has all its entries, and they can be read.",
    "rows": "Every job's row is what its entries come to.",
    "pointers": "Nothing is named that is not there.",
    "photos": "Every photo is whole.",
    "documents": "Every decided plan is as it was kept.",
    "sheets": "Every sheet is as it was kept.",
    "jobs": "Every job has entries.",
}


def examine(where: str | pathlib.Path, *, tell: Told = silent) -> Iterator[Check]:
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


def _examined(store: Store, path: pathlib.Path | None, tell: Told) -> Iterator[Check]:
    if path is not None:
        yield _room(path)
    yield from (
        Check("settings", Grade.GOOD if one.good else Grade.BAD, one.what, "" if one.good else one.remedy)
        for one in settings_of(store.engine)
    )
    yield from _pages(store)
    schema, newest = schema_said(store.engine)
    if schema != newest:
        said = f"schema {schema or 'none'}, and the newest is {newest}"
        yield Check("schema", Grade.LOOK, said, "Any command that opens the records brings them to the newest.")
        return
    yield Check("schema", Grade.GOOD, f"schema {schema}, the newest")
    yield from _soundness(store, tell)


def _room(path: pathlib.Path) -> Check:
    free, wanted = room_of(path)
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


def _soundness(store: Store, tell: Told) -> Iterator[Check]:
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
