"""Options of every command that reads or writes records: the workshop's place, who does it, and under which id."""

from __future__ import annotations

import getpass
import os
import secrets
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from sagwright.domain.records.entry import Submission
    from sagwright.service.workshop.records import Workshop


Command = TypeVar("Command", bound=Callable[..., Any])

as_json = click.option("--json", "as_json", is_flag=True, help="Print JSON.")
workshop = click.option(
    "--workshop",
    envvar="SAGWRIGHT_WORKSHOP",
    show_envvar=True,
    metavar="FILE|URL",
    help="Where the records are, like shop.sqlite or postgresql://user@host/name; your data folder if left out.",
)
_SUBMISSION = (
    click.option(
        "--by",
        envvar="SAGWRIGHT_BY",
        show_envvar=True,
        metavar="NAME",
        help="Who enters it; your login name if left out.",
    ),
    click.option("--id", "submission", metavar="ID", help="Id of this entry: a retry under the same id adds nothing."),
    click.option("--note", default="", metavar="TEXT", help="A note on why."),
)
_EXPECTED = click.option(
    "--expected", type=click.IntRange(0), metavar="N", help="Refuse if the job has other than N entries by now."
)

NAME = "sagwright"


def submission(command: Command) -> Command:
    """The options of something that is handed in."""
    for option in reversed(_SUBMISSION):
        command = option(command)
    return command


def submission_to_job(command: Command) -> Command:
    """The same for what is added to a job that is there."""
    return submission(_EXPECTED(workshop(as_json(command))))


def place_of(written: str | None) -> str | Path:
    """Where the records are: as written, else the file in the user's data folder."""
    return written or records_place()


@contextmanager
def opened_workshop(written: str | None, *, new: bool = False) -> Iterator[Workshop]:
    """The records; made if they are not there only where something new may begin.

    Raises
    ------
    StoreFailed
        If there are none, or they cannot be opened.
    """
    from sagwright.errors import StoreFailed
    from sagwright.service.workshop.records import open_workshop, workshop_exists

    where = place_of(written)
    if not new and not workshop_exists(where):
        raise StoreFailed(
            f"There are no records at {where}.",
            remedy="`sagwright job check-in` begins them; `sagwright demo fill` makes some to try.",
        )
    with open_workshop(where) as store:
        yield store


def now() -> datetime:
    """This moment."""
    return datetime.now(UTC)


def submission_by(options: dict[str, Any]) -> Submission:
    """Who hands something in, when and under which id, from `submission`'s options, which are taken out."""
    from sagwright.domain.records.entry import Submission

    by = options.pop("by") or _login()
    key = options.pop("submission") or secrets.token_hex(16)
    return Submission(key, by, now(), options.pop("expected", None), options.pop("note"))


def _login() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError):
        return "nobody"


@contextmanager
def progress(what: str) -> Iterator[Callable[[int, int], None]]:
    """Show how far long work has come, on standard error; nothing where that is no terminal."""
    if sys.stderr is None or not sys.stderr.isatty():
        yield lambda _done, _all: None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(what, total=None)
        yield lambda done, every: bar.update(task, completed=done, total=max(every, 1))


def records_place() -> Path:
    """The file of the workshop's records in the user's data folder; the folder is made if it is not there."""
    folder = _data_folder() / NAME
    folder.mkdir(parents=True, exist_ok=True)
    return folder / f"{NAME}.sqlite"


def _data_folder() -> Path:
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Application Support"
    return Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")
