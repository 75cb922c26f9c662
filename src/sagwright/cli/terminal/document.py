"""What a command shows, as blocks that know nothing of terminals; layout.py makes lines of them."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum, auto

from sagwright.phrases.labelled import LabelledLine


class Tone(Enum):
    """What a piece of text means; a writer with colours may show it, and the words say it without."""

    PLAIN = auto()
    STRONG = auto()
    SOFT = auto()
    FOUND = auto()
    TARGET = auto()
    REFUSE = auto()
    ASK = auto()
    DANGER = auto()
    WARNING = auto()
    CAUTION = auto()
    NOTICE = auto()


@dataclass(frozen=True, slots=True)
class Heading:
    """The start of a section."""

    text: str


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Running text; empty for an empty line."""

    text: str
    tone: Tone = Tone.PLAIN


@dataclass(frozen=True, slots=True)
class Banner:
    """One line that starts something: what it is, and at the right edge a mark and an aside."""

    lead: str
    text: str
    mark: str = ""
    aside: str = ""


@dataclass(frozen=True, slots=True)
class TextRow:
    """A lead in its own column, coloured by its tone, and text beside it."""

    lead: str
    text: str
    tone: Tone = Tone.SOFT


@dataclass(frozen=True, slots=True)
class TextRows:
    """Rows whose leads share a column of at least `lead_width`."""

    rows: tuple[TextRow, ...]
    indent: int = 0
    lead_width: int = 0


def labelled_rows(lines: Iterable[LabelledLine]) -> TextRows:
    """Facts under their labels."""
    return TextRows(tuple(TextRow(line.label, line.text) for line in lines))


@dataclass(frozen=True, slots=True)
class TextColumn:
    """A column's heading, of one or more lines; numbers stand at the right."""

    heading: str
    right: bool = True


@dataclass(frozen=True, slots=True)
class TextLine:
    """One line of a table."""

    cells: tuple[str, ...]
    tone: Tone = Tone.PLAIN


@dataclass(frozen=True, slots=True)
class TextTable:
    """Aligned columns."""

    columns: tuple[TextColumn, ...]
    lines: tuple[TextLine, ...]


Block = Heading | Paragraph | Banner | TextRows | TextTable
TextDocument = tuple[Block, ...]


def visible(text: str) -> str:
    """Text without characters that would steer a terminal: each becomes a replacement character."""
    return "".join("\N{REPLACEMENT CHARACTER}" if _steers(character) else character for character in text)


def _steers(character: str) -> bool:
    return character != "\n" and unicodedata.category(character) in {"Cc", "Cs", "Zl", "Zp"}
