"""`sagwright unit`: the group of what is asked of one unit."""

from __future__ import annotations

import click

from sagwright.cli.workshop import as_json, opened, workshop


@click.group()
def unit() -> None:
    """What is known of a fork or shock that was here before."""


@unit.command()
@click.argument("serial")
@workshop
@as_json
def history(serial: str, *, workshop: str | None, as_json: bool) -> None:
    """Show everything that happened to the unit with a SERIAL number, across owners, oldest first."""
    from sagwright.cli.job_page import history_document
    from sagwright.cli.output import write, write_json
    from sagwright.formats.records.jobs import history_to_json
    from sagwright.service.jobs.queries import history as look

    with opened(workshop) as store:
        units = look(store, serial)
    if as_json:
        write_json(history_to_json([(one.unit, one.jobs) for one in units]))
    else:
        write(history_document(units, serial))
