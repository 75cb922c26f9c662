"""`sagwright plan` and `sagwright steps`, with the options for work that was begun."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from time import monotonic
from typing import TYPE_CHECKING, Any, TypeVar

import click

from sagwright.cli.commands.options import named_option, unit_choice
from sagwright.errors import OutOfRange

if TYPE_CHECKING:
    from sagwright.domain.plan import Plan
    from sagwright.domain.step import Step
    from sagwright.domain.task import Progress
    from sagwright.units import UnitChoice
from typing import TYPE_CHECKING

F = TypeVar("F", bound=Callable[..., Any])

OPTIONS = (
    click.option(
        "--done",
        default="",
        metavar="STEPS",
        help='Continue after these: keys with commas ("break" for a rest), or a number.',
    ),
    click.option("--found", multiple=True, metavar="FIELD=VALUE", help="What was really there, like travel_spacers=2."),
    click.option("--failed", multiple=True, metavar="KEY", help="A criterion or reading that failed."),
    click.option("--extra", multiple=True, metavar="TASK", help="A task that was found and agreed on the way: damper."),
    click.option("--after-break", is_flag=True, help="Check pressure and torques again first."),
)

_TASKS = """\b
Tasks:
  set-pressure=80psi    the pressure to leave with; without it, it is decided at the bench
  change-travel=130mm   volume-spacers=2   inspect=lowers
  lower-legs            air-spring         damper            wipers
  change-coil=firm      preload-spacers=2  set-preload=3 turns, and
  coil-spring           where the spring is a coil
  measure               what can be read without opening anything
