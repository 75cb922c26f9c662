"""Every table as plain rows, in one order on either database, and back."""

from __future__ import annotations

import base64
import binascii
import zlib
from collections.abc import Callable, Iterable, Iterator
from datetime import datetime
from itertools import islice
from typing import Any, Final

from sqlalchemy import Boolean, Integer, LargeBinary, Table, Text, collate, column, func, insert, select, table

from sagwright.errors import OutOfRange, StoreFailed
from sagwright.formats.json_text import Json
from sagwright.formats.records.workshop import StoredRow
from sagwright.store import tables
from sagwright.store.engine import Transaction

TABLES: Final = (
    tables.customers,
    tables.bicycles,
    tables.units,
    tables.sheets,
    tables.visits,
    tables.jobs,
    tables.photos,
    tables.photo_chunks,
    tables.documents,
    tables.entries,
    tables.instruments,
    tables.drafts,
)
"""Each after those it points at."""

ProgressCallback = Callable[[int, int], None]
"""Called with how much is done and how much there is, both in any one unit."""

_ORDER: Final = {"jobs": ("number",), "entries": ("job", "ordinal"), "photo_chunks": ("photo", "ordinal")}
_AT_ONCE: Final = {"photo_chunks": 4, "documents": 50}
_MANY: Final = 500
_BINARY: Final = {"documents": "text", "photo_chunks": "base64"}  # what their content is called in a row
COLUMN_KINDS: Final[dict[str, dict[str, type]]] = {
    one.name: {
        _BINARY.get(one.name, each.name) if isinstance(each.type, LargeBinary) else each.name: (
            bool if isinstance(each.type, Boolean) else int if isinstance(each.type, Integer) else str
        )
        for each in one.columns
    }
    for one in TABLES
}
"""What each column of a row holds."""


def silent(_done: int, _all: int) -> None:
    """Tell nobody."""


def counts_of(transaction: Transaction) -> dict[str, int]:
    """How many rows every table has."""
    return {one.name: transaction.execute(select(func.count()).select_from(one)).scalar() or 0 for one in TABLES}


def rows_of_table(transaction: Transaction, which: Table) -> Iterator[StoredRow]:
    """All rows of a table as plain values, read a few at a time."""
    plain = _plain(which)
    names = list(COLUMN_KINDS[which.name])
    order = [_ordered(transaction, plain.c[name]) for name in _ORDER.get(which.name, ("id",))]
    options = {"yield_per": _AT_ONCE.get(which.name, _MANY)}
    for row in transaction.execute(select(plain).order_by(*order), execution_options=options):
        yield {name: _out(name, value) for name, value in zip(names, row, strict=True)}


def put_rows(transaction: Transaction, which: Table, rows: Iterable[StoredRow]) -> int:
    """Add plain rows to a table; how many.

    Raises
    ------
    OutOfRange
        If a row does not fit the table.
    """
    plain, done = _plain(which), 0
    numbered = iter(enumerate(rows, 1))
    while some := list(islice(numbered, _AT_ONCE.get(which.name, _MANY))):
        transaction.execute(insert(plain), [_in(which, number, row) for number, row in some])
        done += len(some)
    return done


def require_empty(transaction: Transaction) -> None:
    """Nothing, if nothing is kept yet.

    Raises
    ------
    StoreFailed
    """
    there = [f"{count} {name}" for name, count in counts_of(transaction).items() if count]
    if there:
        rule = f"There are records here already ({', '.join(there[:3])}). Nothing was changed."
        raise StoreFailed(rule, remedy="Give the path of a new file, or the URL of a new database.")


def _plain(which: Table) -> Any:  # noqa: ANN401  # a TableClause whose columns are made here
    """The table with moments as the texts that they are kept as."""
    return table(which.name, *(column(one.name, _type(one.type)) for one in which.columns))


def _type(kind: Any) -> Any:  # noqa: ANN401  # SQLAlchemy's types
    return (
        Text()
        if isinstance(kind, tables.UtcMoment)
        else kind
        if isinstance(kind, Boolean | Integer | LargeBinary)
        else Text()
    )


def _ordered(transaction: Transaction, which: Any) -> Any:  # noqa: ANN401  # a column
    """By bytes on both databases."""
    postgresql = transaction.dialect.name == "postgresql" and isinstance(which.type, Text)
    return collate(which, "C") if postgresql else which


def _out(name: str, value: Any) -> Json:  # noqa: ANN401  # whatever the database gives
    if not isinstance(value, bytes | memoryview):
        plain: Json = value
        return plain
    return zlib.decompress(value).decode() if name == "text" else base64.b64encode(value).decode()


def _in(which: Table, number: int, row: StoredRow) -> dict[str, Any]:
    kinds = COLUMN_KINDS[which.name]
    if list(row) != list(kinds):
        raise _misfit(which, number, ", ".join(row), f"must have the columns {', '.join(kinds)}")
    made: dict[str, Any] = {}
    for (name, value), kept in zip(row.items(), which.columns, strict=True):
        good = kept.nullable if value is None else type(value) is kinds[name] and _fits(kept.type, value)
        if not good:
            raise _misfit(which, number, f"{name}: {value}", "must hold what its column is for")
        made[kept.name] = _bytes(which, number, name, str(value)) if isinstance(kept.type, LargeBinary) else value
    return made


def _fits(kind: object, value: Json) -> bool:
    if not isinstance(value, str):
        return True
    if isinstance(kind, tables.UtcMoment):
        return _is_moment(value)
    return "\0" not in value and value.encode("utf-8", "replace").decode() == value


def _is_moment(text: str) -> bool:
    try:
        return datetime.fromisoformat(text).isoformat(timespec="microseconds") == text and text.endswith("+00:00")
    except ValueError:
        return False


def _bytes(which: Table, number: int, name: str, text: str) -> bytes:
    if name == "text":
        return zlib.compress(text.encode())
    try:
        return base64.b64decode(text, validate=True)
    except binascii.Error as error:
        raise _misfit(which, number, text, "must be base64") from error


def _misfit(which: Table, number: int, value: str, rule: str) -> OutOfRange:
    remedy = "Export it again, and import the file as it was written."
    return OutOfRange(rule, value=value, field=f"{which.name}, row {number}", remedy=remedy)
