"""The mechanical differences from one build to another, and the build that they make of it."""

from __future__ import annotations

from collections.abc import Iterable

from sagwright.domain.build import Build, Change
from sagwright.domain.settings import SETTINGS


def changes_between(before: Build, after: Build) -> tuple[Change, ...]:
    """What must change; an unknown value always must, because it has to be looked at.

    Raises
    ------
    ValueError
        If the builds are not of one chassis and one mechanism: no work at a stand turns one into the other.
    """
    if before.chassis != after.chassis or type(before.setting) is not type(after.setting):
        raise ValueError("the builds are not of one unit")
    rows = [row for row in SETTINGS if row.has(before)]
    return tuple(Change(row.key, row.of(before), row.of(after)) for row in rows if row.of(before) != row.of(after))


def applied(changes: Iterable[Change], build: Build) -> Build:
    """The build after the changes.

    Raises
    ------
    ValueError
        If a change starts from another value than the build has.
    """
    rows = {row.key: row for row in SETTINGS if row.has(build)}
    for change in changes:
        row = rows[change.field]
        if row.of(build) != change.before:
            raise ValueError(f"{change.field} is {row.of(build)!r}, not {change.before!r}")
        build = row.put(build, change.after)
    return build
