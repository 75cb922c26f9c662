"""Files → trees of text that know their lines. A small, plain part of YAML; nothing in it can run or multiply.

Scalars stay text: `no` is not a boolean and `1:30` not ninety. Anchors, aliases, tags, duplicate keys, several
documents, depth over 20 and files over 1 MB are refused.
"""

from __future__ import annotations

import pathlib
from collections.abc import Iterator
from typing import Final

import yaml
from yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    Event,
    MappingEndEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
)

from sagwright.errors import InputError, MissingValue, UnreadableFile
from sagwright.formats.source.tree import Node, SourceFile, YamlRow, YamlTable, YamlText

LARGEST_FILE: Final = 1_000_000
MOST_DEPTH: Final = 20

_LOADER: Final = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def read_file(path: pathlib.Path) -> YamlTable:
    """The tree of a file.

    Raises
    ------
    UnreadableFile
        If it is not there, no file, too large, not UTF-8, empty or not the YAML that is read here.
    """
    return read_text(_decoded(_bytes(path), str(path)), SourceFile(str(path)))


def read_text(text: str, source: SourceFile) -> YamlTable:
    """The tree of a text; its top must be a map.

    Raises
    ------
    UnreadableFile
        If it is empty or not the YAML that is read here.
    """
    try:
        root = _Builder(source, text).document()
    except yaml.MarkedYAMLError as error:
        raise _not_yaml(source, error) from error
    except (yaml.YAMLError, ValueError, OverflowError) as error:  # the last two: an escape that is no character
        raise UnreadableFile(
            "must be plain text without control characters",
            remedy=f"Remove what cannot be printed ({_first_line(error)}).",
            file=source.name,
        ) from error
    return root


def _bytes(path: pathlib.Path) -> bytes:
    name = str(path)
    try:
        if path.is_dir():
            raise UnreadableFile("must be a file, not a folder", remedy="Name a file in it.", file=name)
        if not path.exists():
            raise UnreadableFile("must be given", remedy="Check the path; nothing has that name.", file=name)
        if not path.is_file():
            raise UnreadableFile("must be an ordinary file", remedy="Save it as a file first.", file=name)
        size = path.stat().st_size
        if size > LARGEST_FILE:
            raise UnreadableFile(
                "must not be larger than 1 MB",
                value=f"{size / 1e6:.1f} MB",
                remedy="A sheet or an intake takes a few kB; check that this is one.",
                file=name,
            )
        with path.open("rb") as stream:
            return stream.read(LARGEST_FILE + 1)[:LARGEST_FILE]
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise UnreadableFile("must be readable", remedy=f"The system says: {reason}.", file=name) from error


def _decoded(data: bytes, name: str) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise UnreadableFile(
            "must be UTF-8 text",
            value=f"byte 0x{data[error.start]:02x}",
            remedy="Save it again with the encoding UTF-8.",
            file=name,
            line=data.count(b"\n", 0, error.start) + 1,
        ) from error


def _not_yaml(source: SourceFile, error: yaml.MarkedYAMLError) -> UnreadableFile:
    mark = error.problem_mark or error.context_mark
    return UnreadableFile(
        "must be readable YAML",
        remedy=f"At this line: {error.problem or error.context}. Look for a missing colon, space or quote.",
        file=source.name,
        line=mark.line + 1 if mark else None,
    )


def _first_line(error: Exception) -> str:
    return str(error).partition("\n")[0]


class _Builder:
    """Makes nodes of events, one after the other, so that a hostile file is refused where it turns hostile."""

    def __init__(self, source: SourceFile, text: str) -> None:
        self._source = source
        self._events: Iterator[Event] = yaml.parse(text, Loader=_LOADER)

    def document(self) -> YamlTable:
        """The only document of the stream."""
        next(self._events)
        start = next(self._events)
        if isinstance(start, StreamEndEvent):
            raise self._refused(start, "must not be empty", "Write it, beginning with its shape.")
        root = self._node(next(self._events), 1)
        next(self._events)
        end = next(self._events)
        if isinstance(end, DocumentStartEvent):
            raise self._refused(end, "must be one document", "Remove the line --- and what follows it.")
        if not isinstance(root, YamlTable):
            raise self._refused(start, "must be keys with values", "Begin with a line like shape: sheet/1.")
        return root

    def _node(self, event: Event, depth: int) -> Node:
        self._check(event, depth)
        line = _line(event)
        node: Node
        if isinstance(event, ScalarEvent):
            event.value.encode("utf-8")  # the pure Python parser lets half a surrogate pair through
            node = YamlText(event.value)
        elif isinstance(event, SequenceStartEvent):
            node = self._row(depth)
        else:
            node = self._table(depth)
        node.source = self._source
        node.line = line
        return node

    def _check(self, event: Event, depth: int) -> None:
        if isinstance(event, AliasEvent) or getattr(event, "anchor", None) is not None:
            raise self._refused(event, "must be written without & and * references", "Write the value out again.")
        if getattr(event, "tag", None) is not None:
            raise self._refused(event, "must be written without ! tags", "Put the text in quotes, or remove the tag.")
        if depth > MOST_DEPTH:
            raise self._refused(event, f"must not be nested deeper than {MOST_DEPTH}", "Nothing here needs that.")

    def _row(self, depth: int) -> YamlRow:
        row = YamlRow()
        while not isinstance(event := next(self._events), SequenceEndEvent):
            row.append(self._node(event, depth + 1))
        return row

    def _table(self, depth: int) -> YamlTable:
        table = YamlTable()
        table.lines = {}
        while not isinstance(event := next(self._events), MappingEndEvent):
            key = self._key(event, depth)
            value_event = next(self._events)
            node = self._node(value_event, depth + 1)
            if fault := self._soft_fault(table, key, value_event):
                self._source.faults.append(fault)
            else:
                table[key] = node
            table.lines.setdefault(key, (self._source, key.line))
        return table

    def _key(self, event: Event, depth: int) -> YamlText:
        if not isinstance(event, ScalarEvent):
            raise self._refused(event, "must have plain words as keys", "Write key: value.")
        self._check(event, depth)
        event.value.encode("utf-8")
        key = YamlText(event.value)
        key.source, key.line = self._source, _line(event)
        return key

    def _soft_fault(self, table: YamlTable, key: YamlText, event: Event) -> InputError | None:
        if key in table.lines:
            first = table.lines[key][1]
            return UnreadableFile(
                "must be written once",
                remedy=f"It was written first on line {first}; remove one of them.",
                file=self._source.name,
                line=key.line,
                field=str(key),
            )
        if isinstance(event, ScalarEvent) and not event.value and not event.style:
            return MissingValue(
                "must have a value",
                remedy="Write one after the colon, or remove the line.",
                file=self._source.name,
                line=key.line,
                field=str(key),
            )
        return None

    def _refused(self, event: Event, rule: str, remedy: str) -> UnreadableFile:
        return UnreadableFile(rule, remedy=remedy, file=self._source.name, line=_line(event))


def _line(event: Event) -> int:
    """The line an event begins on, counted from 1."""
    mark = event.start_mark
    return 1 if mark is None else mark.line + 1
