"""`sagwright`: the program's start, and the group that its commands belong to."""

from __future__ import annotations

import io
import sys
from collections.abc import Sequence
from typing import NoReturn

import click

from sagwright.cli.coil import coil
from sagwright.cli.curve import curve
from sagwright.cli.failures import answer
from sagwright.cli.plan import plan
from sagwright.cli.pressure import pressure
from sagwright.cli.serve import serve
from sagwright.cli.sheet import sheet
from sagwright.cli.stance import stance
from sagwright.cli.steps import steps
from sagwright.version import __version__


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, message="%(prog)s %(version)s")
def cli() -> None:
    """Plan work on bicycle suspension: what a change will do, what it needs, and in which order to do it.

    \b
    Exit codes:
      0  done
      1  the answer is "refused"
      2  what was given cannot be used
      3  a defect in Sagwright
    """


cli.add_command(plan)
cli.add_command(curve)
cli.add_command(coil)
cli.add_command(pressure)
cli.add_command(sheet)
cli.add_command(stance)
cli.add_command(steps)
cli.add_command(serve)


def run(arguments: Sequence[str]) -> int:
    """Carry out one command line and return its exit code; nothing is raised."""

    def call() -> int | None:
        try:
            with cli.make_context("sagwright", list(arguments)) as context:
                done: int | None = cli.invoke(context)
        except click.exceptions.Exit as end:  # after --help and --version
            return end.exit_code
        return done

    return answer(call, as_json="--json" in arguments)


def main() -> NoReturn:
    """Carry out the process's own command line and end the process."""
    _speak_utf8(sys.stdout)
    _speak_utf8(sys.stderr)
    sys.exit(run(sys.argv[1:]))


def _speak_utf8(stream: object) -> None:
    """The same bytes whatever the locale; a file name that is not UTF-8 is written with escapes."""
    if isinstance(stream, io.TextIOWrapper):
        stream.reconfigure(encoding="utf-8", errors="backslashreplace")
