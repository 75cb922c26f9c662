"""Values of the domain as they come back from where they are stored."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace


def as_stored(value: object) -> object:
    """The same without what no JSON has: how a value was typed, and how a step ended."""
    if isinstance(value, tuple):
        return tuple(map(as_stored, value))
    if not is_dataclass(value) or isinstance(value, type):
        return value
    parts = {one.name: as_stored(getattr(value, one.name)) for one in fields(value)}
    return replace(
        value, **parts | {name: lost for name, lost in {"as_written": "", "failed": ()}.items() if name in parts}
    )
