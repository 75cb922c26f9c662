"""What a reading means, as a page."""

from __future__ import annotations

from collections.abc import Iterator

from sagwright.cli.terminal.document import Block, Document, Heading, Paragraph, Row, Rows, Tone
from sagwright.cli.views.numbers import READING, VOLUME, limited, place
from sagwright.domain import measuring
from sagwright.domain.gauge_reading import GaugeClass, PressureAnswer, PressureQuestion, Pump
from sagwright.domain.intake import Surroundings
from sagwright.domain.value import Measured, Quantity
from sagwright.errors import MissingValue
from sagwright.phrases import quantities
from sagwright.units import Choice, show_difference, show_in

FINE = {"psi": 1, "bar": 3, "kPa": 1, "hPa": 0, "mbar": 0, "MPa": 4, "Pa": 0}
"""Decimals of a pressure here: one more than the trade reads, since small differences are the point."""


def question_of(reading: str, written: dict[str, str | None], choice: Choice) -> PressureQuestion:
    """The question that a command line asks.

    Raises
    ------
    InputError
        Naming the option that cannot be read or be, or is missing.
    """
    gauge = limited("READING", reading, "pressure", choice, limits=READING)
    here = place("here", written, choice)
    there = place("there", _there(written), choice)
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


def _pump(written: dict[str, str | None], choice: Choice) -> Pump | None:
    hose = limited("--hose", written["hose"], "volume", choice, limits=VOLUME)
    chamber = limited("--chamber", written["chamber"], "volume", choice, limits=VOLUME)
    start = limited("--hose-start", written["hose_start"], "pressure", choice, limits=READING)
    if hose is None and chamber is None and start is None:
        return None
    for option, given in (("--hose", hose), ("--chamber", chamber)):
        if given is None:
            raise MissingValue(
                "must be there to say what the pump does", field=option, remedy="Give a volume, like '3 ml'."
            )
    return Pump(hose or 0.0, chamber or 0.0, start or 0.0)


def pressure_document(answer: PressureAnswer, choice: Choice) -> Document:
    """The answers for a terminal or a pipe."""
    return tuple(_blocks(answer, choice))


def _blocks(answer: PressureAnswer, choice: Choice) -> Iterator[Block]:
    question = answer.question
    kind = "sealed gauge, against 1013 hPa" if question.sealed else "vented gauge, against the air around it"
    yield Rows(
        (
            Row("reading", f"{_shown(question.reading_gauge, choice)} at {_place(question.here, choice)}; {kind}"),
            Row("absolute", _answer(answer.absolute_abs, choice)),
            Row("warms by", f"{_shown(answer.per_kelvin.value, choice, more=1)} for each °C, topped out"),
        )
    )
    yield Paragraph(_meaning(question.gauge, choice), Tone.SOFT)
    before, again, taken = answer.before_gauge, answer.again_gauge, answer.taken
    if before is not None and again is not None and taken is not None:
        yield Heading("The pump")
        yield Rows(tuple(_pump_rows(before, again, taken, choice)))
    if question.here != question.there:
        yield Heading("Set it here, ride it there")
        yield Rows(tuple(_there_rows(answer, choice)))
        yield Paragraph(
            "Topped out, all chambers at the temperature said; ideal gas, within 0.5 % of real air.", Tone.SOFT
        )


def _meaning(kind: GaugeClass, choice: Choice) -> str:
    warm = quantities.difference(measuring.THERMOMETER.half_width, Quantity.TEMPERATURE, choice)
    return (
        f"± is one standard uncertainty, of a {kind} gauge, volumes as a syringe and a bottle measure them, and a "
        f"thermometer good to {warm}; one pump reads everything, so that its bias cancels in part."
    )


def _pump_rows(before: Measured, again: Measured, taken: Measured, choice: Choice) -> Iterator[Row]:
    share = quantities.number(taken.value, Quantity.FRACTION, choice)
    share_u = quantities.doubt_in_column(taken.u or 0.0, Quantity.FRACTION, choice)
    yield Row("before", f"{_answer(before, choice)} was in the chamber before the pump was screwed on")
    yield Row("again", f"{_answer(again, choice)} is what it shows when the empty pump is screwed on once more")
    yield Row("takes", f"{share} ± {share_u} of the gauge pressure each time; that is no leak")


def _there_rows(answer: PressureAnswer, choice: Choice) -> Iterator[Row]:
    reading, there = _shown(answer.question.reading_gauge, choice), _place(answer.question.there, choice)
    yield Row("there", f"{_answer(answer.there_gauge, choice)} is what it reads at {there}")
    yield Row("set here", f"{_answer(answer.set_here_gauge, choice)} so that it reads {reading} there")


def _answer(pressure: Measured, choice: Choice) -> str:
    """A pressure ± its standard uncertainty."""
    unit = choice.unit(Quantity.PRESSURE)
    digits = FINE.get(unit, 2)
    doubt = show_difference(pressure.u or 0.0, unit, decimal=choice.decimal, digits=digits).removesuffix(f" {unit}")
    return f"{_shown(pressure.value, choice)} ± {doubt}"


def _shown(pressure: float, choice: Choice, *, more: int = 0) -> str:
    unit = choice.unit(Quantity.PRESSURE)
    return show_in(choice, pressure, Quantity.PRESSURE, digits=FINE.get(unit, 2) + more)


def _place(where: Surroundings, choice: Choice) -> str:
    temperature = quantities.number(where.temperature, Quantity.TEMPERATURE, choice)
    return f"{temperature} in air of {where.ambient_abs / 100:.0f} hPa"
