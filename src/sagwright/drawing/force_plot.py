"""Force over travel of a spring as found and at its target, with its sag under a load: one panel, for a page.

As found is blue and dashed, the target burnt orange and solid; a band is one standard uncertainty of the stroke. Drawn
here and not by the chart engine of `curve_chart.py`, which takes as long as the whole plan that is drawn (about 50 ms
against half a millisecond), and could not letter it for the width it is read at.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from sagwright.domain.behaviour import Curve
from sagwright.domain.value import Quantity
from sagwright.drawing import svg
from sagwright.drawing.svg import INK, RULE_LINE, SOFT, Meaning, Pen, SvgPoint
from sagwright.errors import OutOfRange
from sagwright.units import UnitChoice, amount_in, show_in

STEPS: Final = (1.0, 2.0, 2.5, 5.0, 10.0)
_FRAME: Final = Pen(INK, "", 1.2)
GRID: Final = Pen(RULE_LINE, "", 0.7)
MORE: Final = 1.04
"""Room over the highest number of an axis."""

_SMALLEST: Final = 280.0  # px
TALL, FLAT = 0.66, 0.45  # height over width of the frame, in a narrow and in a wide drawing
SLOW_SHOWN: Final = 0.5  # of travel: beyond it nothing is read off the slow curve
FEW, MANY = 4, 8  # pieces of an axis, in a narrow and in a wide drawing
_WIDE: Final = 480.0  # px


def round_step(span: float, most: int) -> float:
    """The least of 1, 2, 2.5, 5 times a power of ten that cuts a span into no more than `most` pieces."""
    least = span / most
    power = 10.0 ** math.floor(math.log10(least))
    return next(step * power for step in STEPS if step * power >= least * (1.0 - 1e-9))


def ticks(end: float, step: float, start: float = 0.0) -> tuple[float, ...]:
    """Multiples of a step from a start to an end."""
    hair = 1e-9 * max(abs(start), abs(end))
    first, last = math.ceil((start - hair) / step), math.floor((end + hair) / step)
    return tuple(n * step for n in range(first, last + 1))


def decimals(step: float) -> int:
    """How many decimals tell every multiple of a round step from the next."""
    return next(places for places in range(20) if math.isclose(round(step, places), step, rel_tol=1e-9))


@dataclass(frozen=True, slots=True)
class Plot:
    """Where numbers become pixels: the corner of the frame, its size, and the numbers at its far ends.

    `letters` is the size of the lettering [px], `decimal` its decimal mark, `low` where the upright axis starts; the
    other starts at 0.
    """

    corner: SvgPoint
    size: SvgPoint
    ends: SvgPoint
    letters: float
    decimal: str = "."
    low: float = 0.0

    def at(self, x: float, y: float) -> SvgPoint:
        """The pixel of a pair of numbers."""
        across, up = x / self.ends[0], (y - self.low) / (self.ends[1] - self.low)
        return self.corner[0] + self.size[0] * across, self.corner[1] + self.size[1] * (1.0 - up)

    def line(self, xs: Sequence[float], ys: Sequence[float], pen: Pen) -> str:
        """A curve."""
        return svg.polyline([self.at(x, y) for x, y in zip(xs, ys, strict=True)], pen)

    def band(self, xs: Sequence[float], lows: Sequence[float], highs: Sequence[float], colour: str) -> str:
        """What lies between two curves, as far as it is within the frame."""
        there = [self.at(x, max(y, self.low)) for x, y in zip(xs, lows, strict=True)]
        back = [self.at(x, min(y, self.ends[1])) for x, y in zip(xs, highs, strict=True)]
        path = " L".join(f"{svg.svg_number(x)},{svg.svg_number(y)}" for x, y in [*there, *reversed(back)])
        return svg.element("path", d=f"M{path} Z", fill=colour, fill_opacity=0.13)

    def frame(self, steps: SvgPoint) -> Iterator[str]:
        """Grid, numbers and frame, with a number every so much."""
        (left, top), (wide, high) = self.corner, self.size
        for x in ticks(self.ends[0], steps[0]):
            at = self.at(x, self.low)
            yield svg.line((at[0], top), at, GRID)
            yield self._number(x, steps[0], (at[0], at[1] + 1.35 * self.letters), "middle")
        for y in ticks(self.ends[1], steps[1], self.low):
            at = self.at(0.0, y)
            yield svg.line(at, (left + wide, at[1]), GRID)
            yield self._number(y, steps[1], (left - 6.0, at[1] + 0.35 * self.letters), "end")
        yield svg.box(self.corner, (wide, high), **svg.drawn(_FRAME))

    def names(self, across: str, up: str) -> Iterator[str]:
        """What the axes are: one name below the frame's right end, the other above its left."""
        (left, top), (wide, high) = self.corner, self.size
        yield svg.svg_text(up, (left, top - 0.8 * self.letters), self.letters, colour=SOFT)
        low = top + high + 2.7 * self.letters
        yield svg.svg_text(across, (left + wide, low), self.letters, colour=SOFT, anchor="end")

    def _number(self, value: float, step: float, at: SvgPoint, anchor: str) -> str:
        shown = f"{value:.{decimals(step)}f}".replace(".", self.decimal).replace("-", "−")
        return svg.svg_text(shown, at, self.letters, colour=SOFT, anchor=anchor)


