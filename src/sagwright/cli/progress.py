"""Options that say how far a piece of work has come."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, TypeVar

import click

from sagwright.errors import OutOfRange

if TYPE_CHECKING:
    from sagwright.domain.step import Step
    from sagwright.domain.task import Progress

F = TypeVar("F", bound=Callable[..., Any])

OPTIONS = (
    click.option(
        "--done",
        default="",
        metavar="STEPS",
        help='Go on after these: keys with commas ("break" for a rest), or a number.',
    ),
    click.option("--found", multiple=True, metavar="FIELD=VALUE", help="What was really there, like travel_spacers=2."),
    click.option("--failed", multiple=True, metavar="KEY", help="A criterion or a record that was not met."),
    click.option("--extra", multiple=True, metavar="TASK", help="A task that was found and agreed on the way: damper."),
    click.option("--after-break", is_flag=True, help="Prove charge and torques again first."),
)


def progress_options(command: F) -> F:
    """The options on a command."""
    for option in reversed(OPTIONS):
        command = option(command)
    return command


def progress_of(steps: Sequence[Step], options: dict[str, Any]) -> Progress | None:
    """What the options say; None where they say nothing. `steps` are numbered as they were planned."""
    from sagwright.domain.task import Progress
    from sagwright.formats.fields.tasks import read_found, read_task

    done = options["done"].split(",") if options["done"] else []
    if len(done) == 1 and done[0].isascii() and done[0].isdigit():
        done = [step.key for step in steps[: _count(done[0], len(steps))]]
    found = tuple(read_found(text) for text in options["found"])
    extras = tuple(read_task(text) for text in options["extra"])
    keys = tuple(key.strip() for key in done)
    progress = Progress(keys, found, options["failed"], options["after_break"], extras)
    return None if progress == Progress() else progress


def _count(text: str, most: int) -> int:
    """How many steps are done, at most all there are."""
    if len(text) > 9 or int(text) > most:
        remedy = "Give the number of the last step that is done, or keys."
        raise OutOfRange(f"must be at most the {most} steps there are", field="--done", value=text, remedy=remedy)
    return int(text)
