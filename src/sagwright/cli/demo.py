"""`sagwright demo`."""

from __future__ import annotations

from datetime import UTC, datetime

import click

from sagwright.cli.workshop import as_json, now, opened, progress, workshop


@click.group()
def demo() -> None:
    """A workshop to try things in; its people, units and numbers are invented."""


@demo.command()
@click.option("--start", type=click.DateTime(["%Y-%m-%d"]), help="The first day; three days ago if left out.")
@workshop
@as_json
def fill(*, start: datetime | None, workshop: str | None, as_json: bool) -> None:
    """Fill an empty workshop with invented jobs at every stage, of every kind of unit there is.

    Done twice, it adds nothing. Where there are jobs already that are not the demo's, it refuses.
    """
    from sagwright.cli.output import write_json
    from sagwright.formats.json_text import dumped
    from sagwright.service.demo.fill import fill as tell_all

    begins = _morning(start)
    with opened(workshop, new=True) as store, progress("demo") as tell:
        filled = tell_all(store, start=begins, tell=tell)
    if as_json:
        write_json(dumped({"shape": "filled/1", "told": filled.told, "there": filled.there}))
    elif filled.told:
        click.echo(f"{filled.told} invented jobs were recorded; {filled.there} were there already.")
    else:
        click.echo(f"All {filled.there} jobs of the demo are there already; nothing was added.")


def _morning(day: datetime | None) -> datetime:
    """Eight o'clock of a day."""
    from datetime import timedelta

    return (day or now() - timedelta(days=3)).replace(hour=8, minute=0, second=0, microsecond=0, tzinfo=UTC)
