"""`sagwright curve`."""

from __future__ import annotations

import click


@click.command()
@click.argument("sheet")
@click.option(
    "--build",
    "builds",
    multiple=True,
    required=True,
    metavar="TEXT",
    help="One build, like 'chassis: mid, travel: 140 mm, volume_spacers: 1, pressure: 78 psi', or of a coil fork "
    "'travel: 150 mm, coil: firm, preload_spacers: 1, preload_turns: 3'; repeat for more.",
)
@click.option("--load", metavar="FORCE", help="Force along the fork at rest, like '330 N'; shows the sag.")
@click.option("--exponent", default=1.2, show_default=True, help="Polytropic exponent of the stroke, 1 to 1.4.")
@click.option("--points", default=101, show_default=True, help="Points of each curve.")
@click.option("--speed", type=float, metavar="M/S", help="Peak speed of a stroke; shows its hysteresis loop.")
@click.option("--tau", default=3.0, show_default=True, metavar="S", help="Time constant of the walls; assumed.")
@click.option("--real-air", is_flag=True, help="Correct compressed chambers for real air.")
@click.option("--svg", metavar="FILE", help="Write the chart as SVG.")
@click.option("--png", metavar="FILE", help="Write the chart as PNG.")
@click.option("--csv", metavar="FILE", help="Write every point as CSV; - for standard output.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (curve/1, SI units).")
@click.option("--units", default="", metavar="LIST", help="Units to show, like bar,in,lbf.")
@click.option("--comma", is_flag=True, help="Read and write decimals with a comma.")
def curve(sheet: str, builds: tuple[str, ...], **options: object) -> int:
    """Compare the springs of any number of builds of a SHEET.

    Force, stiffness, energy and the pressure of each chamber over the travel, with their uncertainty; sag
    between friction pushing and pulling; the work a stroke loses to heat. Wrong builds are computed too:
    leave equaliser_hole behind, or write cycled: no.
    """
    from sagwright.cli.curve_page import answer_with, question_of
    from sagwright.cli.options import named
    from sagwright.service.calculators import curve as compare
    from sagwright.units import Choice, choose

    choice = choose(str(options["units"]), base=Choice(decimal="," if options["comma"] else "."))
    question = question_of(options, choice)
    with named("SHEET"):
        compared = compare(sheet, builds, question)
    answer_with(compared, options, choice)
    return 0
