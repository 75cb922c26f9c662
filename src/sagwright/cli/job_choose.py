"""`sagwright job choose`, `settle` and `answer`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from sagwright.cli.options import as_day, unit_choice
from sagwright.cli.workshop import opened, said_by, submission_to_job

if TYPE_CHECKING:
    from sagwright.domain.plan import Plan
    from sagwright.domain.task import Sequenced
    from sagwright.units import Choice

FACT = click.option(
    "--fact", "facts", multiple=True, metavar="PATH=TEXT", help="As in an intake: wish.travel='140 mm'."
)


@click.command()
@click.argument("job")
@FACT
@click.option("--decide", is_flag=True, help="Record it as decided: plan, intake, sheet and bike are kept as they are.")
@click.option("--units", default="", metavar="LIST", help="Units to show, like bar,in,lbf-in,lb.")
@click.option("--comma", is_flag=True, help="Write decimals with a comma.")
@submission_to_job
def choose(job: str, *, decide: bool, workshop: str | None, as_json: bool, **options: Any) -> int:  # noqa: ANN401
    """Plan a JOB from what is known of it, with other facts tried over it; --decide records it.

    Answers 1 if what was wished is refused.
    """
    from sagwright.cli.job_options import job_id, pairs, tell_job
    from sagwright.service.jobs import decision

    said, choice = said_by(options), unit_choice(options["units"], comma=options["comma"])
    with opened(workshop) as store:
        proposal = decision.propose(store, job_id(store, job), pairs("--fact", options["facts"]))
        view = decision.decide(store, proposal, said) if decide else None
    if view is not None:
        tell_job(view, as_json=as_json)
        return 0
    return _tell(proposal.work, choice, as_json=as_json)


def _tell(work: Plan | Sequenced, choice: Choice, *, as_json: bool) -> int:
    from sagwright.cli.output import write, write_json
    from sagwright.cli.plan_page import plan_document
    from sagwright.cli.steps_page import steps_document
    from sagwright.domain.plan import Plan
    from sagwright.formats.output.plan import plan_to_json
    from sagwright.formats.output.work import steps_to_json

    if isinstance(work, Plan):
        write_json(plan_to_json(work)) if as_json else write(plan_document(work, choice))
        return 1 if work.refused else 0
    write_json(steps_to_json(work)) if as_json else write(steps_document(work, choice))
    return 0


@click.command()
@click.argument("job")
@FACT
@click.option("--task", "tasks", multiple=True, metavar="TASK", help="What is asked by now, in the place of before.")
@click.option("--symptoms", metavar="TEXT", help="What the owner says by now.")
@click.option("--photo", "photos", multiple=True, metavar="FILE", help="A photo of it.")
@click.option("--incomplete", is_flag=True, help="Still more has to be read first.")
@submission_to_job
def settle(job: str, *, workshop: str | None, as_json: bool, **options: Any) -> None:  # noqa: ANN401
    """Say what became known of a JOB, or is wished otherwise."""
    from sagwright.cli.job_options import job_id, kept_photos, pairs, tell_job
    from sagwright.domain.records.payloads import Settled
    from sagwright.service.jobs.actions import settle as say

    said = said_by(options)
    with opened(workshop) as store:
        what = Settled(
            pairs("--fact", options["facts"]),
            tasks=options["tasks"] or None,
            symptoms=options["symptoms"],
            photos=kept_photos(store, options["photos"], said),
            complete=not options["incomplete"],
        )
        view = say(store, job_id(store, job), said, what=what)
    tell_job(view, as_json=as_json)


@click.command()
@click.argument("job")
@click.argument("finding")
@click.option("--who", required=True, metavar="NAME", help="Who answered.")
@click.option("--when", required=True, callback=as_day, metavar="DATE", help="Year-month-day.")
@click.option("--answer", "text", required=True, metavar="TEXT", help="What they said.")
@submission_to_job
def answer(job: str, finding: str, *, workshop: str | None, as_json: bool, **options: Any) -> None:  # noqa: ANN401
    """Record what someone answered to a FINDING that asks, by its code, like friction.high."""
    from sagwright.cli.job_options import job_id, tell_job
    from sagwright.domain.records.payloads import Answered
    from sagwright.service.jobs.actions import answer as say

    said = said_by(options)
    what = Answered(finding, options["who"], options["when"], options["text"])
    with opened(workshop) as store:
        view = say(store, job_id(store, job), said, what=what)
    tell_job(view, as_json=as_json)
