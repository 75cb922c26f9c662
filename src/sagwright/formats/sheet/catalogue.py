"""Spec sheets by name: those shipped with the package, and files beside the one that names them; one laid over another.

Maps are merged by key, lists replaced whole, and a marker takes an inherited key away.
"""

from __future__ import annotations

import pathlib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable
from typing import Final

from sagwright.domain.value import Origin
from sagwright.errors import InputError, OutOfRange, UnknownKey, UnreadableFile
from sagwright.formats.source.reader import read_file, read_text
from sagwright.formats.source.tree import FieldPath, Node, SourceFile, YamlTable, YamlText, located
from sagwright.units import nearest

LEFT_OUT: Final = "left out"
"""Written in the place of a value, takes away what would be inherited."""

SHEET_NAME: Final = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*(?:/[a-z0-9]+(?:-[a-z0-9]+)*)*", re.ASCII)
_SHELVES: Final = ("bases", "sheets")
MOST_LAYERS: Final = 10


def merged(base: YamlTable, over: YamlTable, faults: list[InputError], path: FieldPath = ()) -> YamlTable:
    """What `over` says, on top of what `base` says; every node keeps its own file and line.

    Faults of the markers are added to `faults`.
    """
    result = YamlTable(base)
    result.source, result.line, result.lines = over.source, over.line, {**base.lines, **over.lines}
    for key, node in over.items():
        _lay(result, key, node, (faults, (*path, key)))
    return result


def _lay(result: YamlTable, key: str, node: Node, rest: tuple[list[InputError], FieldPath]) -> None:
    faults, path = rest
    below = result.get(key)
    if isinstance(node, YamlText) and node == LEFT_OUT:
        if below is None:
            faults.append(_nothing_there(result, key, node, path))
        result.pop(key, None)
    elif isinstance(node, YamlTable):
        empty = YamlTable()
        empty.lines = {}
        result[key] = merged(below if isinstance(below, YamlTable) else empty, node, faults, path)
    else:
        result[key] = node


def _nothing_there(table: YamlTable, key: str, node: YamlText, path: FieldPath) -> InputError:
    near = nearest(key, table)
    fault = UnknownKey(
        "cannot be left out, for nothing is inherited under that key",
        remedy=f"Did you mean {near}?" if near else "Remove the line.",
    )
    return located(fault, node, path)


@dataclass(frozen=True, slots=True)
class FoundSheet:
    """A sheet's tree with everything it extends merged in.

    Attributes
    ----------
    root : YamlTable
    name : str
        The shipped name, or the file's name without its ending.
    base : str
        The nearest shipped base sheet under it; empty if there is none.
    faults : tuple of InputError
        What is wrong with the files already.
    """

    root: YamlTable
    name: str
    base: str
    faults: tuple[InputError, ...]


@dataclass(frozen=True, slots=True)
class _Layer:
    """One file of a chain: its tree, what it is called, and where paths in it start from."""

    root: YamlTable
    name: str
    key: str
    folder: pathlib.Path | None
    shelf: str = ""


@cache
def _shelf(shelf: str) -> dict[str, Traversable]:
    """Every file of a shelf by its shipped name."""
    return dict(_files(resources.files("sagwright.formats") / "data" / shelf, ""))


def _files(folder: Traversable, prefix: str) -> list[tuple[str, Traversable]]:
    found: list[tuple[str, Traversable]] = []
    for entry in sorted(folder.iterdir(), key=lambda each: each.name):
        if entry.is_dir():
            found += _files(entry, f"{prefix}{entry.name}/")
        elif entry.name.endswith(".yaml"):
            found.append((prefix + entry.name.removesuffix(".yaml"), entry))
    return found


def shipped_bases() -> tuple[str, ...]:
    """The names of the base sheets that come with the package."""
    return tuple(_shelf("bases"))


def shipped_sheets() -> tuple[str, ...]:
    """The names of the demo sheets that come with the package."""
    return tuple(_shelf("sheets"))


def shipped_text(name: str) -> str | None:
    """The text of a shipped sheet or base sheet; None if there is none of that name."""
    return next((_shelf(shelf)[name].read_text("utf-8") for shelf in _SHELVES if name in _shelf(shelf)), None)


