"""`sagwright`: the program's start, and the group that its commands belong to."""

from __future__ import annotations

import io
import sys
from collections.abc import Sequence
from typing import NoReturn

import click

from sagwright.cli.commands.calculators import (
    coil_command,
    curve_command,
    mistakes_command,
    pressure_command,
    stance_command,
)
from sagwright.cli.commands.job import job
from sagwright.cli.commands.maintenance import backup_command, demo, doctor_command, export, import_, restore_command
from sagwright.cli.commands.people import customer_group, instrument, unit
from sagwright.cli.commands.plan import plan_command, steps_command
from sagwright.cli.commands.serve import serve_command
from sagwright.cli.commands.sheets import bike, sheet
from sagwright.cli.failures import answer_error
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


for each in (
    plan_command,
    curve_command,
    coil_command,
    mistakes_command,
    pressure_command,
    sheet,
    bike,
    stance_command,
    steps_command,
):
    cli.add_command(each)
for each in (
    serve_command,
    demo,
    job,
    unit,
    customer_group,
    instrument,
    backup_command,
    restore_command,
    export,
    import_,
    doctor_command,
):
    cli.add_command(each)


def run(arguments: Sequence[str]) -> int:
    """Carry out one command line and return its exit code; nothing is raised."""

    def call() -> int | None:
        try:
            with cli.make_context("sagwright", list(arguments)) as context:
                done: int | None = cli.invoke(context)
        except click.exceptions.Exit as end:  # after --help and --version
            return end.exit_code
        return done

    return answer_error(call, as_json="--json" in arguments)


def main() -> NoReturn:
    """Carry out the process's own command line and end the process."""
    _speak_utf8(sys.stdout)
    _speak_utf8(sys.stderr)
    sys.exit(run(sys.argv[1:]))


def _speak_utf8(stream: object) -> None:
    """The same bytes whatever the locale; a file name that is not UTF-8 is written with escapes."""
    if isinstance(stream, io.TextIOWrapper):
        stream.reconfigure(encoding="utf-8", errors="backslashreplace")
