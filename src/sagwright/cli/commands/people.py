"""`sagwright customer`, `unit` and `instrument`: groups for people, units and the instruments that make readings."""

from __future__ import annotations

import secrets
from typing import TYPE_CHECKING

import click

from sagwright.cli.commands.options import as_day
from sagwright.cli.commands.record_options import as_json, now, opened_workshop, workshop

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sagwright.domain.records.entities import Customer, Instrument


@click.group()
def customer_group() -> None:
    """Find customers, give out what is kept about one, change it, and erase it."""


@customer_group.command()
@click.argument("words", nargs=-1)
@workshop
@as_json
def find(words: tuple[str, ...], *, workshop: str | None, as_json: bool) -> None:
    """Find customers by all WORDS of their name; the first 100 if there are none."""
    from sagwright.service.workshop.customers import find_customers

    with opened_workshop(workshop) as store:
        found = find_customers(store, " ".join(words))
    _write_customers(found, as_json=as_json)


@customer_group.command()
@click.argument("customer")
@workshop
def export_command(customer: str, *, workshop: str | None) -> None:
    """Print everything that is kept about the CUSTOMER with an id, for the customer, as JSON (customer/1)."""
    from sagwright.cli.terminal.output import write_json
    from sagwright.service.workshop.customers import export_customer

    with opened_workshop(workshop) as store:
        write_json(export_customer(store, customer))


@customer_group.command()
@click.argument("customer")
@click.option("--name", required=True, help="By which they are called from now on.")
@click.option("--contact", default="", metavar="TEXT", help="One way to reach them.")
@workshop
@as_json
def rename_command(customer: str, *, name: str, contact: str, workshop: str | None, as_json: bool) -> None:
    """Give the CUSTOMER with an id another name or contact."""
    from sagwright.service.workshop.customers import rename as change

    with opened_workshop(workshop) as store:
        _write_customers([change(store, customer, name=name, contact=contact)], as_json=as_json)


@customer_group.command()
@click.argument("customer")
@click.option("--by", required=True, envvar="SAGWRIGHT_BY", show_envvar=True, metavar="NAME", help="Who erases.")
@click.option("--yes", is_flag=True, help="Do not ask.")
@workshop
@as_json
def erase(customer: str, *, by: str, yes: bool, workshop: str | None, as_json: bool) -> None:
    """Erase name and contact of the CUSTOMER with an id, for ever; the jobs stay whole, under the id.

    Backups and exports that were written before still hold them.
    """
    from sagwright.service.workshop.customers import erase_customer_of as forget
    from sagwright.service.workshop.customers import records_of_customer

    with opened_workshop(workshop) as store:
        named = records_of_customer(store, customer)[0].name
        if not yes:
            click.confirm(f"Erase name and contact of {named or 'this customer'} for ever?", abort=True, err=True)
        _write_customers([forget(store, customer, at=now(), by=by)], as_json=as_json)


def _write_customers(found: Sequence[Customer], *, as_json: bool) -> None:
    from dataclasses import asdict

    from sagwright.cli.terminal.document import Paragraph, TextRow, TextRows
    from sagwright.cli.terminal.output import write, write_json
    from sagwright.formats.json_text import dump_json

    if as_json:
        write_json(dump_json({"shape": "customers/1", "customers": [asdict(one) for one in found]}))
    elif found:
        rows = (TextRow(one.name or "(erased)", f"{one.contact or 'no contact'}, id {one.id}") for one in found)
        write((TextRows(tuple(rows)),))
    else:
        write((Paragraph("No customer has all these words in the name."),))


@click.group()
def unit() -> None:
    """What is known of a fork or shock that was here before."""


@unit.command()
@click.argument("serial")
@workshop
@as_json
def history(serial: str, *, workshop: str | None, as_json: bool) -> None:
    """Show everything that happened to the unit with a SERIAL number, across customers, oldest first."""
    from sagwright.cli.terminal.output import write, write_json
    from sagwright.cli.views.jobs import history_document
    from sagwright.formats.records.jobs import history_to_json
    from sagwright.service.jobs.queries import history_of_serial as look

    with opened_workshop(workshop) as store:
        units = look(store, serial)
    if as_json:
        write_json(history_to_json([(one.unit, one.jobs) for one in units]))
    else:
        write(history_document(units, serial))


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
def add(*, key: str | None, workshop: str | None, as_json: bool, **told: str) -> None:
    """Keep a tool of a KIND, like "shock pump", under a NAME, like "pump 2"."""
    from sagwright.domain.records.entities import Instrument
    from sagwright.service.workshop.records import list_instruments, save_instrument

    made = Instrument(
        key or secrets.token_hex(8),
        told["kind"],
        told["name"],
        told["accuracy"],
        told["last_check"] or None,
        retired=bool(told["retired"]),
    )
    with opened_workshop(workshop, new=True) as store:
        save_instrument(store, made)
        kept = [one for one in list_instruments(store) if one.id == made.id]
    _write_instruments(kept, as_json=as_json)


@instrument.command("list")
@workshop
@as_json
def list_(*, workshop: str | None, as_json: bool) -> None:
    """List every tool that makes readings, retired ones too."""
    from sagwright.service.workshop.records import list_instruments

    with opened_workshop(workshop) as store:
        kept = list(list_instruments(store))
    _write_instruments(kept, as_json=as_json)


def _write_instruments(kept: Sequence[Instrument], *, as_json: bool) -> None:
    from dataclasses import asdict

    from sagwright.cli.terminal.document import Paragraph, TextRow, TextRows
    from sagwright.cli.terminal.output import write, write_json
    from sagwright.formats.json_text import dump_json

    if as_json:
        write_json(dump_json({"shape": "instruments/1", "instruments": [asdict(one) for one in kept]}))
        return
    rows = (TextRow(one.id, ", ".join(_words(one))) for one in kept)
    write((TextRows(tuple(rows)) if kept else Paragraph("None yet."),))


def _words(one: Instrument) -> list[str]:
    checked = f"last checked {one.last_check}" if one.last_check else ""
    return [word for word in (one.kind, one.name, one.accuracy, checked, "retired" if one.retired else "") if word]
