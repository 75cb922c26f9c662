"""`sagwright instrument`: the group of the tools that make readings."""

from __future__ import annotations

import secrets
from typing import TYPE_CHECKING

import click

from sagwright.cli.options import as_day
from sagwright.cli.workshop import as_json, opened, workshop

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sagwright.domain.records.entities import Instrument


@click.group()
def instrument() -> None:
    """Pumps, gauges and wrenches: which reading was made with which."""


@instrument.command()
@click.argument("kind")
@click.argument("name")
@click.option("--accuracy", default="", metavar="TEXT", help="Its class, as written on it.")
@click.option("--last-check", callback=as_day, metavar="DATE", help="Year-month-day.")
@click.option("--retired", is_flag=True, help="It is no longer used.")
@click.option("--id", "key", metavar="ID", help="What readings name it by; of one that is there, to change it.")
@workshop
@as_json
def keep(*, key: str | None, workshop: str | None, as_json: bool, **told: str) -> None:
    """Keep a tool of a KIND, like "shock pump", under a NAME, like "pump 2"."""
    from sagwright.domain.records.entities import Instrument
    from sagwright.service.workshop.records import keep_instrument, list_instruments

    made = Instrument(
        key or secrets.token_hex(8),
        told["kind"],
        told["name"],
        told["accuracy"],
        told["last_check"] or None,
        retired=bool(told["retired"]),
    )
    with opened(workshop, new=True) as store:
        keep_instrument(store, made)
        kept = [one for one in list_instruments(store) if one.id == made.id]
    _tell(kept, as_json=as_json)


@instrument.command("list")
@workshop
@as_json
def list_(*, workshop: str | None, as_json: bool) -> None:
    """List every tool that makes readings, retired ones too."""
    from sagwright.service.workshop.records import list_instruments

    with opened(workshop) as store:
        kept = list(list_instruments(store))
    _tell(kept, as_json=as_json)


def _tell(kept: Sequence[Instrument], *, as_json: bool) -> None:
    from dataclasses import asdict

    from sagwright.cli.document import Paragraph, Row, Rows
    from sagwright.cli.output import write, write_json
    from sagwright.formats.json_text import dumped

    if as_json:
        write_json(dumped({"shape": "instruments/1", "instruments": [asdict(one) for one in kept]}))
        return
    rows = (Row(one.id, ", ".join(_words(one))) for one in kept)
    write((Rows(tuple(rows)) if kept else Paragraph("None yet."),))


def _words(one: Instrument) -> list[str]:
    checked = f"last checked {one.last_check}" if one.last_check else ""
    return [word for word in (one.kind, one.name, one.accuracy, checked, "retired" if one.retired else "") if word]
