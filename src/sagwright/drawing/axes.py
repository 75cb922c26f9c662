"""Every chart's axes: round numbers, where they stand, the frame around them, and the lines within."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from sagwright.drawing import svg
from sagwright.drawing.look import INK, RULE, SOFT, Pen
from sagwright.drawing.svg import Point

STEPS: Final = (1.0, 2.0, 2.5, 5.0, 10.0)
FRAME: Final = Pen(INK, "", 1.2)
GRID: Final = Pen(RULE, "", 0.7)
MORE: Final = 1.04
"""Room over the highest number of an axis."""


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

    corner: Point
    size: Point
    ends: Point
    letters: float
    decimal: str = "."
    low: float = 0.0

    def at(self, x: float, y: float) -> Point:
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
        path = " L".join(f"{svg.number(x)},{svg.number(y)}" for x, y in [*there, *reversed(back)])
        return svg.element("path", d=f"M{path} Z", fill=colour, fill_opacity=0.13)

    def frame(self, steps: Point) -> Iterator[str]:
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
        yield svg.box(self.corner, (wide, high), **svg.drawn(FRAME))

    def names(self, across: str, up: str) -> Iterator[str]:
        """What the axes are: one name below the frame's right end, the other above its left."""
        (left, top), (wide, high) = self.corner, self.size
        yield svg.plain_text(up, (left, top - 0.8 * self.letters), self.letters, colour=SOFT)
        low = top + high + 2.7 * self.letters
        yield svg.plain_text(across, (left + wide, low), self.letters, colour=SOFT, anchor="end")

    def _number(self, value: float, step: float, at: Point, anchor: str) -> str:
        shown = f"{value:.{decimals(step)}f}".replace(".", self.decimal).replace("-", "−")
        return svg.plain_text(shown, at, self.letters, colour=SOFT, anchor=anchor)
