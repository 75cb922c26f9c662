"""`sagwright pressure`."""

from __future__ import annotations

import click


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
def pressure(reading: str, *, as_json: bool, units: str, comma: bool, **written: str | None) -> int:
    """What a gauge's READING, like '78 psi', means.

    What was in the chamber before the pump was screwed on, what the next connecting takes, what the same
    charge reads where it is ridden, and what to set here so that it reads the same there.
    """
    from sagwright.cli.output import write, write_json
    from sagwright.cli.pressure_page import pressure_document, question_of
    from sagwright.formats.output.spring import pressure_to_json
    from sagwright.service.calculators import pressure as answer
    from sagwright.units import Choice, choose

    choice = choose(units, base=Choice(decimal="," if comma else "."))
    answered = answer(question_of(reading, dict(written), choice))
    if as_json:
        write_json(pressure_to_json(answered))
    else:
        write(pressure_document(answered, choice))
    return 0
