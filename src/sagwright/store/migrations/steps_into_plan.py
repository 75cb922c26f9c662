"""Plans of tasks alone: shape "steps/1" → shape "plan/1", in everything that is stored. Pure, and never changed again.

A document is named by a digest of its shape and text. It gets a new name, and the entries that name it follow.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator
from typing import Any, Final

OLD: Final = "steps/1"
NEW: Final = "plan/1"

Row = dict[str, Any]


def document(text: str) -> str:
    """The text of a document of the old shape, in the new one; what it never had is not added."""
    return json.dumps(json.loads(text) | {"shape": NEW}, ensure_ascii=False, indent=2) + "\n"


def document_id(text: str) -> str:
    """The name of a document of the new shape."""
    return hashlib.sha256(f"{NEW}\n{text}".encode()).hexdigest()[:32]


def entry(text: str, ids: dict[str, str]) -> str:
    """What an entry says; a decision on a document that got a new name names it so."""
    said = json.loads(text) if ids else {}
    if said.get("work") not in ids:
        return text
    named = said | {"work": ids[said["work"]], "work_shape": NEW}
    return json.dumps(named, ensure_ascii=False, separators=(",", ":"))


def tables(old: Iterable[tuple[str, Iterable[Row]]]) -> Iterator[tuple[str, Iterable[Row]]]:
    """The tables of an export with the old shape in the new one; documents stand before the entries that name them."""
    ids: dict[str, str] = {}
    for table, rows in old:
        if table == "documents":
            yield table, (_document(row, ids) for row in rows)
        elif table == "entries":
            yield table, ({**row, "payload": entry(row["payload"], ids)} for row in rows)
        else:
            yield table, rows


def _document(row: Row, ids: dict[str, str]) -> Row:
    if row["shape"] != OLD:
        return row
    text = document(row["text"])
    ids[row["id"]] = document_id(text)
    return {**row, "id": ids[row["id"]], "shape": NEW, "text": text}
