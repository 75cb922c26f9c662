"""Where an answer goes: to a terminal that someone looks at, or as plain text to whatever reads it."""

from __future__ import annotations

import sys

import click

from sagwright.cli.document import Document
from sagwright.cli.layout import laid_out

PIPED_WIDTH = 100


def write(document: Document) -> None:
    """Write a document to standard output."""
    if sys.stdout is None or not sys.stdout.isatty():
        click.echo(plain_text(document, width=PIPED_WIDTH), nl=False)
        return
    from sagwright.cli.terminal import print_document

    print_document(document, sys.stdout)


def write_json(text: str) -> None:
    """Write JSON to standard output, with one end of line after it."""
    click.echo(text.rstrip("\n"))


def plain_text(document: Document, *, width: int) -> str:
    """A document as text without escape codes."""
    lines = laid_out(document, width=width)
    return "".join("".join(span.text for span in line) + "\n" for line in lines)
