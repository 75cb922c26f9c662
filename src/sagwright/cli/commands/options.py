"""What several commands read from their command line."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

from sagwright.errors import InputError

if TYPE_CHECKING:
    from sagwright.units import UnitChoice


def as_day(_context: click.Context, parameter: click.Parameter, value: str | None) -> str | None:
    """Reads a day of the calendar, year-month-day, for click; an empty text stays one.

    Raises
    ------
    WrongUnit
        If it is none.
    """
    from sagwright.formats.fields.kinds import Day

    with named_option(parameter.opts[0] if parameter.opts[0].startswith("-") else parameter.opts[0].upper()):
        return str(Day().read(value)) if value else value


@contextmanager
def named_option(argument: str) -> Iterator[None]:
    """Names the argument in a fault that has no other place."""
    try:
        yield
    except InputError as error:
        raise (error if error.file else error.at(file=None, line=None, field=argument)) from None


def unit_choice(units: str, *, comma: bool) -> UnitChoice:
    """The units and the decimal mark asked for.

    Raises
    ------
    WrongUnit
        If a name is no unit, or two units of one quantity are named.
    """
    from sagwright.units import UnitChoice, choose_units

    with named_option("--units"):
        return choose_units(units, base=UnitChoice(decimal="," if comma else "."))