"""


def progress_options(command: F) -> F:
    """The options on a command."""
    for option in reversed(OPTIONS):
        command = option(command)
    return command


def progress_of(steps: Sequence[Step], options: dict[str, Any]) -> Progress | None:
    """What the options say; None where they say nothing. `steps_command` are numbered as they were planned."""
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


@click.command()
@click.argument("intake")
@click.option("--json", "as_json", is_flag=True, help="Print the plan as JSON (plan/1, SI units).")
@progress_options
@click.option("--units", default="", metavar="LIST", help="Units to show, like bar,in,lbf-in,lb.")
@click.option("--comma", is_flag=True, help="Write decimals with a comma.")
@click.option("--all", "all_options", is_flag=True, help="Show every option, not only the best.")
@click.option("--side-view", metavar="FILE", type=click.Path(dir_okay=False), help="Write the bike, as SVG, there.")
@click.option("--cutaway", metavar="FILE", type=click.Path(dir_okay=False), help="Write the spring leg, as SVG, there.")
def plan_command(intake: str, *, as_json: bool, all_options: bool, **options: Any) -> int:  # noqa: ANN401  # click's options
    """Plan the work that the file INTAKE wishes for.

    Shows what was found, what the spring will do, the options, what changes inside, the tools and parts and
    every step. With --done, --found, --failed, --extra or --after-break it goes on from there, its target
    chosen again for what was found. Answers 1 if the wish is refused, or what was found ends the work.
    """
    from sagwright.cli.terminal.output import write, write_json
    from sagwright.cli.views.plan import plan_document
    from sagwright.formats.intake.load import load_intake
    from sagwright.formats.output.plan import plan_to_json
    from sagwright.service.plan import plan as make

    choice = unit_choice(options["units"], comma=options["comma"])
    planned = _continued(make(load_intake(intake)), options)
    _draw(planned, choice, side_view=options["side_view"], cutaway=options["cutaway"])
    if as_json:
        write_json(plan_to_json(planned))
    else:
        write(plan_document(planned, choice, all_options=all_options))
    return 1 if planned.refused or planned.work.stops else 0


def _draw(plan: Plan, choice: UnitChoice, *, side_view: object, cutaway: object) -> None:
    """The drawings that were asked for."""
    if plan.selection is None or (side_view is None and cutaway is None):
        return
    from sagwright.cli.views.plan import write_cutaway, write_side_view

    if side_view is not None:
        write_side_view(plan.selection, choice, str(side_view))
    if cutaway is not None:
        write_cutaway(plan.selection, choice, str(cutaway))


@click.command(epilog=_TASKS)
@click.argument("sheet")
@click.option("--task", "tasks", multiple=True, required=True, metavar="TASK", help="What to do; may be repeated.")
@click.option("--chassis", default="", help="Which chassis the unit has, where the travel leaves it open.")
@click.option("--why", default="", metavar="STEP", help="Say why one step is there, by its key or number.")
@click.option("--one-page", is_flag=True, help="Only torques, fills, settings and hold points.")
@click.option("--json", "as_json", is_flag=True, help="Print the sequence as JSON (plan/1, SI units).")
@click.option("--drawing", is_flag=True, help="Print what comes before what as a drawing (SVG).")
@click.option(
    "--tool-change", default="0.5 min", show_default=True, metavar="TIME", help="Time that changing tools costs."
)
@click.option(
    "--position-change",
    default="1 min",
    show_default=True,
    metavar="TIME",
    help="Time that changing the position costs.",
)
@click.option("--earlier", default="", metavar="FILE", help="Keep to the order in this JSON where it costs nothing.")
@click.option("--time-limit", default="", metavar="TIME", help="Stop searching for a shorter order after this time.")
@progress_options
@click.option("--units", default="", metavar="LIST", help="Units to show, like bar,in,lbf-in,lb.")
@click.option("--comma", is_flag=True, help="Write decimals with a comma.")
def steps_command(sheet: str, **options: Any) -> int:  # noqa: ANN401  # click's options, each read once below
    """Put the work of several tasks on a unit of SHEET in one order of least work.

    What the tasks share is done once, and no more comes off than they need. Every sequence is
    carried out on a simulated unit before it is shown. With --done, --found, --failed or
    --after-break it goes on from there. Answers 1 if what was found ends the work.
    """
    from sagwright.cli.terminal.output import write, write_json

    choice = unit_choice(options["units"], comma=options["comma"])
    planned = _continued(_made(sheet, options), options)
    work = planned.work
    if options["as_json"]:
        from sagwright.formats.output.plan import plan_to_json

        write_json(plan_to_json(planned))
    elif options["drawing"]:
        from sagwright.drawing.font import standalone
        from sagwright.drawing.precedence import precedence_svg

        click.echo(standalone(precedence_svg(work.steps, work.sheet)), nl=False)
    else:
        from sagwright.cli.views.plan import plan_document
        from sagwright.cli.views.steps import one_page, why_document

        if options["why"]:
            write(why_document(work, options["why"], choice))
        else:
            write((one_page if options["one_page"] else plan_document)(planned, choice))
    return 1 if work.stops else 0


def _made(sheet: str, options: dict[str, Any]) -> Plan:
    from sagwright.domain.task import Ordering
    from sagwright.formats.fields.tasks import read_task
    from sagwright.formats.output.work import earlier_order
    from sagwright.formats.sheet.load import load_sheet
    from sagwright.service.plan import sequence

    with named_option("SHEET"):
        loaded = load_sheet(sheet)
    ordering = Ordering(
        tool_price=_time("--tool-change", options["tool_change"]),
        position_price=_time("--position-change", options["position_change"]),
        earlier=earlier_order(options["earlier"]) if options["earlier"] else (),
        stop=_stop(options["time_limit"]),
    )
    tasks = [read_task(text) for text in options["tasks"]]
    return sequence(loaded, tasks, chassis=options["chassis"], ordering=ordering)


def _continued(planned: Plan, options: dict[str, Any]) -> Plan:
    """The plan, or what is left of it where something was done or found."""
    from sagwright.service.plan import replan

    progress = progress_of(planned.work.steps, options)
    return planned if progress is None else replan(planned, progress)


def _time(option: str, text: str) -> float:
    """A time that is not negative and below a day [s]."""
    from sagwright.errors import OutOfRange
    from sagwright.units import parse

    with named_option(option):
        seconds = parse(text, "time")
        if not 0.0 <= seconds <= 86_400.0:
            raise OutOfRange("must be from 0 min to 24 h", value=text)
    return seconds


def _stop(limit: str) -> Callable[[], bool] | None:
    """What ends the search once the time is over."""
    if not limit:
        return None
    end = monotonic() + _time("--time-limit", limit)
    return lambda: monotonic() >= end
