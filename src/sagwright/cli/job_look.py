"""`sagwright job show`, `list` and `search`."""

from __future__ import annotations

import click

from sagwright.cli.workshop import as_json, opened, workshop


@click.command()
@click.argument("job")
@click.option("--plan", is_flag=True, help="Print what was decided, word for word (plan/1 or steps/1).")
@workshop
@as_json
def show(job: str, *, plan: bool, workshop: str | None, as_json: bool) -> None:
    """Show a JOB: where it stands, what is known, and every entry with its corrections."""
    from sagwright.cli.job_options import job_id
    from sagwright.cli.job_page import job_document
    from sagwright.cli.output import write, write_json
    from sagwright.formats.records.jobs import job_to_json
    from sagwright.service.jobs.decision import decision_of
    from sagwright.service.jobs.queries import open_job

    with opened(workshop) as store:
        key = job_id(store, job)
        opened_job = open_job(store, key)
        work = decision_of(store, key).work.text if plan else ""
    if plan:
        write_json(work)
    elif as_json:
        write_json(job_to_json(opened_job.view))
    else:
        write(job_document(opened_job))


@click.command("list")
@workshop
@as_json
def list_(*, workshop: str | None, as_json: bool) -> None:
    """List every open job by stage; those promised first stand first."""
    from sagwright.service.jobs.queries import board

    with opened(workshop) as store:
        cards = board(store)
    _tell(cards, "No job is open.", as_json=as_json)


@click.command()
@click.argument("words", nargs=-1, required=True)
@workshop
@as_json
def search(words: tuple[str, ...], *, workshop: str | None, as_json: bool) -> None:
    """Find jobs, open or closed, by number, serial, sheet, bike or owner's name; the newest first, at most 100.

    Answers 0 also if there is none.
    """
    from sagwright.service.jobs.queries import search as find

    with opened(workshop) as store:
        cards = find(store, " ".join(words))
    _tell(cards, "No job has all these words.", as_json=as_json)


@click.command()
@click.argument("photo")
@click.argument("file")
@workshop
def photo(photo: str, file: str, *, workshop: str | None) -> None:
    """Write the PHOTO with an id, as `job show --json` names it, to a JPEG FILE, or to standard output for "-"."""
    from sagwright.cli.files import write_file
    from sagwright.service.workshop.records import read_photo

    with opened(workshop) as store:
        content = b"".join(read_photo(store, photo)[1])
    write_file(file, content)


def _tell(cards: object, none: str, *, as_json: bool) -> None:
    from sagwright.cli.job_page import cards_document
    from sagwright.cli.output import write, write_json
    from sagwright.formats.records.jobs import jobs_to_json

    if not isinstance(cards, tuple):
        raise TypeError("cards are a tuple")
    if as_json:
        write_json(jobs_to_json(cards))
    else:
        write(cards_document(cards, none))
