"""Curves of several setups as a chart: SVG text, or PNG bytes.

Each setup has a colour and a line pattern of its own, so that the chart reads in black and white; the
first two are those of as found and target everywhere.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from sagwright.domain.curve import Comparison, SetupCurve
from sagwright.domain.value import Column, Quantity
from sagwright.drawing import svg
from sagwright.drawing.font import png
from sagwright.drawing.force_plot import MORE, Plot, round_step
from sagwright.drawing.svg import INK, SOFT, Meaning, Pen, SvgPoint
from sagwright.units import UnitChoice, amount_in, show_in

PENS: Final = (
    Meaning.AS_FOUND.pen,
    Meaning.TARGET.pen,
    Pen(INK, "2 3", 1.8),
    Pen("#8a5a00", "10 3 2 3", 1.8),
    Pen("#6b4a86", "14 4", 1.8),
    Pen(SOFT, "4 2", 1.8),
)
MOST_SETUPS: Final = len(PENS)
THICK, PLAIN, THIN, THINNEST = 2.6, 2.2, 1.0, 0.8  # px, of the stroke, of a line alone in its panel, of slow, of a loop
_FRAME: Final = (380.0, 220.0)  # px, the frame of one panel
BEFORE: Final = (62.0, 30.0)  # px from a panel's corner to its frame: numbers to the left, its name above
AFTER: Final = (18.0, 46.0)  # px, to the right and below
COLUMNS: Final = 2
PIECES: Final = 6  # of an axis, at most
HAIR: Final = 1e-6  # of the room beside the curves: what is below 0 by less is 0
LETTERS, HEADING = 13.0, 17.0  # px
ROW: Final = 20.0  # px, a line of the heading
SWATCH: Final = 34.0  # px, the sample of a line before its build
PNG_SCALE: Final = 2.0


@dataclass(frozen=True, slots=True)
class _Trace:
    """One line of a panel: how it is drawn, and its numbers in the units shown."""

    pen: Pen
    xs: tuple[float, ...]
    ys: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class _Panel:
    """One quantity over the compression; `name` says what and in which unit."""

    name: str
    traces: tuple[_Trace, ...]


def curve_svg(comparison: Comparison, choice: UnitChoice) -> str:
    """The chart as SVG, a panel each for force, stiffness, energy and each chamber's pressure; the same comparison
    gives the same text."""
    panels = tuple(_panels(comparison, choice))
    wide, high = (before + frame + after for before, frame, after in zip(BEFORE, _FRAME, AFTER, strict=True))
    top = ROW * (len(comparison.curves) + 3.2)
    pieces = list(_heading(comparison, choice, COLUMNS * wide))
    for place, panel in enumerate(panels):
        row, column = divmod(place, COLUMNS)
        pieces += _drawn(panel, (column * wide + BEFORE[0], top + row * high + BEFORE[1]), choice)
    size = (COLUMNS * wide, top + math.ceil(len(panels) / COLUMNS) * high)
    return svg.document(size, _title(comparison), _description(comparison, choice), pieces)


def curve_png(comparison: Comparison, choice: UnitChoice) -> bytes:
    """The chart as PNG, two pixels to a point."""
    return png(curve_svg(comparison, choice), PNG_SCALE)


def _title(comparison: Comparison) -> str:
    sheet = comparison.sheet
    return f"{sheet.maker} {sheet.model}, sheet {sheet.name} revision {sheet.revision}"


def _heading(comparison: Comparison, choice: UnitChoice, width: float) -> Iterator[str]:
    """Which sheet, how it was computed, and which line is which build."""
    question, left = comparison.question, 16.0
    stroke = f"stroke at n = {question.exponent:g}".replace(".", choice.decimal)
    how = f"{stroke}{', real air' if question.real_air else ''}; typical values are to be confirmed"
    yield svg.svg_text(svg.shortened(_title(comparison), HEADING, width - 2 * left), (left, 1.4 * ROW), HEADING)
    yield svg.svg_text(f"{how}; {comparison.program}", (left, 2.3 * ROW), LETTERS, colour=SOFT)
    words = left + SWATCH + 8.0
    for place, (curve, pen) in enumerate(zip(comparison.curves, PENS, strict=False)):
        level = (3.5 + place) * ROW
        middle = level - 0.33 * LETTERS
        yield svg.line((left, middle), (left + SWATCH, middle), replace(pen, width=PLAIN))
        yield svg.svg_text(svg.shortened(curve.label, LETTERS, width - words - left), (words, level), LETTERS)


def _panels(comparison: Comparison, choice: UnitChoice) -> Iterator[_Panel]:
    drawn = tuple(zip(comparison.curves, PENS, strict=False))
    force, rate, energy = (choice.unit(each) for each in (Quantity.FORCE, Quantity.RATE, Quantity.ENERGY))
    forces = tuple(trace for curve, pen in drawn for trace in _forces(curve, pen, choice))
    yield _Panel(f"force, {force}: stroke thick, slow and loop thin", forces)
    stiffness = tuple(_trace(pen, one.compression, one.stiffness, Quantity.RATE, choice) for one, pen in drawn)
    yield _Panel(f"stiffness, {rate}", stiffness)
    put_in = tuple(_trace(pen, one.compression, one.energy, Quantity.ENERGY, choice) for one, pen in drawn)
    yield _Panel(f"energy put in, {energy}", put_in)
    for place, (chamber, _) in enumerate(comparison.curves[0].pressures_abs):
        gauge = (
            (pen, one.compression, tuple(p - comparison.ambient_abs for p in one.pressures_abs[place][1]))
            for one, pen in drawn
        )
        traces = tuple(_trace(pen, xs, ys, Quantity.PRESSURE, choice) for pen, xs, ys in gauge)
        yield _Panel(f"{chamber}, gauge, {choice.unit(Quantity.PRESSURE)}", traces)


def _forces(curve: SetupCurve, pen: Pen, choice: UnitChoice) -> Iterator[_Trace]:
    yield _trace(replace(pen, width=THIN), curve.compression, curve.slow_force.value, Quantity.FORCE, choice)
    if curve.loop is not None:
        loop = curve.loop
        yield _trace(replace(pen, width=THINNEST), loop.compression, loop.force, Quantity.FORCE, choice)
    yield _trace(replace(pen, width=THICK), curve.compression, curve.stroke_force.value, Quantity.FORCE, choice)


def _trace(pen: Pen, xs: Column, ys: Column, quantity: Quantity, choice: UnitChoice) -> _Trace:
    across = tuple(amount_in(choice, x, Quantity.LENGTH) for x in xs)
    return _Trace(pen, across, tuple(amount_in(choice, y, quantity) for y in ys))


def _drawn(panel: _Panel, corner: SvgPoint, choice: UnitChoice) -> Iterator[str]:
    far = max(x for trace in panel.traces for x in trace.xs)
    least, most = (end(0.0, *(y for trace in panel.traces for y in trace.ys)) for end in (min, max))
    room = (MORE - 1.0) * (most - least) or 1.0
    low, high = least - room if least < -HAIR * room else 0.0, most + room
    plot = Plot(corner, _FRAME, (far, high), LETTERS, choice.decimal, low)
    yield from plot.frame((round_step(far, PIECES), round_step(high - low, PIECES)))
    yield from (plot.line(trace.xs, trace.ys, trace.pen) for trace in panel.traces)
    yield from plot.names(f"compression, {choice.unit(Quantity.LENGTH)}", panel.name)


def _description(comparison: Comparison, choice: UnitChoice) -> str:
    """What the chart shows, in words."""
    return " ".join(_in_words(curve, choice) for curve in comparison.curves)


def _in_words(curve: SetupCurve, choice: UnitChoice) -> str:
    travel, force, energy = (
        show_in(choice, si, quantity)
        for si, quantity in (
            (curve.travel, Quantity.LENGTH),
            (curve.stroke_force.value[-1], Quantity.FORCE),
            (curve.energy[-1], Quantity.ENERGY),
        )
    )
    return f"{curve.label}: {travel} of travel, {force} and {energy} at its end."
