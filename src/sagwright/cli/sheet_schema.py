"""`sagwright sheet schema`."""

from __future__ import annotations

import click


@click.command()
def schema() -> None:
    """Print the JSON Schema of sheets, for editors that complete and check as you type."""
    from sagwright.cli.output import write_json
    from sagwright.formats.schema import sheet_schema_json

    write_json(sheet_schema_json())
