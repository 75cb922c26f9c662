"""Texts by path as YAML, every value written as the text it is."""

from __future__ import annotations

from typing import Any, Final

import yaml

WIDE: Final = 120


class _Plain(yaml.SafeDumper):
    """Text is written out each time: what is read here has no references."""

    def ignore_aliases(self, _data: object) -> bool:
        """Every value stands for itself."""
        return True


def put(tree: dict[str, Any], path: str, value: object) -> None:
    """A value at a path like "spring.bore"; what is on the way to it is made."""
    *tables, last = path.split(".")
    for part in tables:
        tree = tree.setdefault(part, {})
    tree[last] = value


def dumped(tree: dict[str, Any]) -> str:
    """A tree as text, in its own order."""
    return str(yaml.dump(tree, Dumper=_Plain, sort_keys=False, allow_unicode=True, width=WIDE))
