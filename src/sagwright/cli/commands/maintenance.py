"""`sagwright backup`, `restore_command`, `export`, `import`, `doctor_command` and `demo`."""

from __future__ import annotations

from datetime import UTC, datetime

import click

from sagwright.cli.commands.record_options import as_json, now, opened_workshop, place_of, progress, workshop
from sagwright.cli.terminal.output import STDOUT


@click.command()
@click.argument("file")
@workshop
@as_json
def backup_command(file: str, *, workshop: str | None, as_json: bool) -> None:
    """Write a backup of all records to the new FILE, while others go on working.

    It holds everything as it was at one moment, with photos, and is verified before it gets its name.
    """
    from sagwright.cli.views.tables import backup_document
    from sagwright.service.workshop.maintenance import write_backup_of

    with opened_workshop(workshop) as store, progress("backup") as tell:
        manifest = write_backup_of(store, file, now=now(), tell=tell)
    backup_document(manifest, file, as_json=as_json)


@click.command()
@click.argument("file")
@workshop
@as_json
def restore_command(file: str, *, workshop: str | None, as_json: bool) -> None:
    """Put the backup FILE in the place of the records.

    It is verified whole first: digest, integrity, schema and number of rows. What it replaces is kept beside it, under
    a name with the time. A database of a server must be empty: restore into a new one, then use its URL.
    """
    from sagwright.cli.views.tables import restored_document
    from sagwright.service.workshop.maintenance import restore_workshop as put_back

    where = place_of(workshop)
    with progress("restore") as tell:
        restored = put_back(file, where, now=now(), tell=tell)
    restored_document(restored, str(where), as_json=as_json)


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

    with opened_workshop(workshop) as store, progress("export") as tell:
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
    from sagwright.cli.views.tables import imported_document
    from sagwright.service.workshop.maintenance import import_workshop

    with opened_workshop(workshop, new=True) as store, progress("import") as tell:
        done = import_workshop(store, file, tell=tell)
    imported_document(done, as_json=as_json)


@click.command()
@click.option("--mend", is_flag=True, help="First make every job's row again from its entries, which stay as they are.")
@workshop
@as_json
def doctor_command(*, mend: bool, workshop: str | None, as_json: bool) -> int:
    """See whether the records are safe and whole, and what to do if not.

    Answers 1 if something is bad. Nothing is changed without --mend.
    """
    from sagwright.cli.views.tables import checks_document
    from sagwright.service.workshop.maintenance import Grade, examine_records
    from sagwright.service.workshop.maintenance import mend as mended

    if mend:
        with opened_workshop(workshop) as store:
            mended(store)
    with progress("doctor") as tell:
        checks = tuple(examine_records(place_of(workshop), tell=tell))
    checks_document(checks, as_json=as_json)
    return 1 if any(check.grade is Grade.BAD for check in checks) else 0


@click.group()
def demo() -> None:
    """A workshop to try things in; its people, units and numbers are invented."""


@demo.command()
@click.option("--start", type=click.DateTime(["%Y-%m-%d"]), help="The first day; three days ago if left out.")
@workshop
@as_json
def fill_command(*, start: datetime | None, workshop: str | None, as_json: bool) -> None:
    """Fill an empty workshop with invented jobs at every stage, of every kind of unit there is.

    Done twice, it adds nothing. Where there are jobs already that are not the demo's, it refuses.
    """
    from sagwright.cli.terminal.output import write_json
    from sagwright.formats.json_text import dump_json
    from sagwright.phrases.diagnosis import final_check_words
    from sagwright.service.demo.fill import fill as tell_all

    begins = _morning(start)
    with opened_workshop(workshop, new=True) as store, progress("demo") as tell:
        filled = tell_all(store, start=begins, words=final_check_words, tell=tell)
    if as_json:
        write_json(dump_json({"shape": "filled/1", "added": filled.added, "there": filled.there}))
    elif filled.added:
        click.echo(f"{filled.added} invented jobs were recorded; {filled.there} were there already.")
    else:
        click.echo(f"All {filled.there} jobs of the demo are there already; nothing was added.")


def _morning(day: datetime | None) -> datetime:
    """Eight o'clock of a day."""
    from datetime import timedelta

    return (day or now() - timedelta(days=3)).replace(hour=8, minute=0, second=0, microsecond=0, tzinfo=UTC)
