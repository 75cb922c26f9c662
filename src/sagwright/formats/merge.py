"""One sheet on top of another: maps by key, lists whole, and a marker that takes an inherited key away."""

from __future__ import annotations

from typing import Final

from sagwright.errors import InputError, UnknownKey
from sagwright.formats.nodes import Node, Path, Table, Text, located
from sagwright.units import nearest

LEFT_OUT: Final = "left out"
"""Written in the place of a value, takes away what would be inherited."""


def merged(base: Table, over: Table, faults: list[InputError], path: Path = ()) -> Table:
    """What `over` says, on top of what `base` says; every node keeps its own file and line.

    Faults of the markers are added to `faults`.
    """
    result = Table(base)
    result.source, result.line, result.lines = over.source, over.line, {**base.lines, **over.lines}
    for key, node in over.items():
        _lay(result, key, node, (faults, (*path, key)))
    return result


def _lay(result: Table, key: str, node: Node, rest: tuple[list[InputError], Path]) -> None:
    faults, path = rest
    below = result.get(key)
    if isinstance(node, Text) and node == LEFT_OUT:
        if below is None:
            faults.append(_nothing_there(result, key, node, path))
        result.pop(key, None)
    elif isinstance(node, Table):
        empty = Table()
        empty.lines = {}
        result[key] = merged(below if isinstance(below, Table) else empty, node, faults, path)
    else:
        result[key] = node


def _nothing_there(table: Table, key: str, node: Text, path: Path) -> InputError:
    near = nearest(key, table)
    fault = UnknownKey(
        "cannot be left out, for nothing is inherited under that key",
        remedy=f"Did you mean {near}?" if near else "Remove the line.",
    )
    return located(fault, node, path)
