"""What the commands of records and sheets answer, as words or JSON."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Final

from sagwright.cli.terminal.document import Paragraph, TextDocument, TextRow, TextRows, Tone, labelled_rows
from sagwright.cli.terminal.output import write, write_json
from sagwright.domain.sheet import Sheet
from sagwright.formats.json_text import Json, dump_json
from sagwright.phrases.sheets import sheet_lines
from sagwright.service.workshop.maintenance import Check, Grade, Manifest, Restored
from sagwright.units import UnitChoice

_TONES: Final = {Grade.GOOD: Tone.SOFT, Grade.LOOK: Tone.ASK, Grade.BAD: Tone.REFUSE}


def sheet_document(sheet: Sheet) -> TextDocument:
    """What was read, and that nothing is wrong with it."""
    return labelled_rows(sheet_lines(sheet, UnitChoice())), Paragraph(""), Paragraph("No faults.")


def backup_document(manifest: Manifest, file: str, *, as_json: bool) -> None:
    """What a backup holds."""
    _tell(_backup_rows(manifest, TextRow("wrote", file)), asdict(manifest) | {"file": file}, as_json=as_json)


def restored_document(restored: Restored, where: str, *, as_json: bool) -> None:
    """What was restored, and where what it replaced is."""
    kept = TextRow("replaced", f"kept as {restored.replaced}" if restored.replaced else "nothing was there")
    rows = _backup_rows(restored.manifest, TextRow("restored", where), kept)
    _tell(rows, asdict(restored.manifest) | {"place": where, "kept": restored.replaced or None}, as_json=as_json)


def imported_document(done: dict[str, int], *, as_json: bool) -> None:
    """How many rows were imported."""
    _tell(
        (TextRows((TextRow("imported", _counted(done)),)),),
        {"shape": "imported/1", "counts": dict(done)},
        as_json=as_json,
    )


def checks_document(checks: Sequence[Check], *, as_json: bool) -> None:
    """Every check, each with what to do."""
    rows = [
        TextRow(check.grade.value, f"{check.about}: {check.what} {check.remedy}".strip(), _TONES[check.grade])
        for check in checks
    ]
    _tell(
        (TextRows(tuple(rows)),), {"shape": "doctor/1", "checks": [asdict(check) for check in checks]}, as_json=as_json
    )


def _backup_rows(manifest: Manifest, *around: TextRow) -> TextDocument:
    first, *others = around
    made = TextRow("made", f"{manifest.made}, by {manifest.program}, schema {manifest.schema}")
    return (
        TextRows(
            (first, TextRow("holds", _counted(manifest.counts)), made, TextRow("sha256", manifest.sha256), *others)
        ),
    )


def _counted(counts: dict[str, int]) -> str:
    shown = ("jobs", "entries", "customers", "units", "photos")
    return ", ".join(f"{counts.get(name, 0)} {name}" for name in shown)


def _tell(document: TextDocument, shape: Json, *, as_json: bool) -> None:
    if as_json:
        write_json(dump_json(shape))
    else:
        write(document)
