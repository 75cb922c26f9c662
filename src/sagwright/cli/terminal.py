"""Lines on a terminal: the words of a pipe, in colours where the terminal has them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TextIO

from rich.console import Console
from rich.text import Text

from sagwright.cli.document import Document, Tone
from sagwright.cli.layout import Spans, laid_out

WIDEST = 110  # longer lines are hard to follow
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


def print_document(document: Document, stream: TextIO) -> None:
    """Write a document to a terminal, in its width."""
    console = Console(file=stream, highlight=False, markup=False, emoji=False)
    _print(laid_out(document, width=min(console.width, WIDEST)), console)


def _print(lines: Iterable[Spans], console: Console) -> None:
    for line in lines:
        text = Text.assemble(*((span.text, STYLES[span.tone]) for span in line))
        console.print(text, soft_wrap=True)
