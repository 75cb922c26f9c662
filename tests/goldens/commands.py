"""Every command line, and what it answers: words, exit code and the files it writes."""

from __future__ import annotations

import io
import os
import shlex
import shutil
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from pathlib import Path
from typing import Any, Final

import click

from sagwright.cli.main import cli, run
from tests.goldens.fixed import fixed_folder
from tests.goldens.scripts import CALCULATED, LOOKED_UP, ON_A_TERMINAL, SCRIPTS, bad_input_files, other_files
from tests.goldens.values import as_lines, digest

Recorded = Iterator[tuple[str, Any]]
WORKSHOP: Final = "demo.sqlite"
READ: Final = (".csv", ".json", ".svg")


class Terminal(io.TextIOWrapper):
    """A stream that somebody looks at."""

    def isatty(self) -> bool:
        """It is one."""
        return True


def answer(line: str, *, terminal: bool = False) -> dict[str, Any]:
    """What one command line answers."""
    out, err = io.BytesIO(), io.BytesIO()
    before = set(_files())
    stream = Terminal if terminal else io.TextIOWrapper
    shown = stream(out, "utf-8", newline="\n", write_through=True)
    warned = io.TextIOWrapper(err, "utf-8", newline="\n", write_through=True)
    with redirect_stdout(shown), redirect_stderr(warned):
        code = run(shlex.split(line))
        sys.stdout.flush()
    told = {"code": code, "out": _text(out.getvalue()), "err": _text(err.getvalue())}
    files = {str(path): _written(path) for path in sorted(set(_files()) - before)}
    return {key: value for key, value in (told | {"wrote": files}).items() if value not in ("", {})}


def _files() -> list[Path]:
    return [path for path in Path().rglob("*") if path.is_file() and not path.name.endswith(("-wal", "-shm"))]


def _text(content: bytes) -> list[str] | str:
    try:
        return as_lines(content.decode())
    except UnicodeDecodeError:
        return digest(content)


def _written(path: Path) -> list[str] | str:
    return as_lines(path.read_text("utf-8")) if path.suffix in READ else "something"


def helps() -> Recorded:
    """The help of every command and group."""
    with fixed_folder():
        for words in _commands(cli, ()):
            line = " ".join((*words, "--help"))
            yield line, answer(line)


def _commands(command: click.Command, words: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    yield words
    if isinstance(command, click.Group):
        for name in sorted(command.commands):
            yield from _commands(command.commands[name], (*words, name))


def calculated() -> Recorded:
    """What needs no workshop; each example intake in words, in other units, and as JSON."""
    with fixed_folder():
        for example in sorted(Path("examples").glob("*.yaml")):
            for options in ("", " --json", " --all --units bar,in,lbf-in,lb --comma"):
                yield _told(f"plan {example}{options}")
        for line in CALCULATED:
            yield _told(line)
        for line in ON_A_TERMINAL:
            yield f"on a terminal: {line}", answer(line, terminal=True)


def _told(line: str) -> tuple[str, Any]:
    return line, answer(line)


def bad_input() -> Recorded:
    """What cannot be used or is refused, in words and as JSON."""
    with fixed_folder():
        for line in bad_input_files():
            for options in ("", " --json"):
                yield _told(f"{line}{options}")


def looked_up(filled: Path) -> Recorded:
    """What the demo workshop answers to commands that only look."""
    with in_workshop(filled):
        for line in _with_every_job(filled):
            yield _told(line)
        yield "on a terminal: job show 1001", answer("job show 1001", terminal=True)


def _with_every_job(filled: Path) -> Iterable[str]:
    from tests.goldens.documents import tables

    jobs = [row["number"] for row in tables(filled)["jobs"]]
    for line in LOOKED_UP:
        yield from (line.replace("JOB", str(job)) for job in jobs) if "JOB" in line else (line,)


def handed_in(filled: Path) -> Recorded:
    """What is recorded: each script in a folder of its own, in an empty workshop or in a copy of the demo's."""
    for name, script in SCRIPTS.items():
        with in_workshop(filled if name.startswith("demo") else None):
            for number, line in enumerate(script, 1):
                yield f"{name} {number:02}: {line}", answer(line)


@contextmanager
def in_workshop(filled: Path | None) -> Iterator[None]:
    """A folder where a workshop stands under its usual name; none yet if it is to begin empty."""
    with fixed_folder() as folder:
        if filled is not None:
            shutil.copy(filled, folder / WORKSHOP)
        other_files()
        os.environ["SAGWRIGHT_WORKSHOP"] = WORKSHOP
        yield
