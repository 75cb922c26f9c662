"""`sagwright export` and `sagwright import`."""

from __future__ import annotations

import click

from sagwright.cli.files import STDOUT
from sagwright.cli.workshop import as_json, opened, progress, workshop


@click.command("export")
@click.argument("file")
@click.option("--csv", "as_csv", is_flag=True, help="Write a folder FILE of CSV files, one a table.")
@workshop
def export(file: str, *, as_csv: bool, workshop: str | None) -> None:
    """Write everything that is kept to the new FILE as JSON (workshop/1), or to standard output for "-".

    Nothing is left out, photos and half-filled forms neither: `sagwright import` puts it into an empty workshop, on
    either database, and exporting that gives the same bytes. It holds names and contacts: keep it as you keep those.
    """
    from sagwright.service.workshop.maintenance import export_csv, export_json, exported

    with opened(workshop) as store, progress("export") as tell:
        if file == STDOUT and not as_csv:
            for line in exported(store, tell=tell):
                click.echo(line, nl=False)
            return
        (export_csv if as_csv else export_json)(store, file, tell=tell)
    click.echo(f"wrote {file}", err=True)


@click.command("import")
@click.argument("file")
@workshop
@as_json
def import_(file: str, *, workshop: str | None, as_json: bool) -> None:
    """Put an export, a JSON file or a folder of CSV, into a workshop that is still empty.

    All of it or nothing: every row, digest and reference is checked first.
    """
    from sagwright.cli.records_page import tell_imported
    from sagwright.service.workshop.maintenance import import_workshop

    with opened(workshop, new=True) as store, progress("import") as tell:
        done = import_workshop(store, file, tell=tell)
    tell_imported(done, as_json=as_json)
