"""What several commands read from their command line."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from sagwright.errors import InputError

if TYPE_CHECKING:
    from sagwright.units import Choice


@contextmanager
def named(argument: str) -> Iterator[None]:
    """Names the argument in a fault that has no other place."""
    try:
        yield
    except InputError as error:
        raise (error if error.file else error.at(file=None, line=None, field=argument)) from None


def unit_choice(units: str, *, comma: bool) -> Choice:
    """The units and the decimal mark asked for.

    Raises
    ------
    WrongUnit
        If a name is no unit, or two units of one quantity are named.
    """
    from sagwright.units import Choice, choose

    with named("--units"):
        return choose(units, base=Choice(decimal="," if comma else "."))
