"""The spring leg of a coil fork, cut open, to scale: the coil with its turns, what preloads it, what sets travel."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from sagwright.domain.cutaway import CoilInside
from sagwright.domain.value import Quantity
from sagwright.drawing import svg
from sagwright.drawing.cutaway.layout import LOWERS_WALL, Paper, foot_level, lowers, travel_label, tube, volume, words
from sagwright.drawing.svg import INK, METAL, POSITIVE, SOFT, SPACER, Pen
from sagwright.phrases.quantities import count_text
from sagwright.units import UnitChoice, show_in

SEAT: Final = 0.005  # m, what no sheet says and the drawing needs
HEAD: Final = 0.008
BUMPER: Final = 0.010
BAND: Final = 0.85  # of the bore, the width of seats and spacers


def tube_length(inside: CoilInside) -> float:
    """From cap to shaft guide [m]: the same whatever is inside, since the lowers end at one place."""
    return _head(inside) + HEAD + inside.top_out_spacers * inside.top_out_height + BUMPER + inside.compression


def _stack(inside: CoilInside) -> float:
    """Preload spacers and adjuster, from the cap down."""
    return inside.adjuster + inside.preload_spacers * inside.preload_height


def _head(inside: CoilInside) -> float:
    """Where the head of the shaft stands, which the coil stands on."""
    return _stack(inside) + SEAT + inside.between


def coil_leg(paper: Paper, inside: CoilInside, colour: str) -> Iterator[str]:
    """Everything of one leg but its heading."""
    length = tube_length(inside)
    yield from lowers(paper, inside, length, _head(inside))
    yield from tube(paper, inside, length)
    yield paper.block(_head(inside), length - _head(inside), inside.shaft, fill=METAL, stroke=INK, stroke_width=0.8)
    yield from _preload(paper, inside)
    yield from _coil(paper, inside)
    yield from _under_the_head(paper, inside, colour)
    yield from _lettering(paper, inside)


def _preload(paper: Paper, inside: CoilInside) -> Iterator[str]:
    """Adjuster, preload spacers and upper seat."""
    yield paper.block(0.0, inside.adjuster, 0.5 * inside.bore, fill=METAL, stroke=INK, stroke_width=0.8)
    for place in range(inside.preload_spacers):
        level = inside.adjuster + place * inside.preload_height
        yield paper.block(
            level, inside.preload_height, BAND * inside.bore, fill=SPACER, stroke="#ffffff", stroke_width=1.2
        )
    yield paper.block(_stack(inside), SEAT, BAND * inside.bore, fill=INK)


def _coil(paper: Paper, inside: CoilInside) -> Iterator[str]:
    """The coil standing on its lower seat; where its making is unknown, a block of its length."""
    long = min(inside.between, inside.free_length)
    start = _head(inside) - long
    if not inside.turns:
        yield paper.block(start, long, 0.8 * inside.bore, fill=POSITIVE, stroke=INK, stroke_width=0.8)
        return
    places = [(half % 2, start + _middle(inside, long, 0.5 * half)) for half in range(1, math.ceil(2 * inside.turns))]
    wire = inside.wire * paper.per_metre
    behind = Pen(METAL, "", 0.7 * wire)
    points = [(paper.middle + (1 if odd else -1) * 0.5 * inside.diameter * paper.per_metre, y) for odd, y in places]
    for (x, y), (other_x, other_y) in pairwise(points):
        if x < other_x:
            yield svg.line((x, paper.level(y)), (other_x, paper.level(other_y)), behind)
    for x, y in points:
        yield svg.element("circle", cx=x, cy=paper.level(y), r=0.5 * wire, fill=SPACER, stroke=INK, stroke_width=0.9)


def _middle(inside: CoilInside, long: float, turn: float) -> float:
    """How far down the wire's middle is after so many turns: one dead turn at each end, the others evenly apart."""
    active = max(inside.turns - 2.0, 1.0)
    gaps = max(0.0, long - inside.turns * inside.wire)
    return turn * inside.wire + gaps * min(max(turn - 1.0, 0.0), active) / active


