"""`sagwright job choose`, `settle`, `answer`, `prepare`, `start`, `pass-on`, `record` and `find`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from sagwright.cli.commands.job_options import FACT, PHOTO, Act, job_act, job_id, pairs, tell_job
from sagwright.cli.commands.options import as_day, named, unit_choice
from sagwright.cli.commands.record_options import opened, said_by, submission_to_job
from sagwright.errors import OutOfRange

if TYPE_CHECKING:
    from sagwright.domain.plan import Plan
    from sagwright.domain.records.job import JobView
    from sagwright.service.workshop.records import Workshop
    from sagwright.units import Choice


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
    from sagwright.service.jobs import actions, decision

    said, choice = said_by(options), unit_choice(options["units"], comma=options["comma"])
    with opened(workshop) as store:
        proposal = decision.propose(store, job_id(store, job), pairs("--fact", options["facts"]))
        view = actions.decide(store, proposal, said) if decide else None
    if view is not None:
        tell_job(view, as_json=as_json)
        return 0
    return _tell(proposal.plan, choice, as_json=as_json)


def _tell(plan: Plan, choice: Choice, *, as_json: bool) -> int:
    from sagwright.cli.terminal.output import write, write_json
    from sagwright.cli.views.plan import plan_document
    from sagwright.formats.output.plan import plan_to_json

    write_json(plan_to_json(plan)) if as_json else write(plan_document(plan, choice))
    return 1 if plan.refused else 0


@click.command()
@click.argument("job")
@FACT
@click.option("--task", "tasks", multiple=True, metavar="TASK", help="What is asked by now, in the place of before.")
@click.option("--symptoms", metavar="TEXT", help="What the owner says by now.")
@PHOTO
@click.option("--incomplete", is_flag=True, help="Still more has to be read first.")
@job_act
def settle(  # a click option each
    act: Act,
    facts: tuple[str, ...],
    tasks: tuple[str, ...],
    symptoms: str | None,
    photos: tuple[str, ...],
    *,
    incomplete: bool,
) -> JobView:
    """Say what became known of a JOB, or is wished otherwise."""
    from sagwright.domain.records.payloads import Settled

    known = pairs("--fact", facts)
    what = Settled(known, tasks or None, symptoms=symptoms, photos=act.photos(photos), complete=not incomplete)
    return act.record(what)


@click.command()
@click.argument("job")
@click.argument("finding")
@click.option("--who", required=True, metavar="NAME", help="Who answered.")
@click.option("--when", required=True, callback=as_day, metavar="DATE", help="Year-month-day.")
@click.option("--answer", "text", required=True, metavar="TEXT", help="What they said.")
@job_act
def answer(act: Act, finding: str, who: str, when: str, text: str) -> JobView:
    """Record what someone answered to a FINDING that asks, by its code, like friction.high."""
    from sagwright.domain.records.payloads import Answered

    return act.record(Answered(finding, who, when, text))


@click.command()
@click.argument("job")
@click.option("--have", "ticked", multiple=True, metavar="NAME", help="A line of the kit that lies ready.")
@click.option("--ready", is_flag=True, help="All of it lies ready: every line is ticked.")
@job_act
def prepare(act: Act, ticked: tuple[str, ...], *, ready: bool) -> JobView:
    """Say what of the kit lies ready for a JOB."""
    from sagwright.domain.records.payloads import Prepared
    from sagwright.service.jobs.decision import kit_keys

    return act.record(Prepared(kit_keys(act.store, act.job) if ready else ticked, ready=ready))


@click.command()
@click.argument("job")
@job_act
def start(act: Act) -> JobView:
    """Begin work on a JOB at the stand, or go on with it; whoever says so has it."""
    from sagwright.domain.records.payloads import Started

    return act.record(Started())


@click.command("pass-on")
@click.argument("job")
@click.argument("to", default="")
@job_act
def pass_on(act: Act, to: str) -> JobView:
    """Pass a JOB on to somebody else; to nobody if TO is left out."""
    from sagwright.domain.records.payloads import PassedOn

    return act.record(PassedOn(to))


@click.command("go-on")
@click.argument("job")
@click.option("--tagged", is_flag=True, required=True, help='The tag "not rideable" hangs on the unit.')
@job_act
def go_on(act: Act, *, tagged: bool) -> JobView:
    """Go on with a JOB after it rested, or from other hands; what is charged and tight is proven first."""
    from sagwright.service.jobs.actions import go_on_after_rest

    return go_on_after_rest(act.store, act.job, act.said)


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
def record(
    act: Act, step: str, readings: tuple[str, ...], instrument: str | None, took: str | None, photos: tuple[str, ...]
) -> JobView:
    """Record a STEP of a JOB as done, by its key or its number in what was decided; `next` for the first one left."""
    from sagwright.domain.records.evidence import failure_of
    from sagwright.domain.records.payloads import Recorded
    from sagwright.service.jobs import actions
    from sagwright.service.jobs.readings import read_typed, step_of

    seconds = _seconds(took)
    actions.require_now(act.store, act.job, Recorded)
    step = _step(act.store, act.job, step)
    with named("--reading"):
        read = read_typed(act.store, act.job, readings, step=step, instrument=instrument)
    seen = act.photos(photos)
    wrong = failure_of(step_of(act.store, act.job, step), read, seen) if read else None
    return actions.inspect(act.store, act.job, act.said, step=Recorded(step, read, seconds, seen), wrong=wrong)


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
@job_act
def find(
    act: Act, what: str, step: str | None, failed: tuple[str, ...], found: tuple[str, ...], photos: tuple[str, ...]
) -> JobView:
    """Record that something about a JOB is not as planned, WHAT in words; then settle and choose again."""
    from sagwright.domain.records.payloads import FoundWrong
    from sagwright.formats.fields.tasks import read_found

    inside = tuple(read_found(text) for text in found)
    return act.record(FoundWrong(what, step, failed, inside, act.photos(photos)))
