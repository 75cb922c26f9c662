"""`sagwright sheet` and `sagwright bike`: groups that check, store and describe files of sheets and bikes."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from sagwright.cli.commands.options import named_option
from sagwright.cli.commands.record_options import as_json, opened_workshop, submission, submission_by, workshop
from sagwright.errors import UnreadableFile

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sagwright.domain.records.entities import SheetRevision


@click.command()
@click.argument("file")
@click.option("--json", "as_json", is_flag=True, help="Print the faults as JSON; none is an empty list.")
def check_command(file: str, *, as_json: bool) -> None:
    """Read the sheet FILE with everything it extends and say every fault at once.

    FILE may also be the name of a sheet that comes with the program. Answers 2 if there is a fault.
    """
    from sagwright.cli.terminal.output import write, write_json
    from sagwright.cli.views.tables import sheet_document
    from sagwright.errors import InputErrors
    from sagwright.formats.json_text import errors_to_json
    from sagwright.formats.sheet.load import load_sheet

    with named_option("FILE"):
        sheet = load_sheet(file)
    if as_json:
        write_json(errors_to_json(InputErrors(())))
    else:
        write(sheet_document(sheet))


@click.command("add")
@click.argument("file")
@click.option("--as", "name", metavar="NAME", help="What it is called, like own/t35; the file's name if left out.")
@submission
@workshop
@as_json
def keep_command(file: str, *, name: str | None, workshop: str | None, as_json: bool, **options: Any) -> None:  # noqa: ANN401
    """Keep the sheet FILE with the records as a new revision; jobs name it by its NAME."""
    from sagwright.service.sheets import add_sheet

    said = submission_by(options)
    text = _text(Path(file))
    with opened_workshop(workshop, new=True) as store:
        kept = add_sheet(store, name or Path(file).stem, text, said)
    _tell([kept], as_json=as_json)


@click.command("list")
@workshop
@as_json
def list_sheets_command(*, workshop: str | None, as_json: bool) -> None:
    """List the newest revision of every sheet that is kept; a shipped one is kept once it is used."""
    from sagwright.service.sheets import list_sheets

    with opened_workshop(workshop) as store:
        kept = list_sheets(store)
    _tell(kept, as_json=as_json)


def _text(path: Path) -> str:
    try:
        return path.read_text("utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        reason = getattr(error, "strerror", None) or "it is not UTF-8"
        raise UnreadableFile("must be readable", remedy=f"The system says: {reason}.", file=str(path)) from error


def _tell(kept: Sequence[SheetRevision], *, as_json: bool) -> None:
    from sagwright.cli.terminal.document import TextRow, TextRows
    from sagwright.cli.terminal.output import write, write_json
    from sagwright.formats.json_text import dump_json

    if as_json:
        shapes = [
            {"key": one.key, "revision": one.revision, "id": one.id, "added": one.added.isoformat(), "by": one.by}
            for one in kept
        ]
        write_json(dump_json({"shape": "sheets/1", "sheets": shapes}))
    else:
        write(
            (TextRows(tuple(TextRow(one.key, f"revision {one.revision}, by {one.by}, id {one.id}") for one in kept)),)
        )


@click.command("schema")
def sheet_schema_command() -> None:
    """Print the JSON Schema of sheets, for editors that complete and check as you type."""
    from sagwright.cli.terminal.output import write_json
    from sagwright.formats.schema import sheet_schema_json

    write_json(sheet_schema_json())


@click.group()
def sheet() -> None:
    """Check sheets, help editors to write them, and keep revisions with the records."""


sheet.add_command(check_command)
sheet.add_command(sheet_schema_command)
sheet.add_command(keep_command)
sheet.add_command(list_sheets_command)


@click.group()
def bike() -> None:
    """Help editors to write the files of bikes."""


@bike.command("schema")
def bike_schema_command() -> None:
    """Print the JSON Schema of bikes, for editors that complete and check as you type."""
    from sagwright.cli.terminal.output import write_json
    from sagwright.formats.schema import bike_schema_json

    write_json(bike_schema_json())
