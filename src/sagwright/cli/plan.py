"""`sagwright plan`."""

from __future__ import annotations

import click

from sagwright.cli.options import unit_choice


@click.command()
@click.argument("intake")
@click.option("--json", "as_json", is_flag=True, help="Print the plan as JSON (plan/1, SI units).")
@click.option("--units", default="", metavar="LIST", help="Units to show, like bar,in,lbf-in,lb.")
@click.option("--comma", is_flag=True, help="Write decimals with a comma.")
@click.option("--all", "all_candidates", is_flag=True, help="Show every candidate, not only the best.")
def plan(intake: str, *, as_json: bool, units: str, comma: bool, all_candidates: bool) -> int:
    """Plan the work that the file INTAKE wishes for.

    Shows what was found, what the spring will do, the candidates, what changes inside, the kit and
    every step. Answers 1 if the wish is refused.
    """
    from sagwright.cli.output import write, write_json
    from sagwright.cli.plan_page import plan_document
    from sagwright.formats.intake import load_intake
    from sagwright.formats.plan_json import plan_to_json
    from sagwright.service.plan import plan as make

    choice = unit_choice(units, comma=comma)
    planned = make(load_intake(intake))
    if as_json:
        write_json(plan_to_json(planned))
    else:
        write(plan_document(planned, choice, all_candidates=all_candidates))
    return 1 if planned.refused else 0
