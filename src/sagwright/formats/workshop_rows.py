"""Everything a workshop keeps as plain rows, shape "workshop/1": what its files say before and after the rows."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Final

from sagwright.errors import UnreadableFile
from sagwright.formats.entry_json import compact
from sagwright.formats.json_text import Json

SHAPE: Final = "workshop/1"
UNTOUCHED: Final = "Export it again, and import the file as it was written."

Row = dict[str, Json]
Tables = Iterable[tuple[str, Iterable[Row]]]


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
        return {"shape": SHAPE, "schema": self.schema, "program": self.program, "counts": dict(self.counts)}


@dataclass(slots=True)
class Tally:
    """Counts rows as they pass by, and makes a digest of them, whatever file they come from."""

    counts: dict[str, int] = field(default_factory=dict)
    _hash: hashlib._Hash = field(default_factory=hashlib.sha256)

    def passing(self, table: str, rows: Iterable[Row]) -> Iterator[Row]:
        """The same rows, counted."""
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
        """Nothing, if what passed by is what the file said it holds.

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
    if shape == SHAPE:
        return
    newer = isinstance(shape, str) and shape.startswith("workshop/")
    remedy = "A newer program wrote it; use that one." if newer else "Give a file that `sagwright export` wrote."
    raise UnreadableFile(f'must be an export of the shape "{SHAPE}"', value=_said(shape), remedy=remedy, file=file)


def _said(shape: Json) -> str | None:
    return shape if isinstance(shape, str) else None
