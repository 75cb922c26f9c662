"""`sagwright mistakes`."""

from __future__ import annotations

import click


@click.command()
@click.argument("sheet")
@click.option(
    "--build",
    required=True,
    metavar="TEXT",
    help="As it should be, like 'chassis: mid, travel: 140 mm, volume_spacers: 1, pressure: 78 psi'.",
)
@click.option("--load", required=True, metavar="FORCE", help="Force along the fork at rest, like '330 N'.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (mistakes/1, SI units).")
@click.option("--units", default="", metavar="LIST", help="Units to show, like bar,in,lbf.")
@click.option("--comma", is_flag=True, help="Read and write decimals with a comma.")
def mistakes(sheet: str, **options: object) -> int:
    """Show how usual mistakes in a build of a SHEET would show.

    Each is simulated and stands beside the build as it should be: travel, exposed stanchion, force, sag, and what the
    gauge reads before and after cycling; over time where something leaks.
    """
    from sagwright.cli.asked import LOAD, limited
    from sagwright.cli.mistakes_page import mistakes_document
    from sagwright.cli.options import named
    from sagwright.cli.output import write, write_json
    from sagwright.formats.output.spring import mistakes_to_json
    from sagwright.service.calculators import mistakes as answer
    from sagwright.units import Choice, choose

    choice = choose(str(options["units"]), base=Choice(decimal="," if options["comma"] else "."))
    load = limited("--load", str(options["load"]), "force", choice, limits=LOAD) or 0.0
    with named("SHEET"):
        loaded, diagnosis = answer(sheet, str(options["build"]), load=load)
    if options["as_json"]:
        write_json(mistakes_to_json(loaded, diagnosis))
    else:
        write(mistakes_document(loaded, diagnosis, choice))
    return 0
