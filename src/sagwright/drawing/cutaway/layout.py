"""What every cut-open spring leg is drawn with: its place on the paper, its lowers, its lettering."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from sagwright.domain.cutaway import Inside
from sagwright.domain.stance import Side
from sagwright.domain.value import Quantity
from sagwright.drawing import svg
from sagwright.drawing.svg import _MEANINGS, INK, METAL, OIL, SOFT, Meaning, Pen, SvgPoint
from sagwright.units import UnitChoice, show_in

CAP: Final = 0.010  # m, what no sheet says and the drawing needs
SEAL_HEAD: Final = 0.010
FOOT: Final = 0.012
LEFT_AT_THE_END: Final = 0.022  # between seal head and foot, bottomed
_COVERED: Final = 0.05  # of the stanchion by the lowers, topped out, as far as it is drawn
LOWERS_WALL: Final = 0.003
_THIN: Final = Pen(SOFT, "", 0.8)


@dataclass(frozen=True, slots=True)
class ShownLeg:
    """One setup's leg, what it is called, and what it means."""

    label: str
    meaning: Meaning
    inside: Inside


def legs_of(insides: Iterable[tuple[Side, Inside]], target: str = Side.TARGET.value) -> tuple[ShownLeg, ...]:
    """Spring legs as found and at the target, or as left, as `target` calls it."""
    names = {Side.AS_FOUND: Side.AS_FOUND.value, Side.TARGET: target}
    return tuple(ShownLeg(names[side], _MEANINGS[side], leg) for side, leg in insides)


@dataclass(frozen=True, slots=True)
class Paper:
    """Where one leg is drawn: its middle, the level of the tube's upper end, pixels per metre, lettering and units."""

    middle: float
    top: float
    per_metre: float
    letters: float
    choice: UnitChoice

    def level(self, below_top: float) -> float:
        """Where a length below the tube's upper end is drawn."""
        return self.top + self.per_metre * below_top

    def block(self, start: float, height: float, across: float, **look: str | float) -> str:
        """A solid of revolution: from a length below the upper end, so high, so wide."""
        wide = across * self.per_metre
        return svg.box((self.middle - 0.5 * wide, self.level(start)), (wide, height * self.per_metre), **look)


def heading(paper: Paper, leg: ShownLeg) -> Iterator[str]:
    """What the leg is called, under a piece of its line."""
    level = 1.1 * paper.letters
    wide = svg.width_of(leg.label, paper.letters)
    start = paper.middle - 0.5 * (wide + 22.0)
    yield svg.line((start, level - 0.32 * paper.letters), (start + 18.0, level - 0.32 * paper.letters), leg.meaning.pen)
    yield svg.text(leg.label, (start + 22.0, level), paper.letters, colour=leg.meaning.pen.colour)


def foot_level(inside: Inside, tube: float) -> float:
    """Where the foot stands under a tube that is so long [m]."""
    return tube + SEAL_HEAD + LEFT_AT_THE_END + inside.travel - inside.compression


def lowers(paper: Paper, inside: Inside, tube: float, shaft_starts: float) -> Iterator[str]:
    """The lower leg with its foot and lower-leg oil, and the shaft that stands in the foot."""
    foot = foot_level(inside, tube)
    across = inside.stanchion + 2.0 * LOWERS_WALL
    upper = foot - inside.travel - LEFT_AT_THE_END - _COVERED
    yield paper.block(upper, foot - upper, across, fill="#f1ede3", stroke=SOFT, stroke_width=1.0)
    free = 0.25 * math.pi * (inside.stanchion**2 - inside.shaft**2)
    oil = inside.lower_leg_oil / free
    if oil > 0.0:
        yield paper.block(foot - oil, oil, inside.stanchion, fill=OIL)
    yield paper.block(foot, FOOT, across, fill=INK)
    yield paper.block(shaft_starts, foot - shaft_starts, inside.shaft, fill=METAL, stroke=INK, stroke_width=0.8)


def tube(paper: Paper, inside: Inside, length: float) -> Iterator[str]:
    """Stanchion with its bore, cap and seal head."""
    yield paper.block(0.0, length + SEAL_HEAD, inside.stanchion, fill=METAL, stroke=INK, stroke_width=1.2)
    yield paper.block(0.0, length, inside.bore, fill="#ffffff")
    yield paper.block(-CAP, CAP, inside.stanchion + 0.004, fill=INK)
    yield paper.block(length, SEAL_HEAD, inside.bore, fill=INK)


def travel_label(paper: Paper, inside: Inside, foot: float) -> Iterator[str]:
    """What travel is left, beside the shaft."""
    left = paper.middle - (0.5 * inside.stanchion + LOWERS_WALL) * paper.per_metre - 7.0
    start = foot - LEFT_AT_THE_END - (inside.travel - inside.compression)
    end = start + inside.travel - inside.compression
    yield svg.line((left, paper.level(start)), (left, paper.level(end)), _THIN)
    for level in (start, end):
        yield svg.line((left - 4.0, paper.level(level)), (left + 4.0, paper.level(level)), _THIN)
    name = "travel" if inside.compression == 0.0 else "left"
    number = show_in(paper.choice, inside.travel - inside.compression, Quantity.LENGTH)
    yield from words(paper, (left - 5.0, 0.5 * (start + end)), (name, number), anchor="end")


def words(paper: Paper, at: SvgPoint, lines: tuple[str, ...], *, anchor: str = "start") -> Iterator[str]:
    """Lines of lettering, their middle at a length below the upper end."""
    x, level = at[0], paper.level(at[1]) - 0.5 * 1.2 * paper.letters * (len(lines) - 1) + 0.35 * paper.letters
    for place, said in enumerate(lines):
        yield svg.text(said, (x, level + 1.2 * paper.letters * place), paper.letters, anchor=anchor)


def volume(si: float, choice: UnitChoice) -> str:
    """A volume in whole millilitres."""
    return show_in(choice, si, Quantity.VOLUME, digits=0 if choice.volume == "ml" else None)
