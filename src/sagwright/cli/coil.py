"""`sagwright coil`."""

from __future__ import annotations

import click


@click.command()
@click.option(
    "--coil",
    "coils",
    multiple=True,
    required=True,
    metavar="TEXT",
    help="One on the shelf, like 'rate: 8 N/mm', or 'wire: 5 mm, outside: 31 mm, turns: 22, free_length: 240 mm'.",
)
@click.option("--load", required=True, metavar="FORCE", help="Force along the unit at rest, like '330 N'.")
@click.option("--travel", required=True, metavar="LENGTH", help="Of the unit, like '140 mm'.")
@click.option("--sag", required=True, metavar="SAG", help="Wanted, like '20 %' of travel, or '28 mm'.")
@click.option("--least-preload", default="0 mm", show_default=True, metavar="LENGTH", help="The unit needs.")
@click.option("--most-preload", default="12 mm", show_default=True, metavar="LENGTH", help="The unit takes.")
@click.option("--shorten", default="0 mm", show_default=True, metavar="LENGTH", help="By spacers under the top-out.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (coil/1, SI units).")
@click.option("--units", default="", metavar="LIST", help="Units to show, like lbf/in,in.")
@click.option("--comma", is_flag=True, help="Read and write decimals with a comma.")
def coil(coils: tuple[str, ...], *, as_json: bool, units: str, comma: bool, **written: str) -> int:
    """Choose a coil spring for a sag.

    For every coil the preload that brings it nearest, the sag that gives, and whether it goes solid before full travel;
    stress and buckling where it is said how the coil is made.
    """
    from sagwright.cli.coil_page import coil_document, question_of
    from sagwright.cli.output import write, write_json
    from sagwright.formats.output.spring import coil_to_json
    from sagwright.service.calculators import coil as answer
    from sagwright.units import Choice, choose

    choice = choose(units, base=Choice(decimal="," if comma else "."))
    answered = answer(question_of(written, choice), coils)
    if as_json:
        write_json(coil_to_json(answered))
    else:
        write(coil_document(answered, choice))
    return 0
