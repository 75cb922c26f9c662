"""What a file says and where: text, lists and maps that know their file and line; and texts by path, back as YAML."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Final

import yaml

from sagwright.domain.value import Origin
from sagwright.errors import InputError

_WIDE: Final = 120


@dataclass(slots=True, eq=False)
class SourceFile:
    """One file being read.

    Attributes
    ----------
    name : str
        The path as given, or the name of a shipped file.
    origin : Origin
        Of every value in it that does not say otherwise.
    faults : list of InputError
        What is wrong with it but does not keep the rest from being read.
    """

    name: str
    origin: Origin = Origin.TYPICAL
    faults: list[InputError] = field(default_factory=list)


class YamlText(str):
    """A scalar: text as written."""

    __slots__ = ("line", "source")
    source: SourceFile
    line: int


class YamlRow(list["Node"]):
    """A list."""

    __slots__ = ("line", "source")
    source: SourceFile
    line: int


class YamlTable(dict[str, "Node"]):
    """A map; `lines` has the place of every key."""

    __slots__ = ("line", "lines", "source")
    source: SourceFile
    line: int
    lines: dict[str, tuple[SourceFile, int]]


Node = YamlText | YamlRow | YamlTable
FieldPath = tuple[str | int, ...]


def step(node: Node | None, part: str | int) -> Node | None:
    """What stands under a key or an index; None where nothing does."""
    if isinstance(node, YamlTable) and isinstance(part, str):
        return node.get(part)
    if isinstance(node, YamlRow) and isinstance(part, int) and part < len(node):
        return node[part]
    return None


def place(root: Node, path: FieldPath) -> tuple[SourceFile, int]:
    """Where a path was written: its key if it is there, else the nearest thing around it."""
    node, found = root, (root.source, root.line)
    for part in path:
        if isinstance(node, YamlTable) and part in node.lines:
            found = node.lines[str(part)]
        inner = step(node, part)
        if inner is None:
            return found
        if isinstance(node, YamlRow):
            found = (inner.source, inner.line)
        node = inner
    return found


def dotted(path: FieldPath) -> str:
    """A path as people read it: "items.air_cap.on.tools[1]", lists counted from 1."""
    text = ""
    for part in path:
        text += f"[{part + 1}]" if isinstance(part, int) else f".{part}"
    return text.removeprefix(".")


def text_at(root: Node, path: FieldPath) -> str | None:
    """The scalar at a path as written; None if there is none."""
    node: Node | None = root
    for part in path:
        node = step(node, part)
    return str(node) if isinstance(node, YamlText) else None


def located(fault: InputError, root: Node, path: FieldPath) -> InputError:
    """A fault with file, line and field filled in from where its path was written."""
    source, line = place(root, path)
    return fault.at(file=source.name, line=line, field=dotted(path) or None)


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


def dump_yaml(tree: dict[str, Any]) -> str:
    """A tree as text, in its own order."""
    return str(yaml.dump(tree, Dumper=_Plain, sort_keys=False, allow_unicode=True, width=_WIDE))
