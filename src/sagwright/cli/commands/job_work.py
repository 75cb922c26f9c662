"""`sagwright job plan`, `update`, `answer`, `prepare`, `start`, `pass-on`, `record` and `problem`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from sagwright.cli.commands.job_options import _FACT, PHOTO, Act, job_act, job_id, pairs, print_job
from sagwright.cli.commands.options import as_day, named_option, unit_choice
from sagwright.cli.commands.record_options import opened_workshop, submission_by, submission_to_job
from sagwright.errors import OutOfRange

if TYPE_CHECKING:
    from sagwright.domain.plan import Plan
    from sagwright.domain.records.job import JobView
    from sagwright.service.workshop.records import Workshop
    from sagwright.units import UnitChoice


@click.command("plan")
@click.argument("job")
@_FACT
@click.option("--decide", is_flag=True, help="Record it as decided: plan, intake, sheet and bike are kept as they are.")
@click.option("--units", default="", metavar="LIST", help="Units to show, like bar,in,lbf-in,lb.")
@click.option("--comma", is_flag=True, help="Write decimals with a comma.")
@submission_to_job
def plan_job_command(job: str, *, decide: bool, workshop: str | None, as_json: bool, **options: Any) -> int:  # noqa: ANN401
    """Plan a JOB from what is known of it, with other facts tried over it; --decide records it.

    Answers 1 if what was wished is refused.
    """
    from sagwright.service.jobs import actions, decision

    said, choice = submission_by(options), unit_choice(options["units"], comma=options["comma"])
    with opened_workshop(workshop) as store:
        proposal = decision.propose(store, job_id(store, job), pairs("--fact", options["facts"]))
        view = actions.decide(store, proposal, said) if decide else None
    if view is not None:
        print_job(view, as_json=as_json)
        return 0
    return _tell(proposal.plan, choice, as_json=as_json)


def _tell(plan: Plan, choice: UnitChoice, *, as_json: bool) -> int:
    from sagwright.cli.terminal.output import write, write_json
    from sagwright.cli.views.plan import plan_document
    from sagwright.formats.output.plan import plan_to_json

    write_json(plan_to_json(plan)) if as_json else write(plan_document(plan, choice))
    return 1 if plan.refused else 0


@click.command()
@click.argument("job")
@_FACT
@click.option("--task", "tasks", multiple=True, metavar="TASK", help="What is asked by now, in the place of before.")
@click.option("--symptoms", metavar="TEXT", help="What the customer says by now.")
@PHOTO
@click.option("--incomplete", is_flag=True, help="Still more has to be read first.")
@job_act
def update_command(  # a click option each
    act: Act,
    facts: tuple[str, ...],
    tasks: tuple[str, ...],
    symptoms: str | None,
    photos: tuple[str, ...],
    *,
    incomplete: bool,
) -> JobView:
    """Update the intake of a JOB: readings, wish, tasks."""
    from sagwright.domain.records.payloads import IntakeUpdated

    known = pairs("--fact", facts)
    what = IntakeUpdated(known, tasks or None, symptoms=symptoms, photos=act.photos(photos), complete=not incomplete)
    return act.record(what)


@click.command()
@click.argument("job")
@click.argument("finding")
@click.option("--who", required=True, metavar="NAME", help="Who answered.")
@click.option("--when", required=True, callback=as_day, metavar="DATE", help="Year-month-day.")
@click.option("--answer", "text", required=True, metavar="TEXT", help="What they said.")
@job_act
def answer_command(act: Act, finding: str, who: str, when: str, text: str) -> JobView:
    """Record what someone answered to a FINDING that asks, by its code, like friction.high."""
    from sagwright.domain.records.payloads import Answered

    return act.record(Answered(finding, who, when, text))


@click.command()
@click.argument("job")
@click.option("--have", "ticked", multiple=True, metavar="NAME", help="A line of tools and parts that lies ready.")
@click.option("--ready", is_flag=True, help="All of it lies ready: every line is ticked.")
@job_act
def prepare_command(act: Act, ticked: tuple[str, ...], *, ready: bool) -> JobView:
    """Record which tools and parts are ready for a JOB."""
    from sagwright.domain.records.payloads import Prepared
    from sagwright.service.jobs.decision import supply_keys

    return act.record(Prepared(supply_keys(act.store, act.job) if ready else ticked, ready=ready))


@click.command()
@click.argument("job")
@job_act
def start_command(act: Act) -> JobView:
    """Start or continue work on a JOB; it is then with you."""
    from sagwright.domain.records.payloads import Started

    return act.record(Started())


@click.command("pass-on")
@click.argument("job")
@click.argument("to", default="")
@job_act
def pass_on_command(act: Act, to: str) -> JobView:
    """Pass a JOB on to somebody else; to nobody if TO is left out."""
    from sagwright.domain.records.payloads import PassedOn

    return act.record(PassedOn(to))


@click.command("after-break")
@click.argument("job")
@click.option("--tagged", is_flag=True, required=True, help='The tag "not rideable" hangs on the unit.')
@job_act
def after_break(act: Act, *, tagged: bool) -> JobView:
    """Resume a JOB after a break, or take it from somebody else; pressures and torques are checked again first."""
    from sagwright.service.jobs.actions import resume_after_break

    return resume_after_break(act.store, act.job, act.submission)


@click.command()
@click.argument("job")
@click.argument("step")
@click.option(
    "--reading", "readings", multiple=True, metavar="KEY=TEXT", help="As typed: pressure_left='88 psi', scored=good."
)
@click.option("--with", "instrument", metavar="ID", help="What the readings were taken with.")
@click.option("--took", metavar="TIME", help="How long it took, like '4 min'.")
@PHOTO
@job_act
def record_command(
    act: Act, step: str, readings: tuple[str, ...], instrument: str | None, took: str | None, photos: tuple[str, ...]
) -> JobView:
    """Record a STEP of a JOB as done, by its key or its number in what was decided; `next` for the first one left."""
    from sagwright.domain.records.evidence import failure_of
    from sagwright.domain.records.payloads import StepDone
    from sagwright.service.jobs import actions
    from sagwright.service.jobs.readings import read_typed, step_of

    seconds = _seconds(took)
    actions.require_now(act.store, act.job, StepDone)
    step = _step(act.store, act.job, step)
    with named_option("--reading"):
        read = read_typed(act.store, act.job, readings, step=step, instrument=instrument)
    seen = act.photos(photos)
    wrong = failure_of(step_of(act.store, act.job, step), read, seen) if read else None
    return actions.inspect(act.store, act.job, act.submission, step=StepDone(step, read, seconds, seen), wrong=wrong)


def _step(store: Workshop, job: str, said: str) -> str:
    """The key of a step.

    Raises
    ------
    NotThere, OutOfRange
    """
    from sagwright.service.jobs.decision import decision_of
    from sagwright.service.jobs.queries import open_job

    decided = decision_of(store, job).decided.steps
    left = open_job(store, job).view.state.steps_left
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
    with named_option("--took"):
        seconds = parse(took, "time")
        if not 0.0 <= seconds <= 86_400.0:
            raise OutOfRange("must be from 0 min to 24 h", value=took)
        return seconds


@click.command()
@click.argument("job")
@click.argument("what")
@click.option("--step", metavar="KEY", help="Where it showed.")
@click.option("--failed", multiple=True, metavar="KEY", help="A criterion or reading that failed.")
@click.option("--found", multiple=True, metavar="FIELD=VALUE", help="What was really inside, like travel_spacers=2.")
@PHOTO
@job_act
def problem_command(
    act: Act, what: str, step: str | None, failed: tuple[str, ...], found: tuple[str, ...], photos: tuple[str, ...]
) -> JobView:
    """Record that something about a JOB is not as planned, WHAT in words; then settle and choose again."""
    from sagwright.domain.records.payloads import ProblemFound
    from sagwright.formats.fields.tasks import read_found

    inside = tuple(read_found(text) for text in found)
    return act.record(ProblemFound(what, step, failed, inside, act.photos(photos)))
