"""`sagwright job`: the group of a job's commands, in the order of the work; `check-in`, `show`, `list`, `search`."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import click

from sagwright.cli.commands import job_close, job_work
from sagwright.cli.commands.options import as_day
from sagwright.cli.commands.record_options import as_json, opened_workshop, submission, submission_by, workshop
from sagwright.errors import MissingValue, NotThere

if TYPE_CHECKING:
    from sagwright.domain.records.entry import Submission
    from sagwright.domain.records.job import JobView
    from sagwright.formats.intake.assembly import IntakeFile
    from sagwright.service.jobs.intake import Arrival
    from sagwright.service.workshop.records import Workshop
from typing import TYPE_CHECKING


@click.command()
@click.argument("job")
@click.option("--plan", is_flag=True, help="Print what was decided, word for word (plan/1).")
@workshop
@as_json
def show_command(job: str, *, plan: bool, workshop: str | None, as_json: bool) -> None:
    """Show a JOB: where it stands, what is known, and every entry with its corrections."""
    from sagwright.cli.commands.job_options import job_id
    from sagwright.cli.terminal.output import write, write_json
    from sagwright.cli.views.jobs import job_document
    from sagwright.formats.records.jobs import job_to_json
    from sagwright.service.jobs.decision import decision_of, difference_of
    from sagwright.service.jobs.queries import open_job

    with opened_workshop(workshop) as store:
        key = job_id(store, job)
        opened_job = open_job(store, key)
        work = decision_of(store, key).work.text if plan else ""
        difference = None if plan else difference_of(store, opened_job.view.state)
    if plan:
        write_json(work)
    elif as_json:
        write_json(job_to_json(opened_job.view, difference))
    else:
        write(job_document(opened_job, difference))


@click.command("list")
@workshop
@as_json
def list_command(*, workshop: str | None, as_json: bool) -> None:
    """List every open job by stage; those due first stand first."""
    from sagwright.service.jobs.queries import board

    with opened_workshop(workshop) as store:
        cards = board(store)
    _tell(cards, "No job is open.", as_json=as_json)


@click.command()
@click.argument("words", nargs=-1, required=True)
@workshop
@as_json
def search_command(words: tuple[str, ...], *, workshop: str | None, as_json: bool) -> None:
    """Find jobs, open or closed, by number, serial, sheet, bike or customer's name; the newest first, at most 100.

    Answers 0 also if there is none.
    """
    from sagwright.service.jobs.queries import search_jobs as find

    with opened_workshop(workshop) as store:
        cards = find(store, " ".join(words))
    _tell(cards, "No job has all these words.", as_json=as_json)


@click.command()
@click.argument("photo")
@click.argument("file")
@workshop
def photo_command(photo: str, file: str, *, workshop: str | None) -> None:
    """Write the PHOTO with an id, as `job show --json` names it, to a JPEG FILE, or to standard output for "-"."""
    from sagwright.cli.terminal.output import write_file
    from sagwright.service.workshop.records import read_photo

    with opened_workshop(workshop) as store:
        content = b"".join(read_photo(store, photo)[1])
    write_file(file, content)


def _tell(cards: object, none: str, *, as_json: bool) -> None:
    from sagwright.cli.terminal.output import write, write_json
    from sagwright.cli.views.jobs import cards_document
    from sagwright.formats.records.jobs import jobs_to_json

    if not isinstance(cards, tuple):
        raise TypeError("cards are a tuple")
    if as_json:
        write_json(jobs_to_json(cards))
    else:
        write(cards_document(cards, none))


@click.command()
@click.argument("intake", required=False)
@click.option("--customer", metavar="NAME", help="A new customer's name.")
@click.option("--contact", default="", metavar="TEXT", help="One way to reach the new customer.")
@click.option("--customer-id", metavar="ID", help="A customer who was here before, as `job show --json` says.")
@click.option("--sheet", metavar="NAME", help="The sheet of its family; the intake's if left out.")
@click.option("--fact", "facts", multiple=True, metavar="PATH=TEXT", help="As in an intake: as_found.travel='150 mm'.")
@click.option("--task", "tasks", multiple=True, metavar="TASK", help="As for `sagwright steps`: lower-legs.")
@click.option("--unit-id", metavar="ID", help="A unit that was here before.")
@click.option("--bike-id", metavar="ID", help="A bike that is known.")
@click.option("--bike-name", metavar="NAME", help="What a new bike is called; its geometry is the intake's.")
@click.option("--visit", metavar="ID", help="Another unit of the same visit.")
@click.option(
    "--comeback-of", metavar="JOB", help="It comes back from an earlier job: customer, unit and sheet are known."
)
@click.option("--symptoms", default="", metavar="TEXT", help="What the customer says.")
@click.option("--due", callback=as_day, metavar="DATE", help="Due date, year-month-day.")
@click.option("--photo", "photos", multiple=True, metavar="FILE", help="A photo of it as it came.")
@click.option("--incomplete", is_flag=True, help="More has to be read first: it stays at check in.")
@submission
@workshop
@as_json
def check_in_command(intake: str | None, *, workshop: str | None, as_json: bool, **options: Any) -> None:  # noqa: ANN401
    """Check a unit in: from the file INTAKE (intake/1), from options, or from both, options over the file.

    \b
    sagwright job check-in intake.yaml --customer "Jo Example" --contact jo@example.org
    sagwright job check-in --customer "Jo Example" --sheet specimen/t35 --fact unit.chassis=mid --task lower-legs
    """
    from sagwright.cli.commands.job_options import print_job
    from sagwright.formats.intake.assembly import written_in

    written = written_in(intake, whole=not options["incomplete"]) if intake else None
    said = submission_by(options)
    with opened_workshop(workshop, new=True) as store:
        view = _checked_in(store, written, said, options)
    print_job(view, as_json=as_json)


def _checked_in(store: Workshop, written: IntakeFile | None, said: Submission, options: dict[str, Any]) -> JobView:
    from sagwright.cli.commands.job_options import job_id
    from sagwright.service.jobs.actions import check_in, check_in_comeback

    arrival, answers = _arrival(store, written, said, options), written.answers if written else ()
    if options["comeback_of"]:
        return check_in_comeback(store, job_id(store, options["comeback_of"]), arrival, said, answers=answers)
    return check_in(store, arrival, said, answers=answers)


def _arrival(store: Workshop, written: IntakeFile | None, said: Submission, options: dict[str, Any]) -> Arrival:
    from sagwright.cli.commands.job_options import pairs, photos_from_files
    from sagwright.domain.records.fold import with_facts
    from sagwright.service.jobs.intake import Arrival, NewBicycle, NewCustomer

    bicycle = options["bike_id"]
    if bicycle is None and (options["bike_name"] or (written and written.bike)):
        name = options["bike_name"] or (written.bike_name if written else "")
        bicycle = NewBicycle(name, written.bike if written else "")
    return Arrival(
        customer=options["customer_id"] or NewCustomer(_customer(options), options["contact"]),
        sheet=options["sheet"] or _sheet(store, written, options),
        facts=with_facts(written.facts if written else (), pairs("--fact", options["facts"])),
        unit=options["unit_id"],
        bicycle=bicycle,
        visit=options["visit"],
        symptoms=options["symptoms"],
        tasks=tuple(dict.fromkeys((*(written.tasks if written else ()), *options["tasks"]))),
        photos=photos_from_files(store, options["photos"], said),
        due=options["due"],
        complete=not options["incomplete"],
    )


def _customer(options: dict[str, Any]) -> str:
    if not options["customer"] and not options["comeback_of"]:
        remedy = "Say --customer NAME, or --customer-id ID for one who was here before."
        raise MissingValue("must say whose the unit is", field="--customer", remedy=remedy)
    return str(options["customer"] or "")


def _sheet(store: Workshop, written: IntakeFile | None, options: dict[str, Any]) -> str:
    from sagwright.formats.intake.assembly import is_shipped
    from sagwright.service.sheets import list_revisions

    named = written.sheet if written else ""
    if options["comeback_of"]:
        return ""
    if not named:
        raise MissingValue("must say of which family the unit is", field="--sheet", remedy="Like specimen/t35.")
    if not is_shipped(named) and not list_revisions(store, named):
        remedy = "Keep it first: `sagwright sheet add FILE --as NAME`; then say --sheet NAME."
        raise NotThere(f"The workshop keeps no sheet {named}.", remedy=remedy)
    return named


class InOrder(click.Group):
    """Lists its commands as they were added."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Their names."""
        return list(self.commands)


@click.group(cls=InOrder)
def job() -> None:
    """Check units in, plan, work and hand over; search and show jobs.

    A JOB is its short number or its id. What is sent twice under one --id is recorded once, so a
    script may try again. Entries are added and never changed; a correction names what it corrects.
    """


def _add(commands: Iterable[click.Command]) -> None:
    for command in commands:
        job.add_command(command)


_add((check_in_command, show_command, list_command, search_command, photo_command))
_add((job_work.plan_job_command, job_work.update_command, job_work.answer_command))
_add((job_work.prepare_command, job_work.start_command, job_work.after_break, job_work.pass_on_command))
_add((job_work.record_command, job_work.problem_command, job_close.correct_command))
_add(
    (
        job_close.hold_command,
        job_close.resume_command,
        job_close.final_check_command,
        job_close.hand_over_command,
        job_close.refuse,
        job_close.due_command,
    )
)
_add((job_close.note_command,))
