"""`sagwright job new`."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import click

from sagwright.cli.options import as_day
from sagwright.cli.workshop import as_json, opened, said_by, submission, workshop
from sagwright.errors import MissingValue, NotThere

if TYPE_CHECKING:
    from sagwright.domain.records.entry import Submission
    from sagwright.domain.records.job import JobView
    from sagwright.formats.intake.assembly import Written
    from sagwright.service.jobs.intake import Arrival
    from sagwright.service.workshop.records import Workshop


@click.command()
@click.argument("intake", required=False)
@click.option("--owner", metavar="NAME", help="A new owner's name.")
@click.option("--contact", default="", metavar="TEXT", help="One way to reach the new owner.")
@click.option("--owner-id", metavar="ID", help="An owner who was here before, as `job show --json` says.")
@click.option("--sheet", metavar="NAME", help="The sheet of its family; the intake's if left out.")
@click.option("--fact", "facts", multiple=True, metavar="PATH=TEXT", help="As in an intake: as_found.travel='150 mm'.")
@click.option("--task", "tasks", multiple=True, metavar="TASK", help="As for `sagwright steps`: lower-legs.")
@click.option("--unit-id", metavar="ID", help="A unit that was here before.")
@click.option("--bike-id", metavar="ID", help="A bike that is known.")
@click.option("--bike-name", metavar="NAME", help="What a new bike is called; its geometry is the intake's.")
@click.option("--visit", metavar="ID", help="Another unit of the same visit.")
@click.option(
    "--comeback-of", metavar="JOB", help="It comes back from an earlier job: owner, unit and sheet are known."
)
@click.option("--symptoms", default="", metavar="TEXT", help="What the owner says.")
@click.option("--promised", callback=as_day, metavar="DATE", help="For when, year-month-day.")
@click.option("--photo", "photos", multiple=True, metavar="FILE", help="A photo of it as it came.")
@click.option("--incomplete", is_flag=True, help="More has to be read first: it stays at take in.")
@submission
@workshop
@as_json
def new(intake: str | None, *, workshop: str | None, as_json: bool, **options: Any) -> None:  # noqa: ANN401
    """Take a unit in: from the file INTAKE (intake/1), from options, or from both, options over the file.

    \b
    sagwright job new intake.yaml --owner "Jo Example" --contact jo@example.org
    sagwright job new --owner "Jo Example" --sheet specimen/t35 --fact unit.chassis=mid --task lower-legs
    """
    from sagwright.cli.job_options import tell_job
    from sagwright.formats.intake.assembly import written_in

    written = written_in(intake, whole=not options["incomplete"]) if intake else None
    said = said_by(options)
    with opened(workshop, new=True) as store:
        view = _taken_in(store, written, said, options)
    tell_job(view, as_json=as_json)


def _taken_in(store: Workshop, written: Written | None, said: Submission, options: dict[str, Any]) -> JobView:
    from sagwright.cli.job_options import job_id
    from sagwright.service.jobs.actions import answer
    from sagwright.service.jobs.intake import come_back, take_in

    arrival = _arrival(store, written, said, options)
    if options["comeback_of"]:
        view = come_back(store, job_id(store, options["comeback_of"]), arrival, said)
    else:
        view = take_in(store, arrival, said)
    for number, one in enumerate(written.answers if written else (), 1):
        view = answer(store, view.card.id, replace(said, id=f"{said.id}-answer-{number}"), what=one)
    return view


def _arrival(store: Workshop, written: Written | None, said: Submission, options: dict[str, Any]) -> Arrival:
    from sagwright.cli.job_options import kept_photos, pairs
    from sagwright.domain.records.fold import with_facts
    from sagwright.service.jobs.intake import Arrival, NewBicycle, NewOwner

    bicycle = options["bike_id"]
    if bicycle is None and (options["bike_name"] or (written and written.bike)):
        name = options["bike_name"] or (written.bike_name if written else "")
        bicycle = NewBicycle(name, written.bike if written else "")
    return Arrival(
        owner=options["owner_id"] or NewOwner(_owner(options), options["contact"]),
        sheet=options["sheet"] or _sheet(store, written, options),
        facts=with_facts(written.facts if written else (), pairs("--fact", options["facts"])),
        unit=options["unit_id"],
        bicycle=bicycle,
        visit=options["visit"],
        symptoms=options["symptoms"],
        tasks=tuple(dict.fromkeys((*(written.tasks if written else ()), *options["tasks"]))),
        photos=kept_photos(store, options["photos"], said),
        promised=options["promised"],
        complete=not options["incomplete"],
    )


def _owner(options: dict[str, Any]) -> str:
    if not options["owner"] and not options["comeback_of"]:
        remedy = "Say --owner NAME, or --owner-id ID for one who was here before."
        raise MissingValue("must say whose the unit is", field="--owner", remedy=remedy)
    return str(options["owner"] or "")


def _sheet(store: Workshop, written: Written | None, options: dict[str, Any]) -> str:
    from sagwright.formats.intake.assembly import is_shipped
    from sagwright.service.sheets import list_revisions

    named = written.sheet if written else ""
    if options["comeback_of"]:
        return ""
    if not named:
        raise MissingValue("must say of which family the unit is", field="--sheet", remedy="Like specimen/t35.")
    if not is_shipped(named) and not list_revisions(store, named):
        remedy = "Keep it first: `sagwright sheet keep FILE --as NAME`; then say --sheet NAME."
        raise NotThere(f"The workshop keeps no sheet {named}.", remedy=remedy)
    return named
