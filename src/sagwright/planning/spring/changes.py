"""The mechanical differences from one setup to another, and the setup that they make of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Any

from sagwright.domain.setup import Change, CoilFitting, Setup, ShaftSetting, StackSetting, TopOutSetting

COIL_FIELDS = ("coil", "preload_spacers", "adjuster")
_FIELDS = (
    "travel_spacers",
    "port_position",
    "shaft_travel",
    "top_out_spacers",
    "volume_spacers",
    *COIL_FIELDS,
    "legs",
    "charge",
)
"""What can change, in the order it is told."""


def changes_between(before: Setup, after: Setup) -> tuple[Change, ...]:
    """What must change; an unknown value always must, because it has to be looked at.

    Raises
    ------
    ValueError
        If the setups are not of one chassis and one mechanism: no work at a stand turns one into the other.
    """
    if before.chassis != after.chassis or type(before.setting) is not type(after.setting):
        raise ValueError("the setups are not of one unit")
    was, becomes = _values(before), _values(after)
    return tuple(Change(field, was[field], becomes[field]) for field in _FIELDS if was.get(field) != becomes.get(field))


def applied(changes: Iterable[Change], setup: Setup) -> Setup:
    """The setup after the changes.

    Raises
    ------
    ValueError
        If a change starts from another value than the setup has.
    """
    values = _values(setup)
    for change in changes:
        if values[change.field] != change.before:
            raise ValueError(f"{change.field} is {values[change.field]!r}, not {change.before!r}")
        values[change.field] = change.after
    return _with(setup, values)


def _values(setup: Setup) -> dict[str, Any]:
    loose = {"volume_spacers": setup.volume_spacers, "legs": setup.legs, "charge": setup.charge}
    fitted = {} if setup.fitting is None else {name: getattr(setup.fitting, name) for name in COIL_FIELDS}
    return dict(_settings(setup)) | loose | fitted


def _settings(setup: Setup) -> Iterator[tuple[str, Any]]:
    if isinstance(setup.setting, StackSetting):
        yield "travel_spacers", setup.setting.travel_spacers
        yield "port_position", setup.setting.port_position
    elif isinstance(setup.setting, TopOutSetting):
        yield "top_out_spacers", setup.setting.top_out_spacers
    else:
        yield "shaft_travel", setup.setting.shaft_travel


def _with(setup: Setup, values: dict[str, Any]) -> Setup:
    return replace(
        setup,
        setting=_setting(setup, values),
        fitting=None if setup.fitting is None else CoilFitting(**{name: values[name] for name in COIL_FIELDS}),
        **{field: values[field] for field in ("volume_spacers", "legs", "charge")},
    )


def _setting(setup: Setup, values: dict[str, Any]) -> StackSetting | ShaftSetting | TopOutSetting:
    if isinstance(setup.setting, StackSetting):
        return StackSetting(values["travel_spacers"], values["port_position"])
    if isinstance(setup.setting, TopOutSetting):
        return TopOutSetting(values["top_out_spacers"])
    return ShaftSetting(values["shaft_travel"])
