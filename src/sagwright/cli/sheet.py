"""`sagwright sheet`: the group of what is done with sheets."""

from __future__ import annotations

import click

from sagwright.cli.sheet_check import check
from sagwright.cli.sheet_schema import schema


@click.group()
def sheet() -> None:
    """Check sheets, and help editors to write them."""


sheet.add_command(check)
sheet.add_command(schema)