def find_sheet(
    name: str,
    *,
    beside: pathlib.Path | None = None,
    files: bool = True,
    texts: Mapping[str, str] | None = None,
) -> FoundSheet:
    """The tree of a sheet with everything it extends merged in.

    Parameters
    ----------
    name : str
        A shipped name, or a path.
    beside : Path, optional
        The folder that a relative path starts from; left out, the current one.
    files : bool
        Whether paths may be followed at all; shipped names always are.
    texts : mapping of str to str, optional
        Sheets by name that come before the shipped ones.

    Raises
    ------
    UnreadableFile
        If there is no such sheet or it cannot be read.
    OutOfRange
        If sheets extend each other in a ring.
    """
    known = texts or {}
    top = _open(name, beside, files=files, texts=known)
    if top is None:
        raise _no_such_sheet(name, beside, files=files)
    layers = [top]
    while "extends" in layers[-1].root:
        layers.append(_below(layers, files=files, texts=known))
    return _stacked(layers)


def _below(layers: list[_Layer], *, files: bool, texts: Mapping[str, str]) -> _Layer:
    """The layer that the last one extends."""
    top = layers[-1]
    node = top.root["extends"]
    if not isinstance(node, YamlText):
        fault = UnreadableFile("must be the name of one sheet", remedy="Write one name on the same line.")
        raise located(fault, top.root, ("extends",))
    below = _open(node, top.folder, files=files, texts=texts)
    if below is None:
        raise located(_no_such_sheet(node, top.folder, files=files), top.root, ("extends",))
    if len(layers) >= MOST_LAYERS or any(below.key == layer.key for layer in layers):
        chain = " → ".join([*(layer.name for layer in layers), below.name])
        ring = OutOfRange("must not lead back to itself", value=str(node), remedy=f"The chain is {chain}.")
        raise located(ring, top.root, ("extends",))
    return below


def _stacked(layers: list[_Layer]) -> FoundSheet:
    faults = [fault for layer in layers for fault in _source(layer).faults]
    root = layers[-1].root
    for layer in reversed(layers[:-1]):
        root = merged(root, layer.root, faults)
    root.pop("extends", None)
    shelf = next((layer.name for layer in layers if layer.shelf == "bases"), "")
    return FoundSheet(root, layers[0].name, shelf, tuple(faults))


def _source(layer: _Layer) -> SourceFile:
    return layer.root.source


def _open(name: str, folder: pathlib.Path | None, *, files: bool, texts: Mapping[str, str]) -> _Layer | None:
    """The sheet of that name, given, shipped or beside; None if there is none."""
    if name in texts:
        shelf = next((one for one in _SHELVES if name in _shelf(one)), "")
        root = read_text(texts[name], SourceFile(f"{name}.yaml"))
        return _Layer(_with_origin(root), str(name), f"text:{name}", None, shelf)
    for shelf in _SHELVES:
        if SHEET_NAME.fullmatch(name) and name in _shelf(shelf):
            source = SourceFile(f"{name}.yaml (shipped)")
            root = read_text(_shelf(shelf)[name].read_text("utf-8"), source)
            return _Layer(_with_origin(root), str(name), f"shipped:{name}", None, shelf)
    path = (folder or pathlib.Path()) / name
    if not files or not _exists(path):
        return None
    return _Layer(_with_origin(read_file(path)), path.stem, str(path.resolve()), path.parent)


def _exists(path: pathlib.Path) -> bool:
    try:
        return path.exists()
    except (OSError, ValueError):
        return False


def _no_such_sheet(name: str, folder: pathlib.Path | None, *, files: bool) -> UnreadableFile:
    known = [*shipped_sheets(), *shipped_bases()]
    near = nearest(name, [*known, *(_beside(folder) if files else [])])
    meant = f"Did you mean {near}? " if near else ""
    return UnreadableFile(
        "must name a sheet that is there", value=name, remedy=f"{meant}Shipped are: {', '.join(known)}."
    )


def _beside(folder: pathlib.Path | None) -> list[str]:
    """The YAML files in a folder, for "did you mean"."""
    try:
        return sorted(path.name for path in (folder or pathlib.Path()).glob("*.y*ml"))[:200]
    except (OSError, ValueError):
        return []


def _with_origin(root: YamlTable) -> YamlTable:
    """Gives a file's source the origin the file states; a wrong one is found by the shape later."""
    stated = root.get("origin")
    if isinstance(stated, YamlText) and str(stated) in {origin.value for origin in Origin}:
        root.source.origin = Origin(str(stated))
    return root
