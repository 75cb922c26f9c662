"""`sagwright backup` and `sagwright restore`."""

from __future__ import annotations

import click

from sagwright.cli.workshop import as_json, now, opened, place_of, progress, workshop


@click.command()
@click.argument("file")
@workshop
@as_json
def backup(file: str, *, workshop: str | None, as_json: bool) -> None:
    """Write a backup of all records to the new FILE, while others go on working.

    It holds everything as it was at one moment, with photos, and is verified before it gets its name.
    """
    from sagwright.cli.records_page import tell_backup
    from sagwright.service.workshop.maintenance import back_up

    with opened(workshop) as store, progress("backup") as tell:
        manifest = back_up(store, file, now=now(), tell=tell)
    tell_backup(manifest, file, as_json=as_json)


@click.command()
@click.argument("file")
@workshop
@as_json
def restore(file: str, *, workshop: str | None, as_json: bool) -> None:
    """Put the backup FILE in the place of the records.

    It is verified whole first: digest, integrity, schema and number of rows. What it replaces is kept beside it, under
    a name with the time. A database of a server must be empty: restore into a new one, then use its URL.
    """
    from sagwright.cli.records_page import tell_restored
    from sagwright.service.workshop.maintenance import restore as put_back

    where = place_of(workshop)
    with progress("restore") as tell:
        restored = put_back(file, where, now=now(), tell=tell)
    tell_restored(restored, str(where), as_json=as_json)
