"""`sagwright bike`: the group of what is done with the files of bikes."""

from __future__ import annotations

import click


@click.group()
def bike() -> None:
    """Help editors to write the files of bikes."""


@bike.command()
def schema() -> None:
    """Print the JSON Schema of bikes, for editors that complete and check as you type."""
    from sagwright.cli.output import write_json
    from sagwright.formats.schema import bike_schema_json

    write_json(bike_schema_json())
