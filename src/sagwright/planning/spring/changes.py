"""The mechanical differences from one setup to another, and the setup that they make of it."""

from __future__ import annotations

from collections.abc import Iterable

from sagwright.domain.settings import SETTINGS
from sagwright.domain.setup import Change, Setup


def changes_between(before: Setup, after: Setup) -> tuple[Change, ...]:
    """What must change; an unknown value always must, because it has to be looked at.

    Raises
    ------
    ValueError
        If the setups are not of one chassis and one mechanism: no work at a stand turns one into the other.
    """
    if before.chassis != after.chassis or type(before.setting) is not type(after.setting):
        raise ValueError("the setups are not of one unit")
    rows = [row for row in SETTINGS if row.has(before)]
    return tuple(Change(row.key, row.of(before), row.of(after)) for row in rows if row.of(before) != row.of(after))


def applied(changes: Iterable[Change], setup: Setup) -> Setup:
    """The setup after the changes.

    Raises
    ------
    ValueError
        If a change starts from another value than the setup has.
    """
    rows = {row.key: row for row in SETTINGS if row.has(setup)}
    for change in changes:
        row = rows[change.field]
        if row.of(setup) != change.before:
            raise ValueError(f"{change.field} is {row.of(setup)!r}, not {change.before!r}")
        setup = row.put(setup, change.after)
    return setup
