"""Whether what is kept hangs together: entries without gaps, jobs' rows as their entries have them, nothing missing
that is named, pictures and documents as they were kept."""

from __future__ import annotations

import hashlib
import json
import zlib
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import Any, Final

from sqlalchemy import Row, func, select

from sagwright.domain.records.entry import Entry, photos_in
from sagwright.domain.records.fold import job_state
from sagwright.domain.records.payloads import CheckedIn, Decided, HandedOver, IntakeUpdated, Payload
from sagwright.errors import RecordError, StoreFailed
from sagwright.formats.records.entries import payload_from_text
from sagwright.formats.sheet.load import digest_of
from sagwright.store.engine import Transaction
from sagwright.store.jobs import projection, search_words
from sagwright.store.rows import ProgressCallback
from sagwright.store.tables import (
    bicycles,
    customers,
    documents,
    entries,
    instruments,
    jobs,
    photo_chunks,
    photos,
    sheets,
    units,
    visits,
)

_MOST: Final = 20
"""Faults of one kind that are told."""

RESTORE: Final = "Keep the file as it is, and restore the last backup."


@dataclass(frozen=True, slots=True)
class Unsound:
    """Something that does not hang together: what is looked at, what is wrong, and what to do."""

    about: str
    what: str
    remedy: str


@dataclass(frozen=True, slots=True)
class _Known:
    """Every id that an entry may name."""

    ids: dict[str, frozenset[str]]

    def missing(self, payload: Payload) -> Iterator[str]:
        """What an entry names that is not there."""
        for kind, named in _named(payload):
            if named not in self.ids[kind]:
                yield f"{kind} {named}"


def require_sound(transaction: Transaction, tell: ProgressCallback) -> None:
    """Nothing, if everything hangs together.

    Raises
    ------
    StoreFailed
        With the first of what does not.
    """
    for fault in unsound(transaction, tell):
        raise StoreFailed(f"{fault.what} Nothing was changed.", remedy="Export it again, or take another file.")


def unsound(transaction: Transaction, tell: ProgressCallback) -> Iterator[Unsound]:
    """Everything that does not hang together, at most a few of a kind."""
    told: Counter[str] = Counter()
    for fault in _all(transaction, tell):
        told[fault.about] += 1
        if told[fault.about] <= _MOST:
            yield fault


def _all(transaction: Transaction, tell: ProgressCallback) -> Iterator[Unsound]:
    yield from _sheets(transaction)
    yield from _documents(transaction)
    yield from _photos(transaction)
    yield from _jobs(transaction, tell)


def _sheets(transaction: Transaction) -> Iterator[Unsound]:

    for row in transaction.execute(select(sheets)):
        if digest_of(row.key, row.text, tuple((name, text) for name, text in json.loads(row.inputs))) != row.id:
            yield Unsound("sheets", f"The sheet {row.key}, revision {row.revision}, was changed.", RESTORE)


def _documents(transaction: Transaction) -> Iterator[Unsound]:
    for row in transaction.execute(select(documents), execution_options={"yield_per": 50}):
        if not _as_kept(row):
            yield Unsound("documents", f"The document {row.id}, {row.shape}, is not as it was kept.", RESTORE)


def _as_kept(row: Row[Any]) -> bool:
    try:
        text = zlib.decompress(row.content).decode()
    except (zlib.error, UnicodeDecodeError):
        return False
    digest: str = hashlib.sha256(f"{row.shape}\n{text}".encode()).hexdigest()[:32]
    kept: str = row.id
    return digest == kept


def _photos(transaction: Transaction) -> Iterator[Unsound]:
    size = func.coalesce(func.sum(func.length(photo_chunks.c.content)), 0)
    pieces = func.count(photo_chunks.c.ordinal)
    last = func.coalesce(func.max(photo_chunks.c.ordinal), -1)
    wanted = select(photos.c.id).outerjoin(photo_chunks, photo_chunks.c.photo == photos.c.id)
    broken = wanted.group_by(photos.c.id, photos.c.size).having((size != photos.c.size) | (last + 1 != pieces))
    for row in transaction.execute(broken.order_by(photos.c.id)):
        yield Unsound("photos", f"The photo {row.id} is not whole.", RESTORE)


