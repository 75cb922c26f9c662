"""A spec sheet from its file, checked, and from the texts that a workshop stores."""

from __future__ import annotations

import hashlib
import pathlib
from collections.abc import Iterator, Mapping
from functools import cache, lru_cache

from sagwright.domain.records.entities import SheetDifference, SheetRevision
from sagwright.domain.sheet import Sheet
from sagwright.errors import MissingValue, UnreadableFile
from sagwright.formats.faults import Faults, expect_shape, shaped
from sagwright.formats.json_text import compact
from sagwright.formats.sheet.catalogue import MOST_LAYERS, FoundSheet, find_sheet, shipped_sheets, shipped_text
from sagwright.formats.sheet.checks.items import check_items
from sagwright.formats.sheet.checks.values import check_sheet_values
from sagwright.formats.sheet.compose import built
from sagwright.formats.sheet.shape import SHEET, SheetShape
from sagwright.formats.source.reader import read_text
from sagwright.formats.source.tree import Node, SourceFile, YamlRow, YamlTable, YamlText

Texts = tuple[tuple[str, str], ...]


def load_sheet(
    name: str | pathlib.Path,
    *,
    beside: pathlib.Path | None = None,
    files: bool = True,
    texts: Mapping[str, str] | None = None,
) -> Sheet:
    """A sheet with everything it extends merged in.

    Parameters
    ----------
    name : str or Path
        A shipped name, "specimen/t35", or a path.
    beside : Path, optional
        The folder a relative path starts from; left out, the current one.
    files : bool
        False for names from strangers: then only shipped sheets are found.
    texts : mapping of str to str, optional
        Sheets by name that come before the shipped ones.

    Raises
    ------
    UnreadableFile
        If it is not there or cannot be read.
    InputError, InputErrors
        Everything that is wrong with what it says, with file and line.
    """
    if not texts and str(name) in shipped_sheets():
        return _shipped_sheet(str(name))
    return _checked(find_sheet(str(name), beside=beside, files=files, texts=texts))


@cache
def _shipped_sheet(name: str) -> Sheet:
    """A sheet that comes with the package, read once."""
    return _checked(find_sheet(name, files=False))


def _checked(found: FoundSheet) -> Sheet:
    """The sheet that a tree says; errors as `load_sheet`."""
    expect_shape(found.root, SHEET, what="a sheet")
    faults = Faults(found.root, found.faults)
    shape = shaped(found.root, SheetShape, faults)
    sheet = built(shape, found.name, found.base, faults)
    check_sheet_values(sheet, faults)
    check_items(sheet, faults)
    faults.raise_any()
    return sheet


def shipped(key: str) -> str:
    """The text of a shipped sheet.

    Raises
    ------
    UnreadableFile
        If there is none of that name.
    """
    text = shipped_text(key)
    if text is None:
        find_sheet(key, files=False)
        raise UnreadableFile("must name a sheet that is there", value=key)
    return text


def extended(key: str, text: str, known: Mapping[str, str]) -> Texts:
    """The sheets that a text extends, nearest first, each as it is: those known, else those shipped.

    Raises
    ------
    InputError
        If one of them is not there, or they extend each other in a ring.
    """
    found: dict[str, str] = {}
    name = _extends(key, text)
    while name and len(found) < MOST_LAYERS and name not in {key, *found}:
        found[name] = known[name] if name in known else shipped(name)
        name = _extends(name, found[name])
    return tuple(found.items())


def _extends(name: str, text: str) -> str:
    node = read_text(text, SourceFile(f"{name}.yaml")).get("extends")
    return str(node) if isinstance(node, YamlText) else ""


def digest_of(key: str, text: str, inputs: Texts) -> str:
    """What a sheet's revision is named by."""
    return hashlib.sha256(compact([key, text, [list(one) for one in inputs]]).encode()).hexdigest()[:32]


def sheet_of(revision: SheetRevision) -> Sheet:
    """The sheet that a revision says; errors as `load_sheet`."""
    return read_sheet(revision.key, revision.text, revision.inputs)


@lru_cache(maxsize=64)
def read_sheet(key: str, text: str, inputs: Texts) -> Sheet:
    """The sheet composed from texts, one object as long as it is in use; errors as `load_sheet`."""
    return load_sheet(key, files=False, texts={**dict(inputs), key: text})


def require_stated_revision(text: str, key: str) -> None:
    """Nothing, if a text states its own revision.

    Raises
    ------
    InputError
    """
    root = read_text(text, SourceFile(f"{key}.yaml"))
    expect_shape(root, SHEET, what="a sheet")
    if "revision" not in root:
        raise MissingValue("must be given", field="revision", file=f"{key}.yaml", remedy="Write revision: 1.")


def sheet_differences(before: SheetRevision, after: SheetRevision) -> tuple[SheetDifference, ...]:
    """Every value that the one writes differently from the other, with all that both extend, by path."""
    old, new = (dict(_values(_merged(one), "")) for one in (before, after))
    paths = sorted(path for path in {*old, *new} if old.get(path) != new.get(path))
    return tuple(SheetDifference(path, old.get(path), new.get(path)) for path in paths)


def _merged(revision: SheetRevision) -> YamlTable:
    texts = {**dict(revision.inputs), revision.key: revision.text}
    return find_sheet(revision.key, files=False, texts=texts).root


def _values(node: Node, path: str) -> Iterator[tuple[str, str]]:
    if isinstance(node, YamlTable):
        for key, value in node.items():
            yield from _values(value, f"{path}.{key}" if path else str(key))
    elif isinstance(node, YamlRow):
        for number, value in enumerate(node):
            yield from _values(value, f"{path}.{number}")
    else:
        yield path, str(node)
