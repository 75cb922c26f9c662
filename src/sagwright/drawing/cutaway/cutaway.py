"""The inside of a fork's spring leg, cut open, to scale, one setup beside the other."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from sagwright.domain.cutaway import CoilInside, Inside, LegInside
from sagwright.domain.value import Quantity
from sagwright.drawing import svg
from sagwright.drawing.cutaway import coil
from sagwright.drawing.cutaway.layout import (
    CAP,
    FOOT,
    LOWERS_WALL,
    Paper,
    ShownLeg,
    foot_level,
    heading,
    lowers,
    travel_label,
    tube,
    volume,
    words,
)
from sagwright.drawing.svg import INK, METAL, NEGATIVE_COLOUR, OIL, POSITIVE, SPACER, Pen
from sagwright.errors import OutOfRange
from sagwright.phrases.quantities import count_text
from sagwright.units import UnitChoice, show_in

_SMALLEST: Final = 280.0  # px
PISTON: Final = 0.010  # m
HATCH: Final = svg.element(
    "defs",
    svg.element(
        "pattern",
        svg.box((0, 0), (6, 6), fill=NEGATIVE_COLOUR) + svg.line((0, 0), (0, 6), Pen("#c9b48a", "", 1.2)),
        id="negative",
        width=6,
        height=6,
        patternUnits="userSpaceOnUse",
        patternTransform="rotate(45)",
    ),
)


def cutaway(legs: Sequence[ShownLeg], *, choice: UnitChoice, width: float = 420.0) -> str:
    """Spring legs side by side, to scale, upper ends level.

    Parameters
    ----------
    legs : sequence of ShownLeg
        One to four.
    choice : UnitChoice
        Units of the numbers.
    width : float
        Of the whole drawing, at least 280 [px].

    Returns
    -------
    str
        SVG with title and description.

    Raises
    ------
    OutOfRange
        If there are no legs, or more than four, or the width is too small.

    Notes
    -----
    Chambers, coil with its turns, spacers, transfer port, travel and oil are to scale. Cap, piston, a coil's seats,
    seal head, foot, and what is left between seal head and foot at the end of the travel, are on no sheet and drawn
    alike for every unit.
    """
    if not 1 <= len(legs) <= 4:
        raise OutOfRange("must be one to four legs", field="legs", value=str(len(legs)))
    if not width >= _SMALLEST:
        raise OutOfRange(f"must be at least {_SMALLEST:g} px", field="width", value=f"{width:g}")
    letters = min(max(12.0, width / 40.0), 16.0)
    column = width / len(legs)
    per_metre = min(1000.0 * column / 165.0, 1600.0)
    top = 2.2 * letters + CAP * per_metre
    papers = [Paper((n + 0.48) * column, top, per_metre, letters, choice) for n in range(len(legs))]
    pieces = [HATCH]
    for paper, leg in zip(papers, legs, strict=True):
        pieces += _leg(paper, leg)
    deepest = max(_foot(leg.inside) for leg in legs) + FOOT
    height = papers[0].level(deepest) + 8.0
    return svg.document((width, height), _title(legs), _description(legs, choice), pieces)


def _leg(paper: Paper, leg: ShownLeg) -> Iterator[str]:
    inside, colour = leg.inside, leg.meaning.pen.colour
    yield from heading(paper, leg)
    if isinstance(inside, CoilInside):
        yield from coil.coil_leg(paper, inside, colour)
        return
    length = _tube_length(inside)
    yield from lowers(paper, inside, length, inside.positive_length + PISTON)
    yield from tube(paper, inside, length)
    yield from _chambers(paper, inside)
    yield from _volume_spacers(paper, inside)
    yield from _piston(paper, inside)
    yield from _travel_spacers(paper, inside, colour)
    yield from _transfer_port(paper, inside)
    yield from _lettering(paper, inside)


def _tube_length(inside: Inside) -> float:
    if isinstance(inside, CoilInside):
        return coil.tube_length(inside)
    return inside.positive_length + PISTON + inside.negative_length


def _foot(inside: Inside) -> float:
    return foot_level(inside, _tube_length(inside))


def _chambers(paper: Paper, inside: LegInside) -> Iterator[str]:
    yield paper.block(0.0, inside.positive_length, inside.bore, fill=POSITIVE)
    start = inside.positive_length + PISTON
    yield paper.block(start, inside.negative_length, inside.bore, fill="url(#negative)")
    yield paper.block(start, inside.negative_length, inside.shaft, fill=METAL, stroke=INK, stroke_width=0.8)
    oil = inside.positive_oil / (0.25 * math.pi * inside.bore**2)
    yield paper.block(inside.positive_length - oil, oil, inside.bore, fill=OIL)


def _volume_spacers(paper: Paper, inside: LegInside) -> Iterator[str]:
    """Each as high as its volume asks for at nine tenths of the bore."""
    across = 0.9 * inside.bore
    height = inside.volume_spacer / (0.25 * math.pi * across**2)
    for place in range(inside.volume_spacers):
        yield paper.block(
            place * height, height, across, fill=SPACER, stroke=INK, stroke_width=0.8, rx=0.002 * paper.per_metre
        )


def _piston(paper: Paper, inside: LegInside) -> Iterator[str]:
    yield paper.block(inside.positive_length, PISTON, inside.bore, fill=INK)
    yield paper.block(inside.positive_length + 0.4 * PISTON, 0.2 * PISTON, inside.bore, fill=METAL)


def _travel_spacers(paper: Paper, inside: LegInside, colour: str) -> Iterator[str]:
    start = inside.positive_length + PISTON
    for place in range(inside.travel_spacers):
        level = start + place * inside.spacer_height
        yield paper.block(
            level, inside.spacer_height, inside.spacer_outside, fill=colour, stroke="#ffffff", stroke_width=1.2
        )


def _transfer_port(paper: Paper, inside: LegInside) -> Iterator[str]:
    """Its holes up the wall, one spacer apart; the one it stands in is a ring."""
    x = paper.middle + 0.5 * inside.bore * paper.per_metre
    piston = inside.positive_length + inside.compression
    radius = 0.0026 * paper.per_metre
    now = inside.port_position or 0
    for hole in range(inside.positions):
        level = paper.level(piston - inside.transfer_port_opens - (hole - now) * inside.spacer_height)
        if hole == now:
            yield svg.element("circle", cx=x, cy=level, r=radius + 1.2, fill="#ffffff", stroke=INK, stroke_width=2.0)
        else:
            yield svg.dot((x, level), 0.45 * radius, INK)


def _lettering(paper: Paper, inside: LegInside) -> Iterator[str]:
    right = paper.middle + (0.5 * inside.stanchion + LOWERS_WALL) * paper.per_metre + 6.0
    piston = inside.positive_length
    yield from words(paper, (right, 0.45 * piston), ("positive", volume(inside.positive_volume, paper.choice)))
    middle = piston + PISTON + 0.5 * inside.negative_length
    yield from words(paper, (right, middle), ("negative", volume(inside.negative_volume, paper.choice)))
    hole = piston + inside.compression - inside.transfer_port_opens - 0.018
    name = "port" if inside.port_position is None else f"port {inside.port_position}"
    yield from words(paper, (right, min(hole, middle - 2.6 * paper.letters / paper.per_metre)), (name,))
    foot = _foot(inside)
    oil = f"{volume(inside.lower_leg_oil, paper.choice)}"
    yield from words(paper, (right, foot - 0.012), ("lower-leg", f"oil {oil}"))
    yield from _spacer_words(paper, inside)
    yield from travel_label(paper, inside, _foot(inside))


def _spacer_words(paper: Paper, inside: LegInside) -> Iterator[str]:
    right = paper.middle + 0.5 * inside.stanchion * paper.per_metre + 6.0
    if inside.volume_spacers:
        many = "spacer" if inside.volume_spacers == 1 else "spacers"
        yield from words(paper, (right, 0.012), (f"{inside.volume_spacers} volume", many))
    if inside.spacer_height:
        left = paper.middle - 0.5 * inside.stanchion * paper.per_metre - 6.0
        level = inside.positive_length + PISTON + 0.5 * max(1, inside.travel_spacers) * inside.spacer_height
        height = show_in(paper.choice, inside.spacer_height, Quantity.LENGTH)
        yield from words(paper, (left, level), (f"{inside.travel_spacers} ×", height), anchor="end")


def _title(legs: Sequence[ShownLeg]) -> str:
    return "Spring leg cut open, to scale: " + ", ".join(leg.label for leg in legs)


def _description(legs: Sequence[ShownLeg], choice: UnitChoice) -> str:
    return " ".join(_described(leg, choice) for leg in legs)


def _described(leg: ShownLeg, choice: UnitChoice) -> str:
    inside = leg.inside
    if isinstance(inside, CoilInside):
        return f"{leg.label}: {', '.join(coil.coil_label(inside, choice))}."
    said = [
        f"travel {show_in(choice, inside.travel, Quantity.LENGTH)}",
        f"compressed by {show_in(choice, inside.compression, Quantity.LENGTH)}",
        f"positive chamber {show_in(choice, inside.positive_volume, Quantity.VOLUME)}",
        f"negative chamber {show_in(choice, inside.negative_volume, Quantity.VOLUME)}",
        count_text(inside.volume_spacers, "volume spacer"),
        f"transfer port opens after {show_in(choice, inside.transfer_port_opens, Quantity.LENGTH)}",
        f"lower-leg oil {show_in(choice, inside.lower_leg_oil, Quantity.VOLUME)}",
    ]
    if inside.spacer_height:
        height = show_in(choice, inside.spacer_height, Quantity.LENGTH)
        said.insert(4, f"{count_text(inside.travel_spacers, 'travel spacer')} of {height} under the piston")
    if inside.port_position is not None:
        said.insert(6, f"transfer port in position {inside.port_position} of 0 to {inside.positions - 1}")
    return f"{leg.label}: {', '.join(said)}."
