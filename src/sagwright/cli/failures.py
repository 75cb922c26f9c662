"""The one place where what went wrong becomes a message and an exit code."""

from __future__ import annotations

import os
import sys
import traceback
from collections.abc import Callable

import click

from sagwright.errors import Defect, InputError, SagwrightError, exit_code

INTERRUPTED = 130  # what a shell reports for a process ended by SIGINT
PIPE_CLOSED = 141  # and by SIGPIPE
UNUSABLE = 2


def answer_error(call: Callable[[], int | None], *, as_json: bool) -> int:
    """The exit code of a call; what it raises is told, as JSON on standard output if that was asked for."""
    try:
        code = call()
        click.echo(nl=False)  # flushes, so that a closed pipe or a full disk is met here
    except SagwrightError as error:
        return _tell(error, as_json=as_json)
    except click.ClickException as error:
        return _tell_usage(error, as_json=as_json)
    except (click.Abort, KeyboardInterrupt):
        return INTERRUPTED
    except OSError as error:
        return _cannot_write(error)
    except Exception as error:  # noqa: BLE001  # the last stop: anything else is our own fault and is told as one
        return _tell(_as_defect(error), as_json=as_json)
    return code or 0


def _tell(error: SagwrightError, *, as_json: bool) -> int:
    try:
        click.echo(_json(error) if as_json else _words(error), err=not as_json)
    except OSError as unwritten:
        return _cannot_write(unwritten)
    return exit_code(error)


def _json(error: SagwrightError) -> str:
    from sagwright.formats.json_text import errors_to_json

    return errors_to_json(error).rstrip("\n")


def _words(error: SagwrightError) -> str:
    from sagwright.cli.terminal.document import visible
    from sagwright.phrases.errors import error_sentence

    return visible(error_sentence(error))


def _tell_usage(error: click.ClickException, *, as_json: bool) -> int:
    if as_json:
        fault = InputError(error.format_message().removesuffix("."), remedy="See `sagwright --help`.")
        return _tell(fault, as_json=True)
    error.show()
    return UNUSABLE


def _as_defect(error: Exception) -> Defect:
    if os.environ.get("SAGWRIGHT_TRACEBACK") == "1":
        traceback.print_exception(error)
    return Defect(f"{type(error).__name__}: {error}")


def _cannot_write(error: OSError) -> int:
    """Say so, unless it is only that nobody reads any more, and let the process end without another try."""
    if sys.stdout is not None:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    if isinstance(error, BrokenPipeError):
        return PIPE_CLOSED
    click.echo(f"sagwright: cannot write its answer: {error.strerror or error}.", err=True)
    return UNUSABLE
