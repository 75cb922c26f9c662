r"""A whole workshop as a folder of CSV files, one a table, and `workshop.json` that says what they hold.

A cell `\N` is no value. A text that begins with a backslash, or with what a spreadsheet takes for the start of a
formula (= + - @, a tab, a return), has one more backslash before it. Yes and no are `true` and `false`.
"""

from __future__ import annotations

import csv
import json
import pathlib
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from sagwright.errors import UnreadableFile
from sagwright.formats.json_text import Json, dump_json
from sagwright.formats.records.workshop import UNTOUCHED, Head, StoredRow, Tables, Tally, require_shape

ABOUT: Final = "workshop.json"
_NOTHING: Final = r"\N"
_ESCAPED: Final = ("\\", "=", "+", "-", "@", "\t", "\r")
_LONGEST: Final = 1 << 26


def write_folder(folder: pathlib.Path, head: Head, tables: Tables) -> None:
    """Write every table into a folder that is there; errors as the system has them."""
    tally = Tally()
    columns = dict(head.columns)
    for table, rows in tables:
        with (folder / f"{table}.csv").open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file, lineterminator="\n")
            writer.writerow(columns[table])
            writer.writerows(_cells(row, columns[table]) for row in tally.passing(table, rows))
    about = head.shape()
    if isinstance(about, dict):
        (folder / ABOUT).write_text(dump_json(about | {"digest": tally.digest}), "utf-8")


def _cells(row: StoredRow, columns: Sequence[str]) -> Iterator[str]:
    return (_cell(row[column]) for column in columns)


def _cell(value: Json) -> str:
    if value is None:
        return _NOTHING
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value)
    text = str(value)
    return f"\\{text}" if text.startswith(_ESCAPED) else text


class Folder:
    """The rows of a folder that is being read.

    Parameters
    ----------
    folder : Path
    kinds : mapping of str to mapping of str to type
        For each table in its order, its columns with what they hold: str, int or bool.

    Raises
    ------
    UnreadableFile
        While reading, if a file is missing or not what it should be, and at the end if they are not what
        `workshop.json` says.
    """

    def __init__(self, folder: pathlib.Path, kinds: dict[str, dict[str, type]]) -> None:
        self.name = str(folder)
        self._folder, self._kinds = folder, kinds
        self.head = self._about()
        self._tally = Tally()

    def tables(self) -> Iterator[tuple[str, Iterator[StoredRow]]]:
        """Every table with its rows."""
        for table in self._kinds:
            yield table, self._tally.passing(table, self._rows(table))
        self._tally.require(self.head, self.head.get("digest"), self.name)

    def _about(self) -> dict[str, Json]:
        try:
            head = json.loads((self._folder / ABOUT).read_text("utf-8"))
        except (OSError, ValueError) as error:
            remedy = f"Give a folder that `sagwright export` wrote, with its {ABOUT}."
            raise UnreadableFile(f"must hold a {ABOUT} that can be read", remedy=remedy, file=self.name) from error
        require_shape(head, self.name)
        about: dict[str, Json] = head
        return about

    def _rows(self, table: str) -> Iterator[StoredRow]:
        path = self._folder / f"{table}.csv"
        kinds = self._kinds[table]
        csv.field_size_limit(_LONGEST)
        try:
            with path.open(encoding="utf-8", newline="") as file:
                lines = csv.reader(file, strict=True)
                _require_header(next(lines, []), kinds, path)
                for cells in lines:
                    yield _row(cells, kinds, path, lines.line_num)
        except (OSError, UnicodeDecodeError, csv.Error) as error:
            raise UnreadableFile("must be a CSV file that can be read", remedy=UNTOUCHED, file=str(path)) from error


def _require_header(header: list[str], kinds: Iterable[str], path: pathlib.Path) -> None:
    if header != list(kinds):
        rule = f"must have the columns {', '.join(kinds)}"
        raise UnreadableFile(rule, value=", ".join(header), remedy=UNTOUCHED, file=str(path), line=1)


def _row(cells: list[str], kinds: dict[str, type], path: pathlib.Path, line: int) -> StoredRow:
    try:
        return {name: _value(cell, kind) for cell, (name, kind) in zip(cells, kinds.items(), strict=True)}
    except (ValueError, KeyError) as error:
        raise UnreadableFile(
            "must have a value in every column", remedy=UNTOUCHED, file=str(path), line=line
        ) from error


def _value(cell: str, kind: type) -> Json:
    if cell == _NOTHING:
        return None
    if kind is bool:
        return {"true": True, "false": False}[cell]
    if kind is int:
        return int(cell)
    return cell.removeprefix("\\") if cell.startswith("\\") else cell
