"""Where an answer goes: a terminal, in colours where it has them; a pipe, as plain text; or a file."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

import click

from sagwright.cli.terminal.document import TextDocument, Tone
from sagwright.cli.terminal.layout import Spans, laid_out
from sagwright.errors import UnreadableFile

if TYPE_CHECKING:
    from rich.console import Console


_WIDEST = 110  # longer lines are hard to follow
STYLES = {
    Tone.PLAIN: "",
    Tone.STRONG: "bold",
    Tone.SOFT: "dim",
    Tone.FOUND: "color(68)",
    Tone.TARGET: "bold color(166)",
    Tone.REFUSE: "bold",
    Tone.ASK: "bold",
    Tone.DANGER: "bold white on color(160)",
    Tone.WARNING: "bold black on color(208)",
    Tone.CAUTION: "bold black on color(220)",
    Tone.NOTICE: "bold white on color(25)",
}

PIPED_WIDTH = 100

STDOUT = "-"


def print_document(document: TextDocument, stream: TextIO) -> None:
    """Write a document to a terminal, in its width."""
    from rich.console import Console

    console = Console(file=stream, highlight=False, markup=False, emoji=False)
    _print(laid_out(document, width=min(console.width, _WIDEST)), console)


def _print(lines: Iterable[Spans], console: Console) -> None:
    from rich.text import Text

    for line in lines:
        text = Text.assemble(*((span.text, STYLES[span.tone]) for span in line))
        console.print(text, soft_wrap=True)


def write(document: TextDocument) -> None:
    """Write a document to standard output."""
    if sys.stdout is None or not sys.stdout.isatty():
        click.echo(plain_output(document, width=PIPED_WIDTH), nl=False)
        return
    print_document(document, sys.stdout)


def write_json(text: str) -> None:
    """Write JSON to standard output, with one end of line after it."""
    click.echo(text.rstrip("\n"))


def plain_output(document: TextDocument, *, width: int) -> str:
    """A document as text without escape codes."""
    lines = laid_out(document, width=width)
    return "".join("".join(span.text for span in line) + "\n" for line in lines)


def write_file(name: str, content: str | bytes) -> None:
    """Write text or bytes to a file, or to standard output for "-".

    Raises
    ------
    UnreadableFile
        If it cannot be written.
    """
    data = content.encode("utf-8") if isinstance(content, str) else content
    if name == STDOUT:
        click.echo(data, nl=False)
        return
    try:
        Path(name).write_bytes(data)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise UnreadableFile("must be writable", remedy=f"The system says: {reason}.", file=name) from error
    click.echo(f"wrote {name}", err=True)
