"""`sagwright owner`: the group of what is kept about people."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from sagwright.cli.workshop import as_json, now, opened, workshop

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sagwright.domain.records.entities import Owner


@click.group()
def owner() -> None:
    """Find owners, give out what is kept about one, change it, and erase it."""


@owner.command()
@click.argument("words", nargs=-1)
@workshop
@as_json
def find(words: tuple[str, ...], *, workshop: str | None, as_json: bool) -> None:
    """Find owners by all WORDS of their name; the first 100 if there are none."""
    from sagwright.service.workshop.owners import find_owners

    with opened(workshop) as store:
        found = find_owners(store, " ".join(words))
    _tell(found, as_json=as_json)


@owner.command()
@click.argument("owner")
@workshop
def export(owner: str, *, workshop: str | None) -> None:
    """Print everything that is kept about the OWNER with an id, for the owner, as JSON (owner/1)."""
    from sagwright.cli.output import write_json
    from sagwright.service.workshop.owners import export_owner

    with opened(workshop) as store:
        write_json(export_owner(store, owner))


@owner.command()
@click.argument("owner")
@click.option("--name", required=True, help="By which they are called from now on.")
@click.option("--contact", default="", metavar="TEXT", help="One way to reach them.")
@workshop
@as_json
def rename(owner: str, *, name: str, contact: str, workshop: str | None, as_json: bool) -> None:
    """Give the OWNER with an id another name or contact."""
    from sagwright.service.workshop.owners import rename as change

    with opened(workshop) as store:
        _tell([change(store, owner, name=name, contact=contact)], as_json=as_json)


@owner.command()
@click.argument("owner")
@click.option("--by", required=True, envvar="SAGWRIGHT_BY", show_envvar=True, metavar="NAME", help="Who erases.")
@click.option("--yes", is_flag=True, help="Do not ask.")
@workshop
@as_json
def erase(owner: str, *, by: str, yes: bool, workshop: str | None, as_json: bool) -> None:
    """Erase name and contact of the OWNER with an id, for ever; the jobs stay whole, under the id.

    Backups and exports that were written before still hold them.
    """
    from sagwright.service.workshop.owners import erase as forget
    from sagwright.service.workshop.owners import things_of

    with opened(workshop) as store:
        named = things_of(store, owner)[0].name
        if not yes:
            click.confirm(f"Erase name and contact of {named or 'this owner'} for ever?", abort=True, err=True)
        _tell([forget(store, owner, at=now(), by=by)], as_json=as_json)


def _tell(found: Sequence[Owner], *, as_json: bool) -> None:
    from dataclasses import asdict

    from sagwright.cli.document import Paragraph, Row, Rows
    from sagwright.cli.output import write, write_json
    from sagwright.formats.json_text import dumped

    if as_json:
        write_json(dumped({"shape": "owners/1", "owners": [asdict(one) for one in found]}))
    elif found:
        rows = (Row(one.name or "(erased)", f"{one.contact or 'no contact'}, id {one.id}") for one in found)
        write((Rows(tuple(rows)),))
    else:
        write((Paragraph("No owner has all these words in the name."),))
