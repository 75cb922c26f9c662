"""`sagwright stance`."""

from __future__ import annotations

import pathlib

import click

from sagwright.cli.options import named, unit_choice


@click.command()
@click.argument("bike")
@click.option("--axle-to-crown", default="", metavar="LIST", help="Fork lengths, topped out, like 531,541,551 mm.")
@click.option("--sag-front", default="0 %", metavar="SHARE", help="Of each fork's travel, like 20%.")
@click.option("--sag-rear", default="0 %", metavar="SHARE", help="Of the rear travel, like 28%.")
@click.option("--svg", metavar="FILE", type=click.Path(dir_okay=False), help="Write the side view there.")
@click.option("--json", "as_json", is_flag=True, help="Print the stances as JSON (stance/1, SI units).")
@click.option("--units", default="", metavar="LIST", help="Units to show, like in.")
@click.option("--comma", is_flag=True, help="Write decimals with a comma.")
def stance(bike: str, **options: str | bool | None) -> int:
    """Stand the bike in the file BIKE on its wheels with forks of several lengths.

    Shows its angles and lengths with each, and the differences from the first. Answers 1 if the
    frame's maker permits one of the forks not at all.
    """
    from sagwright.cli.output import write, write_json
    from sagwright.cli.stance_page import stance_document
    from sagwright.formats.bike.load import load_bike
    from sagwright.formats.output.stance import stances_json
    from sagwright.service.calculators import stance as make
    from sagwright.service.plan import PROGRAM

    choice = unit_choice(str(options["units"]), comma=bool(options["comma"]))
    made = make(
        load_bike(bike),
        axle_to_crown=_lengths(str(options["axle_to_crown"])),
        sag_front=_share(str(options["sag_front"]), "--sag-front"),
        sag_rear=_share(str(options["sag_rear"]), "--sag-rear"),
    )
    if options["svg"] is not None:
        from sagwright.drawing.side_view import of_lengths, side_view

        drawn = side_view(of_lengths(made.stances, choice), choice=choice)
        pathlib.Path(str(options["svg"])).write_text(drawn, "utf-8", newline="\n")
    if options["as_json"]:
        write_json(stances_json(made.bike, made.stances, made.findings, program=PROGRAM))
    else:
        write(stance_document(made, choice))
    return 1 if made.refused else 0


def _lengths(text: str) -> list[float]:
    """ "531,541,551" or "531 mm, 20.9 in"; the last unit said holds for numbers without one, mm if there is none."""
    from sagwright.units import parse, split

    parts = [part.strip() for part in text.split(",") if part.strip()]
    units = [unit for part in parts if (unit := split(part)[1])]
    usual = units[-1] if units else "mm"
    with named("--axle-to-crown"):
        return [parse(part if split(part)[1] else f"{part} {usual}", "length") for part in parts]


def _share(text: str, option: str) -> float:
    from sagwright.units import parse

    with named(option):
        return parse(text, "fraction")
