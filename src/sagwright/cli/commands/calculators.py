"""`sagwright coil`, `curve_command`, `mistakes_command`, `pressure_command` and `stance_command`."""

from __future__ import annotations

import pathlib

import click

from sagwright.cli.commands.options import named_option, unit_choice


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
def coil_command(coils: tuple[str, ...], *, as_json: bool, units: str, comma: bool, **written: str) -> int:
    """Choose a coil spring for a sag.

    For every coil the preload that brings it nearest, the sag that gives, and whether it goes solid before full travel;
    stress and buckling where it is said how the coil is made.
    """
    from sagwright.cli.terminal.output import write, write_json
    from sagwright.cli.views.spring import coil_document, coil_question_of
    from sagwright.formats.output.spring import coil_to_json
    from sagwright.service.calculators import rank_coils_for as answer
    from sagwright.units import UnitChoice, choose_units

    choice = choose_units(units, base=UnitChoice(decimal="," if comma else "."))
    answered = answer(coil_question_of(written, choice), coils)
    if as_json:
        write_json(coil_to_json(answered))
    else:
        write(coil_document(answered, choice))
    return 0


@click.command()
@click.argument("sheet")
@click.option(
    "--setup",
    "setups",
    multiple=True,
    required=True,
    metavar="TEXT",
    help="One setup, like 'chassis: mid, travel: 140 mm, volume_spacers: 1, pressure: 78 psi', or of a coil fork "
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
def curve_command(sheet: str, setups: tuple[str, ...], **options: object) -> int:
    """Compare the springs of any number of setups of a SHEET.

    Force, stiffness, energy and the pressure of each chamber over the travel, with their uncertainty; sag
    between friction pushing and pulling; the work a stroke loses to heat. Wrong setups are computed too:
    leave port_position behind, or write cycled: no.
    """
    from sagwright.cli.commands.options import named_option
    from sagwright.cli.views.curve import answer_with, curve_question_of
    from sagwright.service.calculators import compare_curves as compare
    from sagwright.units import UnitChoice, choose_units

    choice = choose_units(str(options["units"]), base=UnitChoice(decimal="," if options["comma"] else "."))
    question = curve_question_of(options, choice)
    with named_option("SHEET"):
        compared = compare(sheet, setups, question)
    answer_with(compared, options, choice)
    return 0


@click.command()
@click.argument("sheet")
@click.option(
    "--setup",
    required=True,
    metavar="TEXT",
    help="As it should be, like 'chassis: mid, travel: 140 mm, volume_spacers: 1, pressure: 78 psi'.",
)
@click.option("--load", required=True, metavar="FORCE", help="Force along the fork at rest, like '330 N'.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (mistakes/1, SI units).")
@click.option("--units", default="", metavar="LIST", help="Units to show, like bar,in,lbf.")
@click.option("--comma", is_flag=True, help="Read and write decimals with a comma.")
def mistakes_command(sheet: str, **options: object) -> int:
    """Show how usual mistakes in a setup of a SHEET would show.

    Each is simulated and stands beside the setup as it should be: travel, exposed stanchion, force, sag, and what the
    gauge reads before and after cycling; over time where something leaks.
    """
    from sagwright.cli.commands.options import named_option
    from sagwright.cli.terminal.output import write, write_json
    from sagwright.cli.views.numbers import LOAD, limited
    from sagwright.cli.views.spring import mistakes_document
    from sagwright.formats.output.spring import mistakes_to_json
    from sagwright.service.calculators import simulate_mistakes as answer
    from sagwright.units import UnitChoice, choose_units

    choice = choose_units(str(options["units"]), base=UnitChoice(decimal="," if options["comma"] else "."))
    load = limited("--load", str(options["load"]), "force", choice, limits=LOAD) or 0.0
    with named_option("SHEET"):
        loaded, diagnosis = answer(sheet, str(options["setup"]), load=load)
    if options["as_json"]:
        write_json(mistakes_to_json(loaded, diagnosis))
    else:
        write(mistakes_document(loaded, diagnosis, choice))
    return 0


@click.command()
@click.argument("reading")
@click.option("--here", metavar="TEMP", help="Temperature of the gas as it is read; 20 °C if left out.")
@click.option("--here-altitude", metavar="LENGTH", help="Altitude there, like '600 m'; sea level if left out.")
@click.option("--here-air", metavar="PRESSURE", help="Air pressure instead of the altitude, like '1009 hPa'.")
@click.option("--there", metavar="TEMP", help="Temperature where it is ridden.")
@click.option("--there-altitude", metavar="LENGTH", help="Altitude where it is ridden.")
@click.option("--there-air", metavar="PRESSURE", help="Air pressure where it is ridden.")
@click.option("--hose", metavar="VOLUME", help="Volume of the pump's hose and gauge, like '3 ml'.")
@click.option("--chamber", metavar="VOLUME", help="Volume of the gas behind the valve, like '190 ml'.")
@click.option("--hose-start", metavar="PRESSURE", help="Pressure in the hose before; 0 if left out.")
@click.option("--dial", is_flag=True, help="The gauge is a dial; a digital one if left out.")
@click.option("--sealed", is_flag=True, help="The gauge is sealed, not vented.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (pressure/1, SI units).")
@click.option("--units", default="", metavar="LIST", help="Units to show, like bar,ml.")
@click.option("--comma", is_flag=True, help="Read and write decimals with a comma.")
def pressure_command(reading: str, *, as_json: bool, units: str, comma: bool, **written: str | None) -> int:
    """What a gauge's READING, like '78 psi', means.

    What was in the chamber before the pump was screwed on, what the next connecting takes, what the same
    charge reads where it is ridden, and what to set here so that it reads the same there.
    """
    from sagwright.cli.terminal.output import write, write_json
    from sagwright.cli.views.pressure import pressure_document, pressure_question_of
    from sagwright.formats.output.spring import pressure_to_json
    from sagwright.service.calculators import explain_pressure as answer
    from sagwright.units import UnitChoice, choose_units

    choice = choose_units(units, base=UnitChoice(decimal="," if comma else "."))
    answered = answer(pressure_question_of(reading, dict(written), choice))
    if as_json:
        write_json(pressure_to_json(answered))
    else:
        write(pressure_document(answered, choice))
    return 0


@click.command()
@click.argument("bike")
@click.option("--axle-to-crown", default="", metavar="LIST", help="Fork lengths, topped out, like 531,541,551 mm.")
@click.option("--sag-front", default="0 %", metavar="SHARE", help="Of each fork's travel, like 20%.")
@click.option("--sag-rear", default="0 %", metavar="SHARE", help="Of the rear travel, like 28%.")
@click.option("--svg", metavar="FILE", type=click.Path(dir_okay=False), help="Write the side view there.")
@click.option("--json", "as_json", is_flag=True, help="Print the stances as JSON (stance/1, SI units).")
@click.option("--units", default="", metavar="LIST", help="Units to show, like in.")
@click.option("--comma", is_flag=True, help="Write decimals with a comma.")
def stance_command(bike: str, **options: str | bool | None) -> int:
    """Stand the bike in the file BIKE on its wheels with forks of several lengths.

    Shows its angles and lengths with each, and the differences from the first. Answers 1 if the
    frame's maker permits one of the forks not at all.
    """
    from sagwright.cli.terminal.output import write, write_json
    from sagwright.cli.views.stance import stance_document
    from sagwright.formats.bike.load import load_bike
    from sagwright.formats.output.stance import stances_json
    from sagwright.service.calculators import stance_of_forks as make
    from sagwright.version import PROGRAM

    choice = unit_choice(str(options["units"]), comma=bool(options["comma"]))
    made = make(
        load_bike(bike),
        axle_to_crown=_lengths(str(options["axle_to_crown"])),
        sag_front=_share(str(options["sag_front"]), "--sag-front"),
        sag_rear=_share(str(options["sag_rear"]), "--sag-rear"),
    )
    if options["svg"] is not None:
        from sagwright.drawing.font import standalone
        from sagwright.drawing.side_view import of_lengths, side_view

        drawn = side_view(of_lengths(made.stances, choice), choice=choice)
        pathlib.Path(str(options["svg"])).write_text(standalone(drawn), "utf-8", newline="\n")
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
    with named_option("--axle-to-crown"):
        return [parse(part if split(part)[1] else f"{part} {usual}", "length") for part in parts]


def _share(text: str, option: str) -> float:
    from sagwright.units import parse

    with named_option(option):
        return parse(text, "fraction")
