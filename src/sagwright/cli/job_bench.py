"""`sagwright job prepare`, `start`, `pass-on`, `record` and `find`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from sagwright.cli.options import named
from sagwright.cli.workshop import opened, said_by, submission_to_job
from sagwright.errors import OutOfRange

if TYPE_CHECKING:
    from sagwright.service.workshop.records import Workshop

PHOTO = click.option("--photo", "photos", multiple=True, metavar="FILE", help="A photo of it.")


@click.command()
@click.argument("job")
@click.option("--have", "ticked", multiple=True, metavar="NAME", help="A line of the kit that lies ready.")
@click.option("--ready", is_flag=True, help="Nothing is missing.")
@submission_to_job
def prepare(job: str, *, workshop: str | None, as_json: bool, **options: Any) -> None:  # noqa: ANN401
    """Say what of the kit lies ready for a JOB."""
    from sagwright.cli.job_options import job_id, tell_job
    from sagwright.domain.records.payloads import Prepared
    from sagwright.service.jobs.actions import prepare as say

    said = said_by(options)
    with opened(workshop) as store:
        view = say(store, job_id(store, job), said, what=Prepared(options["ticked"], ready=options["ready"]))
    tell_job(view, as_json=as_json)


@click.command()
@click.argument("job")
@submission_to_job
def start(job: str, *, workshop: str | None, as_json: bool, **options: Any) -> None:  # noqa: ANN401
    """Begin work on a JOB at the stand, or go on with it; whoever says so has it."""
    from sagwright.cli.job_options import job_id, tell_job
    from sagwright.service.jobs.actions import start as say

    said = said_by(options)
    with opened(workshop) as store:
        view = say(store, job_id(store, job), said)
    tell_job(view, as_json=as_json)


@click.command("pass-on")
@click.argument("job")
@click.argument("to", default="")
@submission_to_job
def pass_on(job: str, to: str, *, workshop: str | None, as_json: bool, **options: Any) -> None:  # noqa: ANN401
    """Pass a JOB on to somebody else; to nobody if TO is left out."""
    from sagwright.cli.job_options import job_id, tell_job
    from sagwright.service.jobs.actions import pass_on as say

    said = said_by(options)
    with opened(workshop) as store:
        view = say(store, job_id(store, job), said, to=to)
    tell_job(view, as_json=as_json)


@click.command()
@click.argument("job")
@click.argument("step")
@click.option("--reading", "readings", multiple=True, metavar="KEY=TEXT", help="As typed: pressure_left='88 psi'.")
@click.option("--with", "instrument", metavar="ID", help="What the readings were taken with.")
@click.option("--took", metavar="TIME", help="How long it took, like '4 min'.")
@PHOTO
@submission_to_job
def record(job: str, step: str, *, workshop: str | None, as_json: bool, **options: Any) -> None:  # noqa: ANN401
    """Record a STEP of a JOB as done, by its key or its number in what was decided; `next` for the first one left."""
    from sagwright.cli.job_options import job_id, kept_photos, tell_job
    from sagwright.domain.records.payloads import Recorded
    from sagwright.service.jobs import actions
    from sagwright.service.jobs.decision import read_typed

    said, seconds = said_by(options), _seconds(options["took"])
    with opened(workshop) as store:
        key = job_id(store, job)
        step = _step(store, key, step)
        with named("--reading"):
            readings = read_typed(store, key, options["readings"], step=step, instrument=options["instrument"])
        photos = kept_photos(store, options["photos"], said)
        view = actions.record(store, key, said, what=Recorded(step, readings, seconds, photos))
    tell_job(view, as_json=as_json)


def _step(store: Workshop, job: str, said: str) -> str:
    """The key of a step.

    Raises
    ------
    NotThere, OutOfRange
    """
    from sagwright.service.jobs.decision import decision_of
    from sagwright.service.jobs.queries import open_job

    decided = decision_of(store, job).decided.steps
    left = open_job(store, job).view.state.left
    if said == "next" and left:
        return left[0]
    if said.isascii() and said.isdigit() and 0 < int(said) <= len(decided):
        return decided[int(said) - 1]
    if said in decided:
        return said
    remedy = f"Left are: {', '.join(left[:5]) or 'none'}; `sagwright job show JOB --plan` has all."
    raise OutOfRange("must be a step of what was decided", value=said, field="STEP", remedy=remedy)


def _seconds(took: str | None) -> float | None:
    from sagwright.units import parse

    if took is None:
        return None
    with named("--took"):
        seconds = parse(took, "time")
        if not 0.0 <= seconds <= 86_400.0:
            raise OutOfRange("must be from 0 min to 24 h", value=took)
        return seconds


@click.command()
@click.argument("job")
@click.argument("what")
@click.option("--step", metavar="KEY", help="Where it showed.")
@click.option("--failed", multiple=True, metavar="KEY", help="A criterion or a record that was not met.")
@click.option("--found", multiple=True, metavar="FIELD=VALUE", help="What was really inside, like travel_spacers=2.")
@PHOTO
@submission_to_job
def find(job: str, what: str, *, workshop: str | None, as_json: bool, **options: Any) -> None:  # noqa: ANN401
    """Record that something about a JOB is not as planned, WHAT in words; then settle and choose again."""
    from sagwright.cli.job_options import job_id, kept_photos, tell_job
    from sagwright.domain.records.payloads import FoundWrong
    from sagwright.formats.fields.tasks import read_found
    from sagwright.service.jobs.actions import find as say

    said = said_by(options)
    found = tuple(read_found(text) for text in options["found"])
    with opened(workshop) as store:
        photos = kept_photos(store, options["photos"], said)
        view = say(
            store,
            job_id(store, job),
            said,
            what=FoundWrong(what, options["step"], options["failed"], found, photos),
        )
    tell_job(view, as_json=as_json)
