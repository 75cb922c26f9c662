"""`sagwright sheet check`."""

from __future__ import annotations

import click

from sagwright.cli.options import named


@click.command()
@click.argument("file")
@click.option("--json", "as_json", is_flag=True, help="Print the faults as JSON; none is an empty list.")
def check(file: str, *, as_json: bool) -> None:
    """Read the sheet FILE with everything it extends and say every fault at once.

    FILE may also be the name of a sheet that comes with the program. Answers 2 if there is a fault.
    """
    from sagwright.cli.output import write, write_json
    from sagwright.cli.sheet_page import sheet_document
    from sagwright.errors import InputErrors
    from sagwright.formats.json_text import errors_to_json
    from sagwright.formats.sheet.load import load_sheet

    with named("FILE"):
        sheet = load_sheet(file)
    if as_json:
        write_json(errors_to_json(InputErrors(())))
    else:
        write(sheet_document(sheet))
