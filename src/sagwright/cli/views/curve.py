"""Curves at a terminal, and the files that were asked for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final, cast

from sagwright.cli.terminal.document import (
    Block,
    Heading,
    Paragraph,
    TextColumn,
    TextLine,
    TextRow,
    TextRows,
    TextTable,
    Tone,
)
from sagwright.cli.terminal.output import STDOUT, write, write_file, write_json
from sagwright.cli.views.numbers import LOAD, limited
from sagwright.domain.curve import Comparison, CurveQuestion, SetupCurve
from sagwright.domain.value import MeasuredColumn, Quantity
from sagwright.errors import OutOfRange
from sagwright.phrases import quantities, spring
from sagwright.units import UnitChoice

TENTHS = 10
"""Places of the travel that a terminal shows, besides the start."""

_TONES = (Tone.FOUND, Tone.TARGET)

READ_BY: Final = {"air": "the gauge", "coil": "the adjuster's turns"}
"""What a kind of spring is set by."""


def curve_question_of(options: Mapping[str, object], choice: UnitChoice) -> CurveQuestion:
    """The question that a command line asks.

    Raises
    ------
    InputError
        Naming the option that cannot be.
    """
    load = limited("--load", cast("str | None", options["load"]), "force", choice, limits=LOAD)
    speed, tau = cast("float | None", options["speed"]), cast(float, options["tau"])
    exponent, points = cast(float, options["exponent"]), cast(int, options["points"])
    _hold("--exponent", exponent, 1.0, 1.4)
    _hold("--points", points, 11, 10_001)
    _hold("--tau", tau, 1e-3, 1e4)
    if speed is not None:
        _hold("--speed", speed, 1e-4, 20.0)
    return CurveQuestion(exponent, points, load, speed, tau, bool(options["real_air"]))


def _hold(option: str, number: float, low: float, high: float) -> None:
    if not low <= number <= high:
        raise OutOfRange(f"must be from {low:g} to {high:g}", field=option, value=f"{number:g}")


def answer_with(comparison: Comparison, options: Mapping[str, object], choice: UnitChoice) -> None:
    """Write what was asked for: files, and JSON or a page where standard output is not taken by one."""
    from sagwright.formats.output.spring import curve_to_csv, curve_to_json

    _charts(comparison, options, choice)
    if options["csv"]:
        write_file(str(options["csv"]), curve_to_csv(comparison))
    if STDOUT in (options["csv"], options["svg"], options["png"]):
        return
    if options["as_json"]:
        write_json(curve_to_json(comparison))
    else:
        write(tuple(_blocks(comparison, choice)))


def _charts(comparison: Comparison, options: Mapping[str, object], choice: UnitChoice) -> None:
    if not (options["svg"] or options["png"]):
        return
    from sagwright.drawing.curve_chart import MOST_SETUPS, curve_png, curve_svg
    from sagwright.drawing.font import standalone

    if len(comparison.curves) > MOST_SETUPS:
        rule = f"must be given {MOST_SETUPS} times at most for a chart"
        raise OutOfRange(rule, field="--setup", value=str(len(comparison.curves)))
    if options["svg"]:
        write_file(str(options["svg"]), standalone(curve_svg(comparison, choice)))
    if options["png"]:
        write_file(str(options["png"]), curve_png(comparison, choice))


def _blocks(comparison: Comparison, choice: UnitChoice) -> Iterator[Block]:
    sheet, question = comparison.sheet, comparison.question
    air = "real air where it is compressed" if question.real_air else "ideal gas"
    stroke = f"n = {question.exponent:g}".replace(".", choice.decimal)
    yield TextRows(
        (
            TextRow("sheet", f"{sheet.maker} {sheet.model}, {sheet.name}, revision {sheet.revision}"),
            TextRow("stroke", f"{stroke}, {air}"),
        )
    )
    for place, curve in enumerate(comparison.curves):
        yield Heading(f"Setup {_letter(place)}")
        yield from _setup(comparison, curve, choice, _TONES[place] if place < len(_TONES) else Tone.PLAIN)
    if len(comparison.curves) > 1:
        yield from _side_by_side(comparison, choice)
    read = READ_BY[sheet.spring.kind]
    uncertainties = f"±: one standard uncertainty, from the sheet's tolerances and {read}. The maker's manual wins."
    yield Paragraph(uncertainties, Tone.SOFT)


def _setup(comparison: Comparison, curve: SetupCurve, choice: UnitChoice, tone: Tone) -> Iterator[Block]:
    yield TextRows((TextRow("setup", curve.label),))
    shown = [name for name, _ in curve.pressures_abs][:2]
    heads = [
        ("travel", Quantity.LENGTH),
        ("slow\nforce", Quantity.FORCE),
        ("stroke\nforce", Quantity.FORCE),
        ("stiff-\nness", Quantity.RATE),
        ("energy", Quantity.ENERGY),
        *((name, Quantity.PRESSURE) for name in shown),
    ]
    columns = [TextColumn(f"{head}\n{choice.unit(quantity)}") for head, quantity in heads]
    yield TextTable(
        (*columns[:2], TextColumn("±"), columns[2], TextColumn("±"), *columns[3:]),
        tuple(TextLine(_cells(comparison, curve, i, choice), tone) for i in _places(curve)),
    )
    yield TextRows(tuple(_facts(comparison, curve, choice)))


def _places(curve: SetupCurve) -> list[int]:
    last = len(curve.compression) - 1
    return [round(last * tenth / TENTHS) for tenth in range(TENTHS + 1)]


def _cells(comparison: Comparison, curve: SetupCurve, i: int, choice: UnitChoice) -> tuple[str, ...]:
    return (
        quantities.in_column(curve.compression[i], Quantity.LENGTH, choice),
        *_force_cells(curve.slow_force, i, choice),
        *_force_cells(curve.stroke_force, i, choice),
        quantities.in_column(curve.stiffness[i], Quantity.RATE, choice),
        quantities.in_column(curve.energy[i], Quantity.ENERGY, choice),
        *(
            quantities.in_column(column[i] - comparison.ambient_abs, Quantity.PRESSURE, choice)
            for _, column in curve.pressures_abs[:2]
        ),
    )


def _force_cells(force: MeasuredColumn, i: int, choice: UnitChoice) -> Iterator[str]:
    """A force and its standard uncertainty."""
    yield quantities.in_column(force.value[i], Quantity.FORCE, choice)
    yield quantities.uncertainty_in_column(force.u[i], Quantity.FORCE, choice)


def _facts(comparison: Comparison, curve: SetupCurve, choice: UnitChoice) -> Iterator[TextRow]:
    if curve.sag is not None:
        lifted, middle, pressed = (
            quantities.number_text(getattr(curve.sag, name), Quantity.LENGTH, choice)
            for name in ("after_lifting", "middle", "after_pressing")
        )
        yield TextRow("sag", f"{lifted} after lifting, {pressed} after pressing, {middle} without friction")
    if curve.ideal_error:
        yield TextRow("gas", spring.ideal_text(curve.ideal_error, choice))
    sealed, weeped = (
        quantities.number_text(column[-1], Quantity.FORCE, choice)
        for column in (curve.legs_force, curve.legs_force_vented)
    )
    where = "topped out" if comparison.question.load is None else "at rest under the load"
    yield TextRow("legs", f"their air adds {sealed} at full travel where sealed, {weeped} where it weeped out {where}")
    if curve.loop is not None:
        speed, tau = comparison.question.speed or 0.0, comparison.question.time_constant
        lost = f"{curve.loop.heat_loss:.1f} J".replace(".", choice.decimal)
        yield TextRow(
            "loop", f"{lost} lost to heat in one stroke out and back at {speed:g} m/s, walls {tau:g} s (assumed)"
        )


def _letter(place: int) -> str:
    """What a setup is called where its name would be too long."""
    return chr(ord("A") + place % 26)


def _side_by_side(comparison: Comparison, choice: UnitChoice) -> Iterator[Block]:
    """Stroke force of every setup at the same compressions, as far as each goes."""
    longest = max(comparison.curves, key=lambda curve: curve.travel)
    labels = [_letter(place) for place in range(len(comparison.curves))]
    yield Heading("Stroke force side by side")
    yield TextRows(tuple(TextRow(label, one.label) for label, one in zip(labels, comparison.curves, strict=True)))
    unit = choice.unit(Quantity.FORCE)
    columns = (
        TextColumn(f"travel\n{choice.unit(Quantity.LENGTH)}"),
        *(TextColumn(f"{label}\n{unit}") for label in labels),
    )
    places = [longest.compression[i] for i in _places(longest)]
    yield TextTable(columns, tuple(TextLine(_row(comparison, x, choice)) for x in places))


def _row(comparison: Comparison, x: float, choice: UnitChoice) -> tuple[str, ...]:
    forces = (_at(curve, x) for curve in comparison.curves)
    cells = ("" if force is None else quantities.in_column(force, Quantity.FORCE, choice) for force in forces)
    return (quantities.in_column(x, Quantity.LENGTH, choice), *cells)


def _at(curve: SetupCurve, x: float) -> float | None:
    """Stroke force at a compression, on the straight line between the nearest points; None beyond the
    travel."""
    if x > curve.travel + 1e-9:
        return None
    step = curve.travel / (len(curve.compression) - 1)
    i = min(int(x / step), len(curve.compression) - 2)
    share = (x - curve.compression[i]) / step
    force = curve.stroke_force.value
    return force[i] + share * (force[i + 1] - force[i])
