"""A whole workshop as plain rows, shape "workshop/1", and as a JSON document with a row a line, read in pieces."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Final, TextIO

from sagwright.errors import UnreadableFile
from sagwright.formats.json_text import Json, compact

_SHAPE: Final = "workshop/1"
UNTOUCHED: Final = "Export it again, and import the file as it was written."

StoredRow = dict[str, Json]
Tables = Iterable[tuple[str, Iterable[StoredRow]]]

_PIECE: Final = 1 << 16
_MOST: Final = 1 << 26
"""Characters of one row."""


@dataclass(frozen=True, slots=True)
class Head:
    """What stands before the rows.

    Attributes
    ----------
    schema, program : str
        Of the workshop, and of what wrote this.
    columns : tuple of (str, tuple of str)
        The tables in their order, each with its columns.
    counts : tuple of (str, int)
        How many rows each has.
    """

    schema: str
    program: str
    columns: tuple[tuple[str, tuple[str, ...]], ...]
    counts: tuple[tuple[str, int], ...]

    def shape(self) -> Json:
        """As plain values, without the rows."""
        return {"shape": _SHAPE, "schema": self.schema, "program": self.program, "counts": dict(self.counts)}


@dataclass(slots=True)
class Tally:
    """Counts rows as they pass by, and makes a digest of them, whatever file they come from."""

    counts: dict[str, int] = field(default_factory=dict)
    _hash: hashlib._Hash = field(default_factory=hashlib.sha256)

    def passing(self, table: str, rows: Iterable[StoredRow]) -> Iterator[StoredRow]:
        """Pass rows on, and count them and add them to the digest on the way."""
        self.counts[table] = 0
        for row in rows:
            self.counts[table] += 1
            self._hash.update(f"{table} {compact(row)}\n".encode())
            yield row

    @property
    def digest(self) -> str:
        """Of every row so far."""
        return self._hash.hexdigest()

    def require(self, head: Json, digest: Json, file: str) -> None:
        """Return, if the rows that passed are those that the file declares.

        Raises
        ------
        UnreadableFile
        """
        said = head.get("counts") if isinstance(head, dict) else None
        if said != self.counts or digest != self.digest:
            raise UnreadableFile("must be whole and unchanged since it was exported", remedy=UNTOUCHED, file=file)


def require_shape(head: Json, file: str) -> None:
    """Nothing, if a file is an export that this program reads.

    Raises
    ------
    UnreadableFile
    """
    shape = head.get("shape") if isinstance(head, dict) else None
    if shape == _SHAPE:
        return
    newer = isinstance(shape, str) and shape.startswith("workshop/")
    remedy = "A newer program wrote it; use that one." if newer else "Give a file that `sagwright export` wrote."
    raise UnreadableFile(f'must be an export of the shape "{_SHAPE}"', value=_said(shape), remedy=remedy, file=file)


def _said(shape: Json) -> str | None:
    return shape if isinstance(shape, str) else None


def lines_of(head: Head, tables: Tables) -> Iterator[str]:
    """The document, line by line."""
    tally = Tally()
    yield compact(head.shape())[:-1] + ',"tables":{'
    for number, (table, rows) in enumerate(tables):
        yield f'{"," if number else ""}"{table}":['
        before = ""
        for row in tally.passing(table, rows):
            if before:
                yield before + ","
            before = compact(row)
        yield from ([before] if before else [])
        yield "]"
    yield f'}},"digest":"{tally.digest}"}}'


class StoredRows:
    """The rows of a document that is being read; every table is read to its end before the next one.

    Raises
    ------
    UnreadableFile
        While reading, if it is not JSON of this shape, and at its end if it is not what its head and digest say.
    """

    def __init__(self, file: TextIO, name: str) -> None:
        self.name = name
        self._read = _Reader(file, name)
        self._tally = Tally()
        self.head = self._head()

    def tables(self) -> Iterator[tuple[str, Iterator[StoredRow]]]:
        """Every table with its rows."""
        self._read.require("{")
        while not self._read.takes("}"):
            name = str(self._read.value())
            self._read.require(":")
            yield name, self._tally.passing(name, self._rows())
            self._read.takes(",")
        self._read.require(",")
        digest = self._pair()[1]
        self._read.require("}")
        self._tally.require(self.head, digest, self.name)

    def _head(self) -> dict[str, Json]:
        self._read.require("{")
        head: dict[str, Json] = {}
        while True:
            key = str(self._read.value())
            self._read.require(":")
            if key == "tables":
                break
            head[key] = self._read.value()
            self._read.require(",")
        require_shape(head, self.name)
        return head

    def _pair(self) -> tuple[str, Json]:
        key = str(self._read.value())
        self._read.require(":")
        return key, self._read.value()

    def _rows(self) -> Iterator[StoredRow]:
        self._read.require("[")
        while not self._read.takes("]"):
            row = self._read.value()
            if not isinstance(row, dict):
                raise self._read.fault()
            yield row
            self._read.takes(",")


class _Reader:
    """Values and marks of a JSON text, read as far as they are needed."""

    def __init__(self, file: TextIO, name: str) -> None:
        self._file, self._name = file, name
        self._text, self._at, self._ended = "", 0, False
        self._decode = json.JSONDecoder().raw_decode

    def value(self) -> Json:
        """The next value."""
        self._skip()
        while True:
            try:
                value, end = self._decode(self._text, self._at)
            except (ValueError, RecursionError) as error:
                if self._ended or not self._more():
                    raise self.fault() from error
                continue
            if end < len(self._text) or self._ended or not self._more():
                self._at = end
                made: Json = value
                return made

    def takes(self, mark: str) -> bool:
        """Whether a mark comes next; then it is passed."""
        self._skip()
        there = self._text.startswith(mark, self._at)
        self._at += there
        return there

    def require(self, mark: str) -> None:
        """Pass a mark that must come next."""
        if not self.takes(mark):
            raise self.fault()

    def fault(self) -> UnreadableFile:
        """What is wrong with the file."""
        return UnreadableFile("must be a whole JSON document that was exported", remedy=UNTOUCHED, file=self._name)

    def _skip(self) -> None:
        while True:
            while self._at < len(self._text) and self._text[self._at] in " \t\r\n":
                self._at += 1
            if self._at < len(self._text) or not self._more():
                return

    def _more(self) -> bool:
        """Read on, twice as far each time as what is not used yet."""
        left = self._text[self._at :]
        try:
            piece = self._file.read(max(_PIECE, len(left)))
        except UnicodeDecodeError as error:
            raise self.fault() from error
        self._text, self._at, self._ended = left + piece, 0, not piece
        return bool(piece) and len(left) < _MOST
