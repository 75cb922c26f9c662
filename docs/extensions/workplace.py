"""A folder in which the examples of one page run: files are written there, commands find the repository's examples."""

from __future__ import annotations

import contextlib
import doctest
import io
import os
import shlex
import tempfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from sagwright.cli.main import run

ROOT: Final = Path(__file__).resolve().parent.parent.parent
RECORDS: Final = "SAGWRIGHT_WORKSHOP"
RULE: Final = "───"
_CHECKER: Final = doctest.OutputChecker()


class Unexpected(Exception):
    """An example that did something else than its page says."""


@dataclass(frozen=True, slots=True)
class Command:
    """A command line of a page, without the word `sagwright`.

    Attributes
    ----------
    line : str
    exit_code : int
        The one it must end with.
    part : int
        Show only this part of the output: parts begin with a heading and a rule, and what stands over the first is 0.
    first : str
        Show it from the first line that holds this; empty for all.
    most : int
        Lines shown at most; 0 for all.
    expected : str
        What it must print, with "..." for what may differ; empty where only the program knows.
    """

    line: str
    exit_code: int = 0
    part: int | None = None
    first: str = ""
    most: int = 0
    expected: str = ""


def command_of(line: str, options: Mapping[str, str], body: str) -> Command:
    """A command as its directive writes it."""
    return Command(
        line=line.strip(),
        exit_code=int(options.get("exit") or 0),
        part=int(options["part"]) if "part" in options else None,
        first=options.get("from", "").strip('"'),
        most=int(options.get("lines") or 0),
        expected=body.strip("\n"),
    )


@dataclass
class Workplace:
    """Where the examples of one page run; gone with `close`."""

    _folder: tempfile.TemporaryDirectory[str] = field(default_factory=tempfile.TemporaryDirectory)

    def __post_init__(self) -> None:
        (self.folder / "examples").symlink_to(ROOT / "examples")

    @property
    def folder(self) -> Path:
        """The folder itself."""
        return Path(self._folder.name)

    def close(self) -> None:
        """Remove everything that was written."""
        self._folder.cleanup()

    def write(self, name: str, text: str) -> None:
        """A file that a page shows."""
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text.rstrip("\n") + "\n", "utf-8")

    @contextlib.contextmanager
    def entered(self) -> Iterator[None]:
        """In this folder, with a workshop of its own, whatever the user's is."""
        before = os.environ.get(RECORDS)
        os.environ[RECORDS] = str(self.folder / "workshop.sqlite")
        try:
            with contextlib.chdir(self.folder):
                yield
        finally:
            del os.environ[RECORDS]
            if before is not None:
                os.environ[RECORDS] = before

    def run(self, command: Command) -> str:
        """Run a command here; what the page shows of its output.

        Raises
        ------
        Unexpected
            If it ends otherwise, prints something else, or has nothing to show.
        """
        out, err = io.StringIO(), io.StringIO()
        with self.entered(), contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            code = run(shlex.split(command.line))
        printed = out.getvalue() or err.getvalue()
        if code != command.exit_code:
            raise Unexpected(f"sagwright {command.line}: exit {code}, not {command.exit_code}\n{printed}")
        shown = excerpt(printed, command)
        if command.expected and not _CHECKER.check_output(command.expected + "\n", shown + "\n", doctest.ELLIPSIS):
            raise Unexpected(f"sagwright {command.line} printed\n{shown}\nwhere the page says\n{command.expected}")
        return shown


def excerpt(printed: str, command: Command) -> str:
    """The lines of an output that a page shows.

    Raises
    ------
    Unexpected
        If there is no such part, or no line holds the text it begins with.
    """
    lines = printed.rstrip("\n").split("\n")
    if command.part is not None:
        lines = _part(lines, command)
    start = next((number for number, line in enumerate(lines) if command.first in line), None)
    if start is None:
        raise Unexpected(f"sagwright {command.line}: no line holds {command.first!r}\n" + "\n".join(lines))
    shown = lines[start:]
    if command.most and len(shown) > command.most:
        shown = [*shown[: command.most], "..."]
    return "\n".join(shown).rstrip()


def _part(lines: list[str], command: Command) -> list[str]:
    heads = [0, *(number for number, line in enumerate(lines) if line.endswith(RULE)), len(lines)]
    if command.part is None or command.part + 2 > len(heads):
        raise Unexpected(f"sagwright {command.line} prints {len(heads) - 2} parts, not {command.part}")
    return lines[heads[command.part] : heads[command.part + 1]]
