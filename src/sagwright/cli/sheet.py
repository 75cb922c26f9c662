"""`sagwright sheet`: the group of what is done with sheets."""

from __future__ import annotations

import click

from sagwright.cli.sheet_check import check
from sagwright.cli.sheet_keep import keep, list_
from sagwright.cli.sheet_schema import schema


@click.group()
def sheet() -> None:
    """Check sheets, help editors to write them, and keep revisions with the records."""


sheet.add_command(check)
sheet.add_command(schema)
sheet.add_command(keep)
sheet.add_command(list_)