def _under_the_head(paper: Paper, inside: CoilInside, colour: str) -> Iterator[str]:
    """The shaft's head, the top-out spacers under it, and the top-out bumper on the guide."""
    head = _head(inside)
    yield paper.block(head, HEAD, BAND * inside.bore, fill=INK)
    for place in range(inside.top_out_spacers):
        level = head + HEAD + place * inside.top_out_height
        yield paper.block(
            level, inside.top_out_height, 0.7 * inside.bore, fill=colour, stroke="#ffffff", stroke_width=1.2
        )
    yield paper.block(
        tube_length(inside) - BUMPER, BUMPER, 0.7 * inside.bore, fill="#ffffff", stroke=SOFT, stroke_width=1.2
    )


def _lettering(paper: Paper, inside: CoilInside) -> Iterator[str]:
    right = paper.middle + (0.5 * inside.stanchion + LOWERS_WALL) * paper.per_metre + 6.0
    left = paper.middle - (0.5 * inside.stanchion + LOWERS_WALL) * paper.per_metre - 6.0
    head, choice = _head(inside), paper.choice
    yield from words(paper, (right, _stack(inside) + 0.4 * inside.between), _of_coil(inside, choice))
    foot = foot_level(inside, tube_length(inside))
    yield from words(paper, (right, foot - 0.012), ("lower-leg", f"oil {volume(inside.lower_leg_oil, choice)}"))
    if inside.preload_height:
        level = inside.adjuster + 0.5 * max(1, inside.preload_spacers) * inside.preload_height
        said = (f"{inside.preload_spacers} ×", _length(inside.preload_height, choice), "preload")
        yield from words(paper, (left, level), said, anchor="end")
    if inside.top_out_height:
        level = head + HEAD + 0.5 * max(1, inside.top_out_spacers) * inside.top_out_height
        said = (f"{inside.top_out_spacers} ×", _length(inside.top_out_height, choice), "top-out")
        yield from words(paper, (left, level), said, anchor="end")
    yield from travel_label(paper, inside, foot)


def _of_coil(inside: CoilInside, choice: UnitChoice) -> tuple[str, ...]:
    """The coil in a few words: its name, rate, preload, and what is left at full travel."""
    rate = show_in(choice, inside.rate, Quantity.RATE)
    pressed = ("loose by", _length(-inside.preload, choice))
    if inside.preload >= 0.0:
        pressed = ("pressed", _length(inside.preload, choice))
    left = ("to solid", _length(inside.left, choice)) if math.isfinite(inside.left) else ()
    return (inside.coil.replace("_", " "), rate, *pressed, *left)


def coil_label(inside: CoilInside, choice: UnitChoice) -> list[str]:
    """Everything that is drawn, in words."""
    pressed = "loose topped out by" if inside.preload < 0.0 else "pressed topped out by"
    turns = f"{inside.turns:g}".replace(".", choice.decimal)
    made = f" of {turns} turns of {_length(inside.wire, choice)} wire" if inside.turns else ""
    left = f"{_length(inside.left, choice)} left to solid at full travel" if math.isfinite(inside.left) else ""
    parts = [
        f"travel {_length(inside.travel, choice)}",
        f"compressed by {_length(inside.compression, choice)}",
        f"coil {inside.coil.replace('_', ' ')}{made}, {show_in(choice, inside.rate, Quantity.RATE)}",
        f"{pressed} {_length(abs(inside.preload), choice)}",
        left,
        f"{count_text(inside.preload_spacers, 'preload spacer')} of {_length(inside.preload_height, choice)}",
        f"adjuster turned in by {_length(inside.adjuster, choice)}",
        f"{count_text(inside.top_out_spacers, 'top-out spacer')} of {_length(inside.top_out_height, choice)}",
        f"lower-leg oil {show_in(choice, inside.lower_leg_oil, Quantity.VOLUME)}",
    ]
    return [part for part in parts if part]


def _length(si: float, choice: UnitChoice) -> str:
    return show_in(choice, si, Quantity.LENGTH)
