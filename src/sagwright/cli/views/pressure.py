"""What a reading means, as a page."""

from __future__ import annotations

from collections.abc import Iterator

from sagwright.cli.terminal.document import Block, Heading, Paragraph, TextDocument, TextRow, TextRows, Tone
from sagwright.cli.views.numbers import READING, VOLUME, limited, parse_location
from sagwright.domain import measuring
from sagwright.domain.gauge_reading import GaugeClass, PressureAnswer, PressureQuestion, Pump
from sagwright.domain.intake import Surroundings
from sagwright.domain.value import Measured, Quantity
from sagwright.errors import MissingValue
from sagwright.phrases import quantities
from sagwright.units import UnitChoice, show_difference, show_in

FINE = {"psi": 1, "bar": 3, "kPa": 1, "hPa": 0, "mbar": 0, "MPa": 4, "Pa": 0}
"""Decimals of a pressure here: one more than the trade reads, since small differences are the point."""


def pressure_question_of(reading: str, written: dict[str, str | None], choice: UnitChoice) -> PressureQuestion:
    """The question that a command line asks.

    Raises
    ------
    InputError
        Naming the option that cannot be read or be, or is missing.
    """
    gauge = limited("READING", reading, "pressure", choice, limits=READING)
    here = parse_location("here", written, choice)
    there = parse_location("there", _there(written), choice)
    gauge_class = GaugeClass.DIAL if written["dial"] else GaugeClass.DIGITAL
    return PressureQuestion(gauge or 0.0, here, there, _pump(written, choice), bool(written["sealed"]), gauge_class)


def _there(written: dict[str, str | None]) -> dict[str, str | None]:
    """Where nothing is said of there, it is as here."""
    said = {key: text for key, text in written.items() if key.startswith("there")}
    if said["there"] is None:
        said["there"] = written["here"]
    if said["there_altitude"] is None and said["there_air"] is None:
        said |= {f"there_{key}": written[f"here_{key}"] for key in ("altitude", "air")}
    return said


def _pump(written: dict[str, str | None], choice: UnitChoice) -> Pump | None:
    hose = limited("--hose", written["hose"], "volume", choice, limits=VOLUME)
    chamber = limited("--chamber", written["chamber"], "volume", choice, limits=VOLUME)
    start = limited("--hose-start", written["hose_start"], "pressure", choice, limits=READING)
    if hose is None and chamber is None and start is None:
        return None
    for option, given in (("--hose", hose), ("--chamber", chamber)):
        if given is None:
            raise MissingValue(
                "must be given to say what the pump does", field=option, remedy="Give a volume, like '3 ml'."
            )
    return Pump(hose or 0.0, chamber or 0.0, start or 0.0)


def pressure_document(answer: PressureAnswer, choice: UnitChoice) -> TextDocument:
    """The answers for a terminal or a pipe."""
    return tuple(_blocks(answer, choice))


def _blocks(answer: PressureAnswer, choice: UnitChoice) -> Iterator[Block]:
    question = answer.question
    kind = "sealed gauge, against 1013 hPa" if question.sealed else "vented gauge, against the air around it"
    yield TextRows(
        (
            TextRow("reading", f"{_shown(question.reading_gauge, choice)} at {_place(question.here, choice)}; {kind}"),
            TextRow("absolute", _answer(answer.absolute_abs, choice)),
            TextRow("warms by", f"{_shown(answer.per_kelvin.value, choice, more=1)} for each °C, topped out"),
        )
    )
    yield Paragraph(_meaning(question.gauge, choice), Tone.SOFT)
    before, again, taken = answer.before_gauge, answer.reconnected_gauge, answer.taken
    if before is not None and again is not None and taken is not None:
        yield Heading("The pump")
        yield TextRows(tuple(_pump_rows(before, again, taken, choice)))
    if question.here != question.there:
        yield Heading("Set it here, ride it there")
        yield TextRows(tuple(_there_rows(answer, choice)))
        yield Paragraph(
            "Topped out, all chambers at the temperature said; ideal gas, within 0.5 % of real air.", Tone.SOFT
        )


def _meaning(kind: GaugeClass, choice: UnitChoice) -> str:
    warm = quantities.difference(measuring.THERMOMETER.half_width, Quantity.TEMPERATURE, choice)
    return (
        f"± is one standard uncertainty, of a {kind} gauge, volumes as a syringe and a bottle measure them, and a "
        f"thermometer good to {warm}; one pump reads everything, so that its bias cancels in part."
    )


def _pump_rows(before: Measured, again: Measured, taken: Measured, choice: UnitChoice) -> Iterator[TextRow]:
    share = quantities.number_text(taken.value, Quantity.FRACTION, choice)
    share_u = quantities.uncertainty_in_column(taken.u or 0.0, Quantity.FRACTION, choice)
    yield TextRow("before", f"{_answer(before, choice)} was in the chamber before the pump was screwed on")
    yield TextRow("again", f"{_answer(again, choice)} is what it shows when the empty pump is screwed on once more")
    yield TextRow("takes", f"{share} ± {share_u} of the gauge pressure each time; that is no leak")


def _there_rows(answer: PressureAnswer, choice: UnitChoice) -> Iterator[TextRow]:
    reading, there = _shown(answer.question.reading_gauge, choice), _place(answer.question.there, choice)
    yield TextRow("there", f"{_answer(answer.there_gauge, choice)} is what it reads at {there}")
    yield TextRow("set here", f"{_answer(answer.set_here_gauge, choice)} so that it reads {reading} there")


def _answer(pressure: Measured, choice: UnitChoice) -> str:
    """A pressure ± its standard uncertainty."""
    unit = choice.unit(Quantity.PRESSURE)
    digits = FINE.get(unit, 2)
    uncertainty = show_difference(pressure.u or 0.0, unit, decimal=choice.decimal, digits=digits).removesuffix(
        f" {unit}"
    )
    return f"{_shown(pressure.value, choice)} ± {uncertainty}"


def _shown(pressure: float, choice: UnitChoice, *, more: int = 0) -> str:
    unit = choice.unit(Quantity.PRESSURE)
    return show_in(choice, pressure, Quantity.PRESSURE, digits=FINE.get(unit, 2) + more)


def _place(where: Surroundings, choice: UnitChoice) -> str:
    temperature = quantities.number_text(where.temperature, Quantity.TEMPERATURE, choice)
    return f"{temperature} in air of {where.ambient_abs / 100:.0f} hPa"