@dataclass(frozen=True, slots=True)
class ForceLine:
    """One build's curve: what it is called, what it means, its numbers, its sag [m].

    `curve` is None where as found may be several things; then `sag` is the range it may have.
    """

    label: str
    meaning: Meaning
    curve: Curve | None
    sag: tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class Force:
    """What is drawn: one line or two, and the load they carry [N]; None where it is unknown."""

    lines: tuple[ForceLine, ...]
    load: float | None


@dataclass(frozen=True, slots=True)
class _View:
    """A drawing under way: the plot, and the units its numbers are in."""

    plot: Plot
    choice: UnitChoice

    def x(self, si: float) -> float:
        return amount_in(self.choice, si, Quantity.LENGTH)

    def y(self, si: float) -> float:
        return amount_in(self.choice, si, Quantity.FORCE)


def force_svg(drawn: Force, *, choice: UnitChoice, width: float = 640.0) -> str:
    """The drawing; the same values give the same text.

    Parameters
    ----------
    drawn : Force
        With at least one curve.
    choice : UnitChoice
        Units of the axes.
    width : float
        What the drawing is laid out for, at least 280 [px].

    Raises
    ------
    OutOfRange
        If there is no curve, or the width is too small.
    """
    curves = [line.curve for line in drawn.lines if line.curve is not None]
    if not curves:
        raise OutOfRange("must be one curve or more", field="lines")
    if not width >= _SMALLEST:
        raise OutOfRange(f"must be at least {_SMALLEST:g} px", field="width", value=f"{width:g}")
    ends = (max(one.compression.value[-1] for one in curves), MORE * max(max(one.stroke_force.value) for one in curves))
    view = _view(ends, choice, width)
    most = MANY if width >= _WIDE else FEW
    steps = (round_step(view.plot.ends[0], most), round_step(view.plot.ends[1], most))
    pieces = (
        *view.plot.frame(steps),
        *view.plot.names(
            f"compression, {choice.unit(Quantity.LENGTH)}", f"{choice.unit(Quantity.FORCE)} along the unit"
        ),
        *_load(view, drawn),
        *(piece for line in drawn.lines for piece in _curve(view, line)),
        *(piece for line in drawn.lines for piece in _sag(view, line, drawn.load)),
    )
    height = view.plot.corner[1] + view.plot.size[1] + 3.0 * view.plot.letters
    return svg.document((width, height), _title(drawn), description(drawn, choice), pieces)


def _view(ends: tuple[float, float], choice: UnitChoice, width: float) -> _View:
    letters = 13.0 if width >= _WIDE else 12.0
    far = amount_in(choice, ends[0], Quantity.LENGTH), amount_in(choice, ends[1], Quantity.FORCE)
    left = svg.width_of(f"{far[1]:.0f}", letters) + 12.0
    wide = width - left - 12.0
    size = (wide, (FLAT if width >= _WIDE else TALL) * wide)
    return _View(Plot((left, 1.9 * letters), size, far, letters, choice.decimal), choice)


