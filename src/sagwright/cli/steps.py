"""`sagwright steps`."""

from __future__ import annotations

from collections.abc import Callable
from time import monotonic
from typing import TYPE_CHECKING, Any

import click

from sagwright.cli.options import named, unit_choice
from sagwright.cli.progress import progress_of, progress_options

if TYPE_CHECKING:
    from sagwright.domain.task import Sequenced

TASKS = """\b
Tasks:
  set-pressure=80psi    the pressure to leave with; without it, it is decided at the bench
  change-travel=130mm   volume-spacers=2   inspect=lowers
  lower-legs            air-spring         damper            wipers
  change-coil=firm      preload-spacers=2  set-preload=3 turns, and
  coil-spring           where the spring is a coil
  measure               what can be read without opening anything
"""


@click.command(epilog=TASKS)
@click.argument("sheet")
@click.option("--task", "tasks", multiple=True, required=True, metavar="TASK", help="What to do; may be repeated.")
@click.option("--chassis", default="", help="Which chassis the unit has, where the travel leaves it open.")
@click.option("--why", default="", metavar="STEP", help="Say why one step is there, by its key or number.")
@click.option("--one-page", is_flag=True, help="Only torques, fills, settings and gates.")
@click.option("--json", "as_json", is_flag=True, help="Print the sequence as JSON (steps/1, SI units).")
@click.option("--drawing", is_flag=True, help="Print what comes before what as a drawing (SVG).")
@click.option("--tool-change", default="0.5 min", show_default=True, metavar="TIME", help="Price of other tools.")
@click.option("--position-change", default="1 min", show_default=True, metavar="TIME", help="Price of a turn.")
@click.option("--earlier", default="", metavar="FILE", help="Keep to the order in this JSON where it costs nothing.")
@click.option("--time-limit", default="", metavar="TIME", help="Give up the proof after this time.")
@progress_options
@click.option("--units", default="", metavar="LIST", help="Units to show, like bar,in,lbf-in,lb.")
@click.option("--comma", is_flag=True, help="Write decimals with a comma.")
def steps(sheet: str, **options: Any) -> int:  # noqa: ANN401  # click's options, each read once below
    """Put the work of several tasks on a unit of SHEET in one proven order.

    What the tasks share is done once, and no more comes off than they need. Every sequence is
    carried out on a simulated unit before it is shown. With --done, --found, --failed or
    --after-break it goes on from there. Answers 1 if what was found ends the work.
    """
    from sagwright.cli.output import write, write_json

    choice = unit_choice(options["units"], comma=options["comma"])
    work = _continued(_made(sheet, options), options)
    if options["as_json"]:
        from sagwright.formats.output.work import steps_to_json

        write_json(steps_to_json(work))
    elif options["drawing"]:
        from sagwright.drawing.precedence import precedence_svg

        click.echo(precedence_svg(work.steps, work.sheet), nl=False)
    else:
        from sagwright.cli.steps_page import one_page, steps_document, why_document

        if options["why"]:
            write(why_document(work, options["why"], choice))
        else:
            write((one_page if options["one_page"] else steps_document)(work, choice))
    return 1 if work.stops else 0


def _made(sheet: str, options: dict[str, Any]) -> Sequenced:
    from sagwright.domain.task import Ordering
    from sagwright.formats.fields.tasks import read_task
    from sagwright.formats.output.work import earlier_order
    from sagwright.formats.sheet.load import load_sheet
    from sagwright.service.plan import sequence

    with named("SHEET"):
        loaded = load_sheet(sheet)
    ordering = Ordering(
        tool_price=_time("--tool-change", options["tool_change"]),
        position_price=_time("--position-change", options["position_change"]),
        earlier=earlier_order(options["earlier"]) if options["earlier"] else (),
        stop=_stop(options["time_limit"]),
    )
    tasks = [read_task(text) for text in options["tasks"]]
    return sequence(loaded, tasks, chassis=options["chassis"], ordering=ordering)


def _continued(work: Sequenced, options: dict[str, Any]) -> Sequenced:
    """The work, or what is left of it where something was done or found."""
    from sagwright.service.plan import replan

    progress = progress_of(work.steps, options)
    return work if progress is None else replan(work, progress)


def _time(option: str, text: str) -> float:
    """A time that is not negative and below a day [s]."""
    from sagwright.errors import OutOfRange
    from sagwright.units import parse

    with named(option):
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
