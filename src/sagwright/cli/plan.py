"""`sagwright plan`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from sagwright.cli.options import unit_choice
from sagwright.cli.progress import progress_of, progress_options

if TYPE_CHECKING:
    from sagwright.domain.plan import Plan
    from sagwright.units import Choice


@click.command()
@click.argument("intake")
@click.option("--json", "as_json", is_flag=True, help="Print the plan as JSON (plan/1, SI units).")
@progress_options
@click.option("--units", default="", metavar="LIST", help="Units to show, like bar,in,lbf-in,lb.")
@click.option("--comma", is_flag=True, help="Write decimals with a comma.")
@click.option("--all", "all_candidates", is_flag=True, help="Show every candidate, not only the best.")
@click.option("--side-view", metavar="FILE", type=click.Path(dir_okay=False), help="Write the bike, as SVG, there.")
@click.option("--cutaway", metavar="FILE", type=click.Path(dir_okay=False), help="Write the spring leg, as SVG, there.")
def plan(intake: str, *, as_json: bool, all_candidates: bool, **options: Any) -> int:  # noqa: ANN401  # click's options
    """Plan the work that the file INTAKE wishes for.

    Shows what was found, what the spring will do, the candidates, what changes inside, the kit and
    every step. With --done, --found, --failed, --extra or --after-break it goes on from there, its target
    chosen again for what was found. Answers 1 if the wish is refused, or what was found ends the work.
    """
    from sagwright.cli.output import write, write_json
    from sagwright.cli.plan_page import plan_document
    from sagwright.formats.intake.load import load_intake
    from sagwright.formats.output.plan import plan_to_json
    from sagwright.service.plan import go_on
    from sagwright.service.plan import plan as make

    choice = unit_choice(options["units"], comma=options["comma"])
    planned = make(load_intake(intake))
    progress = progress_of(planned.steps, options)
    planned = planned if progress is None else go_on(planned, progress)
    _draw(planned, choice, side_view=options["side_view"], cutaway=options["cutaway"])
    if as_json:
        write_json(plan_to_json(planned))
    else:
        write(plan_document(planned, choice, all_candidates=all_candidates))
    return 1 if planned.refused or planned.stops else 0


def _draw(plan: Plan, choice: Choice, *, side_view: object, cutaway: object) -> None:
    """The drawings that were asked for."""
    if side_view is None and cutaway is None:
        return
    from sagwright.cli.plan_drawings import write_cutaway, write_side_view

    if side_view is not None:
        write_side_view(plan, choice, str(side_view))
    if cutaway is not None:
        write_cutaway(plan, choice, str(cutaway))
