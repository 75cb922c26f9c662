"""Writes files that a command was asked for."""

from __future__ import annotations

from pathlib import Path

import click

from sagwright.errors import UnreadableFile

STDOUT = "-"


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
