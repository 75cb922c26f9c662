"""What is stored and shipped: the demo workshop's export, its documents and entries, sheets as read, and schemas."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import Any, Final

from sagwright.formats.intake.load import load_intake
from sagwright.formats.intake.shape import IntakeShape
from sagwright.formats.schema import bike_schema, sheet_schema
from sagwright.formats.sheet.catalogue import shipped_sheets
from sagwright.formats.sheet.load import load_sheet
from sagwright.phrases.diagnosis import final_check_words
from sagwright.service.demo.fill import fill
from sagwright.service.workshop.maintenance import exported
from sagwright.service.workshop.records import open_workshop
from tests.goldens.fixed import fixed_folder, shortened
from tests.goldens.values import as_json, as_lines, digest

FIRST_DAY: Final = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)


def fill_demo(path: Path) -> None:
    """The demo workshop in a new file."""
    with fixed_folder(), open_workshop(path) as store:
        fill(store, start=FIRST_DAY, words=final_check_words)


@cache
def export_of(path: Path) -> str:
    """A workshop as its export has it."""
    with open_workshop(path) as store:
        return "".join(exported(store))


def tables(path: Path) -> dict[str, list[dict[str, Any]]]:
    """The rows of a workshop by their table."""
    found: dict[str, list[dict[str, Any]]] = json.loads(export_of(path))["tables"]
    return found


def stored(filled: Path) -> Iterator[tuple[str, Any]]:
    """Every row of the demo workshop; what is itself JSON in it is read, so that a difference can be seen.

    A document's digest depends on the last digits of its numbers, and these on the processor: it is named here by that
    of its shortened text.
    """
    with fixed_folder():
        yield "the head of the export", as_lines(export_of(filled).partition('"tables"')[0])
        for name, rows in (tables(filled) | {"documents": _documents(filled)}).items():
            for number, row in enumerate(rows, 1):
                key = row.get("id") or row.get("digest") or f"{number:03}"
                yield f"{name}: {key}", {column: _read(value) for column, value in row.items()}


def _documents(filled: Path) -> list[dict[str, Any]]:
    rows = tables(filled)["documents"]
    return [row | {"id": digest(shortened(row["text"]))} for row in rows]


def _read(value: Any) -> Any:  # noqa: ANN401  # a column
    if not isinstance(value, str):
        return value
    if value.startswith(("{", "[")):
        return {"text": json.loads(value), "keys": list(json.loads(value)) if value.startswith("{") else []}
    return as_lines(value)


def shipped() -> Iterator[tuple[str, Any]]:
    """Sheets and intakes as they are read, and the schemas."""
    with fixed_folder():
        for name in shipped_sheets():
            yield f"sheet {name}", as_json(load_sheet(name))
        for path in sorted(Path("examples").glob("*.yaml")):
            yield f"intake {path}", as_json(load_intake(str(path)))
        yield "schema of sheets", sheet_schema()
        yield "schema of bikes", bike_schema()
        yield "schema of intakes", IntakeShape.model_json_schema()