def _jobs(transaction: Transaction, tell: ProgressCallback) -> Iterator[Unsound]:
    known = _known(transaction)
    rows = {row.id: row for row in transaction.execute(_jobs_as_kept())}
    every = transaction.execute(select(func.count()).select_from(entries)).scalar() or 0
    ordered = select(entries).order_by(entries.c.job, entries.c.ordinal)
    done = 0
    lines = transaction.execute(ordered, execution_options={"yield_per": 500})
    for job, some in groupby(lines, key=lambda row: str(row.job)):
        mine = list(some)
        done += len(mine)
        row = rows.pop(job, None)
        yield from () if row is None else _job(row, mine, known)
        tell(done, every)
    for row in rows.values():
        yield Unsound("jobs", f"Job {row.number} has no entries.", RESTORE)


def _jobs_as_kept() -> Any:  # noqa: ANN401  # a Select
    words = (units.c.serial, sheets.c.key.label("sheet_key"), func.coalesce(bicycles.c.name, "").label("bicycle_name"))
    joined = select(jobs, *words, visits.c.customer.label("customer")).outerjoin(visits, visits.c.id == jobs.c.visit)
    joined = joined.outerjoin(units, units.c.id == jobs.c.unit).outerjoin(sheets, sheets.c.id == jobs.c.sheet)
    return joined.outerjoin(bicycles, bicycles.c.id == jobs.c.bicycle)


def _known(transaction: Transaction) -> _Known:
    tables = (customers, bicycles, units, visits, sheets, jobs, photos, documents, instruments)
    return _Known({one.name: frozenset(transaction.execute(select(one.c.id)).scalars()) for one in tables})


def _job(row: Row[Any], lines: list[Row[Any]], known: _Known) -> Iterator[Unsound]:
    if [line.ordinal for line in lines] != list(range(1, len(lines) + 1)):
        yield Unsound("entries", f"Entries of job {row.number} are missing.", RESTORE)
    try:
        made = tuple(_entry(line) for line in lines)
        state = job_state(made)
    except (RecordError, KeyError) as error:
        yield Unsound("entries", f"Entries of job {row.number} cannot be read: {error}", RESTORE)
        return
    for entry in made:
        for missing in known.missing(entry.payload):
            what = f"Entry {entry.ordinal} of job {row.number} names what is not there: {missing}."
            yield Unsound("pointers", what, RESTORE)
    kept = {name: getattr(row, name) for name in projection(state)}
    if kept != projection(state) or row.customer != state.customer or row.search != search_words(row):
        what = f"The row of job {row.number} is not what its entries come to."
        yield Unsound("rows", what, "Run `sagwright doctor --mend`: it makes the row again from the entries.")


def _entry(row: Row[Any]) -> Entry:
    return Entry(row.id, row.job, row.ordinal, row.at, row.by, payload_from_text(row.payload), row.note, row.corrects)


def _named(payload: Payload) -> Iterable[tuple[str, str]]:
    found: list[tuple[str, str | None]] = [("photos", photo) for photo in photos_in(payload)]
    found += [("instruments", one.instrument) for one in getattr(payload, "readings", ())]
    if isinstance(payload, CheckedIn):
        found += [("customers", payload.customer), ("units", payload.unit), ("visits", payload.visit)]
        found += [("jobs", payload.comeback_of)]
    if isinstance(payload, CheckedIn | IntakeUpdated):
        found += [("sheets", payload.sheet), ("bicycles", payload.bicycle)]
    if isinstance(payload, Decided):
        found += [("sheets", payload.sheet), ("documents", payload.work), ("documents", payload.intake)]
        found += [("documents", payload.bike)]
    if isinstance(payload, HandedOver):
        found += [("documents", payload.document)]
    return [(kind, named) for kind, named in found if named]
