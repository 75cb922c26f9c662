"""A whole workshop to and from the format workshop/1."""

from __future__ import annotations

import pathlib
from collections.abc import Callable, Iterable, Iterator, Mapping

from sagwright.errors import UnreadableFile
from sagwright.formats.json_text import Json
from sagwright.formats.records.workshop import Head, StoredRow, StoredRows, Tables, lines_of
from sagwright.formats.records.workshop_csv import Folder, write_folder
from sagwright.store.atomic_files import report_progress
from sagwright.store.engine import Transaction, one_at_a_time
from sagwright.store.integrity import require_sound
from sagwright.store.migrations import words_0002
from sagwright.store.rows import (
    COLUMN_KINDS,
    TABLES,
    ProgressCallback,
    counts_of,
    put_rows,
    require_empty,
    rows_of_table,
)
from sagwright.store.schema import schema_of


def head_of(transaction: Transaction, program: str) -> Head:
    """What stands before the rows of an export."""
    columns = tuple((name, tuple(kinds)) for name, kinds in COLUMN_KINDS.items())
    return Head(schema_of(transaction) or "", program, columns, tuple(counts_of(transaction).items()))


def tables_of(transaction: Transaction, head: Head, tell: ProgressCallback) -> Tables:
    """Every table with its rows; `tell` is called as they are read."""
    every = sum(count for _, count in head.counts)
    done = 0

    def counted(rows: Iterable[StoredRow]) -> Iterator[StoredRow]:
        nonlocal done
        for row in rows:
            yield row
            done += 1
            if done % 500 == 0 or done == every:
                tell(done, every)

    for one in TABLES:
        yield one.name, counted(rows_of_table(transaction, one))


def json_lines(transaction: Transaction, program: str, tell: ProgressCallback) -> Iterator[str]:
    """A workshop as the lines of one JSON document, each with its end of line."""
    head = head_of(transaction, program)
    return (line + "\n" for line in lines_of(head, tables_of(transaction, head, tell)))


def csv_folder(transaction: Transaction, folder: pathlib.Path, program: str, tell: ProgressCallback) -> None:
    """A workshop as CSV files in a folder that is made for them."""
    head = head_of(transaction, program)
    folder.mkdir()
    write_folder(folder, head, tables_of(transaction, head, tell))


def import_rows(transaction: Transaction, source: pathlib.Path, tell: ProgressCallback) -> dict[str, int]:
    """Put everything of an export, a JSON file or a folder of CSV, into an empty workshop; how many rows of each table.

    Raises
    ------
    UnreadableFile, OutOfRange
        If it is not a whole and unchanged export.
    StoreFailed
        If something is kept here already, or the rows contradict each other.
    """
    one_at_a_time(transaction)
    require_empty(transaction)
    if source.is_dir():
        folder = Folder(source, COLUMN_KINDS)
        if _older(folder.head):
            folder = Folder(source, words_0002.columns_before(COLUMN_KINDS))
        done = _put(transaction, _newest(folder), folder.head.get("counts"), tell, str(source))
    else:
        with report_progress(source), source.open(encoding="utf-8") as file:
            rows = StoredRows(file, str(source))
            done = _put(transaction, _newest(rows), rows.head.get("counts"), tell, str(source))
    require_sound(transaction, tell)
    return done


def _older(head: Mapping[str, Json]) -> bool:
    return head.get("schema") == "0001"


def _newest(source: Folder | StoredRows) -> Tables:
    """The tables of an export, with the names and words of the newest schema."""
    return words_0002.tables(source.tables()) if _older(source.head) else source.tables()


def copied(source: Transaction, target: Transaction, tell: ProgressCallback) -> dict[str, int]:
    """Put everything of one workshop into another one, which must be empty.

    Raises
    ------
    StoreFailed
    """
    one_at_a_time(target)
    require_empty(target)
    head = head_of(source, "")
    return _put(target, tables_of(source, head, tell), {}, _unheard, "")


def _unheard(_done: int, _all: int) -> None:
    """Somebody else tells."""


def _put(transaction: Transaction, tables: Tables, counts: object, tell: ProgressCallback, name: str) -> dict[str, int]:
    known = {one.name: one for one in TABLES}
    every = sum(number for number in counts.values() if isinstance(number, int)) if isinstance(counts, dict) else 0
    done: dict[str, int] = {}
    for table, rows in tables:
        if table not in known or table in done:
            raise UnreadableFile(f"must have the tables {', '.join(known)}", value=table, file=name)
        done[table] = put_rows(transaction, known[table], _telling(rows, sum(done.values()), every, tell))
    if missing := [table for table in known if table not in done]:
        raise UnreadableFile("must have every table", value=f"no {missing[0]}", file=name)
    return done


def _telling(
    rows: Iterable[StoredRow], before: int, every: int, tell: Callable[[int, int], None]
) -> Iterator[StoredRow]:
    for number, row in enumerate(rows, before + 1):
        yield row
        if number % 500 == 0:
            tell(min(number, every), every)