def _load(view: _View, drawn: Force) -> Iterator[str]:
    if drawn.load is None or view.y(drawn.load) > view.plot.ends[1]:
        return
    start, end = (view.plot.at(x, view.y(drawn.load)) for x in (0.0, view.plot.ends[0]))
    yield svg.line(start, end, Pen(SOFT, "", 1.0))
    words = f"load {show_in(view.choice, drawn.load, Quantity.FORCE)}"
    yield svg.text(words, (end[0] - 6.0, end[1] - 6.0), view.plot.letters, colour=SOFT, anchor="end")


def _curve(view: _View, line: ForceLine) -> Iterator[str]:
    curve, pen = line.curve, line.meaning.pen
    if curve is None:
        return
    xs = [view.x(x) for x in curve.compression.value]
    stroke = [view.y(force) for force in curve.stroke_force.value]
    uncertainty = [view.y(u) for u in curve.stroke_force.u]
    lows, highs = ([y + sign * u for y, u in zip(stroke, uncertainty, strict=True)] for sign in (-1.0, 1.0))
    yield view.plot.band(xs, lows, highs, pen.colour)
    few = int(SLOW_SHOWN * len(xs)) + 1
    slow = [view.y(force) for force in curve.slow_force.value[:few]]
    yield view.plot.line(xs[:few], slow, Pen(pen.colour, pen.dash, 0.9))
    yield view.plot.line(xs, stroke, Pen(pen.colour, pen.dash, 2.4 if pen.dash else 2.8))
    end = view.plot.at(xs[-1], stroke[-1])
    yield svg.line(end, view.plot.at(xs[-1], 0.0), Pen(pen.colour, "2 3", 1.2))


def _sag(view: _View, line: ForceLine, load: float | None) -> Iterator[str]:
    """Where the load rests: a point, or the range it may be in; its words above for the target, below for as found."""
    if line.sag is None or load is None:
        return
    pen, letters = line.meaning.pen, view.plot.letters + 1.0
    low, high = (view.plot.at(view.x(sag), view.y(load)) for sag in line.sag)
    if low != high:
        yield svg.line(low, high, Pen(pen.colour, "7 3", 5.0))
    elif pen.dash:
        yield svg.element("circle", cx=low[0], cy=low[1], r=4.5, fill="#fbf9f4", stroke=pen.colour, stroke_width=2.2)
    else:
        yield svg.dot(low, 5.0, pen.colour)
    words = _sag_words(line, view.choice)
    if pen.dash:
        most = view.plot.corner[0] + view.plot.size[0] - svg.width_of(words, letters) - 4.0
        yield svg.text(words, (min(high[0] + 9.0, most), high[1] + 1.35 * letters), letters, colour=pen.colour)
    else:
        wide = svg.width_of(words, letters)
        right = max(low[0] - 6.0, view.plot.corner[0] + wide + 6.0)
        yield svg.text(words, (right, low[1] - 1.5 * letters), letters, colour=pen.colour, anchor="end")


def _sag_words(line: ForceLine, choice: UnitChoice) -> str:
    low, high = (_length(sag, choice) for sag in line.sag or (0.0, 0.0))
    return f"sag {high}" if low == high else f"sag {low} to {high}"


def _length(si: float, choice: UnitChoice) -> str:
    return show_in(choice, si, Quantity.LENGTH, digits=0 if choice.length == "mm" else None)


def _title(drawn: Force) -> str:
    return "Force over travel: " + " and ".join(line.label for line in drawn.lines)


def description(drawn: Force, choice: UnitChoice) -> str:
    """What the drawing shows, in words."""
    return " ".join(_said(line, drawn.load, choice) for line in drawn.lines)


def _said(line: ForceLine, load: float | None, choice: UnitChoice) -> str:
    parts = []
    if line.curve is not None:
        travel, most = line.curve.compression.value[-1], line.curve.stroke_force.value[-1]
        parts.append(f"{_length(travel, choice)} of travel, {show_in(choice, most, Quantity.FORCE)} at its end")
    if line.sag is not None and load is not None:
        parts.append(f"{_sag_words(line, choice)} under {show_in(choice, load, Quantity.FORCE)}")
    return f"{line.label}: {', '.join(parts) or 'unknown'}."
