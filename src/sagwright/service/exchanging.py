"""Everything a workshop keeps as files that other programs read, and back, without loss."""

from __future__ import annotations

import pathlib
from collections.abc import Iterator

from sagwright.service.plan import PROGRAM
from sagwright.store.atomic_files import appearing
from sagwright.store.export import csv_folder, json_lines, take_over
from sagwright.store.rows import Told, silent
from sagwright.store.workshop import Store


def exported(store: Store, *, tell: Told = silent) -> Iterator[str]:
    """A workshop of one moment as lines of one JSON document, shape workshop/1; made as they are asked for."""
    with store.reading() as transaction:
        yield from json_lines(transaction, PROGRAM, tell)


def export_json(store: Store, file: str | pathlib.Path, *, tell: Told = silent) -> None:
    """The same as a file, which must not be there yet.

    Raises
    ------
    OutOfRange, UnreadableFile
        If it is, or cannot be written; nothing is left behind then.
    """
    with appearing(pathlib.Path(file)) as new, new.open("w", encoding="utf-8", newline="\n") as written:
        written.writelines(exported(store, tell=tell))


def export_csv(store: Store, folder: str | pathlib.Path, *, tell: Told = silent) -> None:
    """A workshop as a new folder of CSV files, one a table; errors as `export_json`."""
    with appearing(pathlib.Path(folder)) as new, store.reading() as transaction:
        csv_folder(transaction, new, PROGRAM, tell)


def import_workshop(store: Store, source: str | pathlib.Path, *, tell: Told = silent) -> dict[str, int]:
    """Put an export, a JSON file or a folder of CSV, into an empty workshop, on either database; rows by table.

    Raises
    ------
    UnreadableFile, OutOfRange
        If it is not a whole and unchanged export.
    StoreFailed
        If the workshop is not empty, or the records contradict each other. Nothing is imported then.
    """
    with store.writing() as transaction:
        return take_over(transaction, pathlib.Path(source), tell)
