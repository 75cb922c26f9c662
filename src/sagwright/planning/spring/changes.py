"""The mechanical differences from one build to another, and the build that they make of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Any

from sagwright.domain.build import Build, Change, CoilFitting, ShaftSetting, StackSetting, TopOutSetting

COIL_FIELDS = ("coil", "preload_spacers", "adjuster")
FIELDS = (
    "travel_spacers",
    "equaliser_hole",
    "shaft_travel",
    "top_out_spacers",
    "volume_spacers",
    *COIL_FIELDS,
    "legs",
    "charge",
)
"""What can change, in the order it is told."""


def changes_between(before: Build, after: Build) -> tuple[Change, ...]:
    """What must change; an unknown value always must, because it has to be looked at.

    Raises
    ------
    ValueError
        If the builds are not of one chassis and one mechanism: no work at a stand turns one into the other.
    """
    if before.chassis != after.chassis or type(before.setting) is not type(after.setting):
        raise ValueError("the builds are not of one unit")
    was, becomes = _values(before), _values(after)
    return tuple(Change(field, was[field], becomes[field]) for field in FIELDS if was.get(field) != becomes.get(field))


def applied(changes: Iterable[Change], build: Build) -> Build:
    """The build after the changes.

    Raises
    ------
    ValueError
        If a change starts from another value than the build has.
    """
    values = _values(build)
    for change in changes:
        if values[change.field] != change.before:
            raise ValueError(f"{change.field} is {values[change.field]!r}, not {change.before!r}")
        values[change.field] = change.after
    return _with(build, values)


def _values(build: Build) -> dict[str, Any]:
    loose = {"volume_spacers": build.volume_spacers, "legs": build.legs, "charge": build.charge}
    fitted = {} if build.fitting is None else {name: getattr(build.fitting, name) for name in COIL_FIELDS}
    return dict(_settings(build)) | loose | fitted


def _settings(build: Build) -> Iterator[tuple[str, Any]]:
    if isinstance(build.setting, StackSetting):
        yield "travel_spacers", build.setting.travel_spacers
        yield "equaliser_hole", build.setting.equaliser_hole
    elif isinstance(build.setting, TopOutSetting):
        yield "top_out_spacers", build.setting.top_out_spacers
    else:
        yield "shaft_travel", build.setting.shaft_travel


def _with(build: Build, values: dict[str, Any]) -> Build:
    return replace(
        build,
        setting=_setting(build, values),
        fitting=None if build.fitting is None else CoilFitting(**{name: values[name] for name in COIL_FIELDS}),
        **{field: values[field] for field in ("volume_spacers", "legs", "charge")},
    )


def _setting(build: Build, values: dict[str, Any]) -> StackSetting | ShaftSetting | TopOutSetting:
    if isinstance(build.setting, StackSetting):
        return StackSetting(values["travel_spacers"], values["equaliser_hole"])
    if isinstance(build.setting, TopOutSetting):
        return TopOutSetting(values["top_out_spacers"])
    return ShaftSetting(values["shaft_travel"])
