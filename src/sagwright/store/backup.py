"""A backup: one ZIP file with the records as they were at one moment, and a manifest with their digest."""

from __future__ import annotations

import contextlib
import hashlib
import json
import pathlib
import sqlite3
import zipfile
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Final

from sqlalchemy import Engine, text

from sagwright.errors import StoreFailed, UnreadableFile
from sagwright.formats.json_text import dump_json
from sagwright.store.atomic_files import appearing, report_progress
from sagwright.store.engine import reading
from sagwright.store.export import json_lines
from sagwright.store.rows import ProgressCallback, counts_of
from sagwright.store.schema import KNOWN, schema_of

_SHAPE: Final = "backup/1"
MANIFEST: Final = "manifest.json"
SQLITE: Final = "records.sqlite"
JSON: Final = "records.json"
PAGES: Final = 1000
_PIECE: Final = 1 << 20
_OTHER: Final = "Give another backup. Nothing was changed."


@dataclass(frozen=True, slots=True)
class Manifest:
    """What a backup says about itself; `records` is the name of the file in it, `sha256` and `size` are of that."""

    shape: str
    program: str
    schema: str
    made: str
    records: str
    size: int
    sha256: str
    counts: dict[str, int]


def write_backup(engine: Engine, path: pathlib.Path, *, program: str, at: datetime, tell: ProgressCallback) -> Manifest:
    """Write a backup of one moment while others go on working; it is there whole or not at all.

    Raises
    ------
    OutOfRange
        If the file is there already.
    UnreadableFile, StoreFailed
        If it cannot be written, or what is kept is damaged.
    """
    with appearing(path) as new:
        records = new.with_name(SQLITE if engine.dialect.name == "sqlite" else JSON)
        if records.name == SQLITE:
            _copy(engine, records, tell)
            schema, counts = _examined(records)
        else:
            schema, counts = _written(engine, records, program, tell)
        digest, size = _digest(records)
        made = Manifest(_SHAPE, program, schema, at.isoformat(timespec="seconds"), records.name, size, digest, counts)
        with zipfile.ZipFile(new, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
            archive.writestr(MANIFEST, dump_json(asdict(made)))
            archive.write(records, records.name)
        _require_same(new, made)
        return made


def _copy(engine: Engine, to: pathlib.Path, tell: ProgressCallback) -> None:
    """SQLite's own online copy. A transaction that is held open keeps the moment, so that writers never make it begin
    again."""
    pooled = engine.raw_connection()
    try:
        source = pooled.driver_connection
        if not isinstance(source, sqlite3.Connection):
            raise StoreFailed("The records are in no file.")
        source.execute("BEGIN")
        source.execute("SELECT count(*) FROM sqlite_master").fetchone()
        with contextlib.closing(sqlite3.connect(to)) as target:
            source.backup(target, pages=PAGES, progress=lambda _, left, every: tell(every - left, every))
            target.execute("PRAGMA journal_mode=DELETE")
        source.execute("ROLLBACK")
    except sqlite3.Error as error:
        raise StoreFailed(f"The records cannot be copied: {error}.", remedy="Run `sagwright doctor`.") from error
    finally:
        pooled.invalidate()


def _examined(records: pathlib.Path) -> tuple[str, dict[str, int]]:
    """Schema and counts of a file that nobody else has open.

    Raises
    ------
    StoreFailed
        If it is damaged.
    """
    try:
        with contextlib.closing(sqlite3.connect(f"{records.absolute().as_uri()}?mode=ro", uri=True)) as connection:
            said = [row[0] for row in connection.execute("PRAGMA integrity_check(5)")]
            if said != ["ok"] or connection.execute("PRAGMA foreign_key_check").fetchone() is not None:
                raise StoreFailed("The records are damaged.", remedy="Run `sagwright doctor`, and keep older backups.")
            schema = connection.execute("SELECT version_num FROM alembic_version").fetchone()[0]
            return str(schema), _counts(connection)
    except (sqlite3.Error, TypeError) as error:
        raise StoreFailed(f"The records cannot be read: {error}.", remedy="Run `sagwright doctor`.") from error


def _counts(connection: sqlite3.Connection) -> dict[str, int]:
    names = [row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")]
    kept = [name for name in names if not name.startswith(("sqlite_", "alembic_"))]
    return {name: connection.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0] for name in kept}


def _written(engine: Engine, records: pathlib.Path, program: str, tell: ProgressCallback) -> tuple[str, dict[str, int]]:
    with reading(engine) as transaction, records.open("w", encoding="utf-8", newline="\n") as file:
        file.writelines(json_lines(transaction, program, tell))
        return schema_of(transaction) or "", dict(sorted(counts_of(transaction).items()))


def _digest(path: pathlib.Path) -> tuple[str, int]:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest(), path.stat().st_size


def _require_same(path: pathlib.Path, made: Manifest) -> None:
    with zipfile.ZipFile(path) as archive, archive.open(made.records) as packed:
        if hashlib.file_digest(packed, "sha256").hexdigest() != made.sha256:  # type: ignore[arg-type]  # a file, too
            raise StoreFailed("The backup was not written as it should be.", remedy="Write it to another disk.")


@contextlib.contextmanager
def unpacked(path: pathlib.Path, folder: pathlib.Path) -> Iterator[tuple[Manifest, pathlib.Path]]:
    """What a backup holds, verified whole, in a folder.

    Raises
    ------
    UnreadableFile
        If it is no backup, a newer program wrote it, or it is damaged.
    """
    manifest = read_manifest(path)
    records = folder / manifest.records
    with report_progress(path), _as_fault(path), zipfile.ZipFile(path) as archive:
        _copied(archive, records)
    if _digest(records) != (manifest.sha256, manifest.size):
        raise _damaged(path)
    if records.name == SQLITE and _examined(records) != (manifest.schema, manifest.counts):
        raise _damaged(path)
    yield manifest, records


def _copied(archive: zipfile.ZipFile, records: pathlib.Path) -> None:
    with archive.open(records.name) as packed, records.open("wb") as file:
        while piece := packed.read(_PIECE):
            file.write(piece)


def read_manifest(path: pathlib.Path) -> Manifest:
    """What a backup says about itself; errors as `unpacked`."""
    with report_progress(path), _as_fault(path), zipfile.ZipFile(path) as archive:
        said = json.loads(archive.read(MANIFEST))
        shape = said.get("shape") if isinstance(said, dict) else None
        if shape != _SHAPE:
            raise _foreign(path, str(shape))
        manifest = Manifest(**said)
    if manifest.schema not in KNOWN:
        raise _newer(path, f"the schema {manifest.schema}")
    if manifest.records not in {SQLITE, JSON}:
        raise _foreign(path, manifest.records)
    return manifest


@contextlib.contextmanager
def _as_fault(path: pathlib.Path) -> Iterator[None]:
    try:
        yield
    except (zipfile.BadZipFile, zipfile.LargeZipFile, EOFError, NotImplementedError) as error:
        raise _damaged(path) if zipfile.is_zipfile(path) else _foreign(path, None) from error
    except (KeyError, ValueError, TypeError) as error:
        raise _foreign(path, None) from error


def _damaged(path: pathlib.Path) -> UnreadableFile:
    return UnreadableFile("must be whole: the backup is damaged", remedy=_OTHER, file=str(path))


def _foreign(path: pathlib.Path, shape: str | None) -> UnreadableFile:
    if shape is not None and shape.startswith("backup/"):
        return _newer(path, shape)
    remedy = f"Give a file that `sagwright backup` wrote. {_OTHER.partition('. ')[2]}"
    return UnreadableFile("must be a backup", value=shape, remedy=remedy, file=str(path))


def _newer(path: pathlib.Path, what: str) -> UnreadableFile:
    remedy = "A newer program wrote it; restore it with that one. Nothing was changed."
    return UnreadableFile(f"must be a backup that this program knows, and has {what}", remedy=remedy, file=str(path))


def integrity_of(engine: Engine) -> list[str]:
    """What the database itself finds wrong with its pages and references; nothing asked of PostgreSQL."""
    if engine.dialect.name != "sqlite":
        return []
    with reading(engine) as transaction:
        said = [str(row[0]) for row in transaction.execute(text("PRAGMA integrity_check(20)"))]
        broken = transaction.execute(text("PRAGMA foreign_key_check")).fetchmany(20)
    found = [] if said == ["ok"] else said
    return found + [f"a row of {row[0]} points at a row of {row[2]} that is not there" for row in broken]
