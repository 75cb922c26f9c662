"""What the commands of records and sheets answer, as words or JSON."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Final

from sagwright.cli.terminal.document import Document, Paragraph, Row, Rows, Tone, labelled_rows
from sagwright.cli.terminal.output import write, write_json
from sagwright.domain.sheet import Sheet
from sagwright.formats.json_text import Json, dumped
from sagwright.phrases.sheets import sheet_lines
from sagwright.service.workshop.maintenance import Check, Grade, Manifest, Restored
from sagwright.units import Choice

TONES: Final = {Grade.GOOD: Tone.SOFT, Grade.LOOK: Tone.ASK, Grade.BAD: Tone.REFUSE}


def sheet_document(sheet: Sheet) -> Document:
    """What was read, and that nothing is wrong with it."""
    return labelled_rows(sheet_lines(sheet, Choice())), Paragraph(""), Paragraph("No faults.")


def tell_backup(manifest: Manifest, file: str, *, as_json: bool) -> None:
    """What a backup holds."""
    _tell(_backup_rows(manifest, Row("wrote", file)), asdict(manifest) | {"file": file}, as_json=as_json)


def tell_restored(restored: Restored, where: str, *, as_json: bool) -> None:
    """What was restored, and where what it replaced is."""
    kept = Row("replaced", f"kept as {restored.kept}" if restored.kept else "nothing was there")
    rows = _backup_rows(restored.manifest, Row("restored", where), kept)
    _tell(rows, asdict(restored.manifest) | {"place": where, "kept": restored.kept or None}, as_json=as_json)


def tell_imported(done: dict[str, int], *, as_json: bool) -> None:
    """How many rows were imported."""
    _tell((Rows((Row("imported", _counted(done)),)),), {"shape": "imported/1", "counts": dict(done)}, as_json=as_json)


def tell_checks(checks: Sequence[Check], *, as_json: bool) -> None:
    """Every check, each with what to do."""
    rows = [
        Row(check.grade.value, f"{check.about}: {check.what} {check.remedy}".strip(), TONES[check.grade])
        for check in checks
    ]
    _tell((Rows(tuple(rows)),), {"shape": "doctor/1", "checks": [asdict(check) for check in checks]}, as_json=as_json)


def _backup_rows(manifest: Manifest, *around: Row) -> Document:
    first, *others = around
    made = Row("made", f"{manifest.made}, by {manifest.program}, schema {manifest.schema}")
    return (Rows((first, Row("holds", _counted(manifest.counts)), made, Row("sha256", manifest.sha256), *others)),)


def _counted(counts: dict[str, int]) -> str:
    shown = ("jobs", "entries", "owners", "units", "photos")
    return ", ".join(f"{counts.get(name, 0)} {name}" for name in shown)


def _tell(document: Document, shape: Json, *, as_json: bool) -> None:
    if as_json:
        write_json(dumped(shape))
    else:
        write(document)
