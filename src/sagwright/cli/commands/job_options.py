"""What the commands about jobs read in the same way."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from sagwright.cli.commands.record_options import opened_workshop, submission_by, submission_to_job
from sagwright.errors import OutOfRange, UnreadableFile

if TYPE_CHECKING:
    from sagwright.domain.records.entry import Submission
    from sagwright.domain.records.job import JobView
    from sagwright.domain.records.payloads import Facts, Payload
    from sagwright.service.workshop.records import Workshop

_FACT = click.option(
    "--fact", "facts", multiple=True, metavar="PATH=TEXT", help="As in an intake: wish.travel='140 mm'."
)
PHOTO = click.option("--photo", "photos", multiple=True, metavar="FILE", help="A photo of it.")


@dataclass(frozen=True, slots=True)
class Act:
    """What a command adds to: the open records, the job's id, and the submission."""

    store: Workshop
    job: str
    submission: Submission

    def record(self, what: Payload) -> JobView:
        """The job with one entry more; errors as `actions.record`."""
        from sagwright.service.jobs import actions

        return actions.record(self.store, self.job, self.submission, what=what)

    def photos(self, files: Iterable[str]) -> tuple[str, ...]:
        """The ids of photos; errors as `kept_photos`."""
        return photos_from_files(self.store, files, self.submission)


def job_act(command: Callable[..., JobView]) -> Callable[..., None]:
    """Make a function of an `Act` and its own options one of a JOB and the options of a submission, which prints the
    job that it gives."""

    @submission_to_job
    @wraps(command)
    def run(job: str, *, workshop: str | None, as_json: bool, **options: Any) -> None:  # noqa: ANN401
        said = submission_by(options)
        with opened_workshop(workshop) as store:
            view = command(Act(store, job_id(store, job), said), **options)
        print_job(view, as_json=as_json)

    return run


def job_id(store: Workshop, said: str) -> str:
    """The id of a job, by its short number or its id.

    Raises
    ------
    NotThere
    """
    from sagwright.service.jobs.queries import open_job, open_job_numbered

    bare = said.removeprefix("#")
    if bare.isascii() and bare.isdigit() and len(bare) < 10:
        return open_job_numbered(store, int(bare)).view.card.id
    return open_job(store, said).view.card.id


def pairs(option: str, texts: Iterable[str]) -> Facts:
    """Options written as PATH=TEXT.

    Raises
    ------
    OutOfRange
    """
    found = []
    for text in texts:
        path, equals, said = text.partition("=")
        if not equals or not path.strip():
            remedy = "Write it like rider.mass='80 kg'; nothing after = takes it back."
            raise OutOfRange("must be written as PATH=TEXT", value=text, field=option, remedy=remedy)
        found.append((path.strip(), said.strip()))
    return tuple(found)


def photos_from_files(store: Workshop, files: Iterable[str], said: Submission) -> tuple[str, ...]:
    """Photos from files, kept under ids that follow from the submission's.

    Raises
    ------
    UnreadableFile, OutOfRange
    """
    from dataclasses import replace

    from sagwright.service.workshop.records import save_photo

    return tuple(
        save_photo(store, _bytes(file), replace(said, id=f"{said.id}-photo-{number}")).id
        for number, file in enumerate(files, 1)
    )


def _bytes(file: str) -> bytes:
    try:
        return Path(file).read_bytes()
    except OSError as error:
        remedy = f"The system says: {error.strerror or error}."
        raise UnreadableFile("must be a photo that can be read", remedy=remedy, file=file) from error


def print_job(view: JobView, *, as_json: bool) -> None:
    """A job after something was recorded."""
    from sagwright.cli.terminal.output import write, write_json
    from sagwright.cli.views.jobs import last_document
    from sagwright.formats.records.jobs import job_to_json

    if as_json:
        write_json(job_to_json(view))
    else:
        write(last_document(view))
