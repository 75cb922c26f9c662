"""Bikes from the side, to scale, one over the other, standing on their wheels."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sagwright.domain.plan import Selection
from sagwright.domain.stance import Stance
from sagwright.domain.value import Quantity
from sagwright.drawing import svg
from sagwright.drawing.bike_lines import along, axes, head_top, moved, tubes, up_the_seat
from sagwright.drawing.svg import _MEANINGS, IN_TURN, INK, SOFT, Meaning, Pen, SvgPoint
from sagwright.errors import OutOfRange
from sagwright.phrases.stance import STANCE_TERMS, sags, stance_number, value_of
from sagwright.units import UnitChoice

_SMALLEST = 280.0  # px
ROOMY = 480.0  # px; from here on every number stands in the drawing
TYRE = 0.05  # m, how high a tyre is drawn over its rim
SWATCH = 18.0  # px, the sample of a line before its number
HELP = Pen(SOFT, "3 2", 0.8)
_THIN = Pen(SOFT, "", 0.8)


@dataclass(frozen=True, slots=True)
class Shown:
    """One stance, what it is called, and what it means."""

    label: str
    meaning: Meaning
    stance: Stance


@dataclass(frozen=True, slots=True)
class View:
    """What is drawn, and how metres on the ground become pixels on the paper."""

    bikes: tuple[Shown, ...]
    choice: UnitChoice
    width: float
    per_metre: float
    left: float
    ground: float
    letters: float

    @property
    def roomy(self) -> bool:
        """Whether every number finds a place."""
        return self.width >= ROOMY

    @property
    def row(self) -> float:
        """Height of a line of lettering."""
        return 1.3 * self.letters

    def at(self, point: SvgPoint) -> SvgPoint:
        """Where a point of a bike is drawn."""
        return self.left + self.per_metre * point[0], self.ground - self.per_metre * point[1]


def of_lengths(stances: Sequence[Stance], choice: UnitChoice) -> tuple[Shown, ...]:
    """Stances of one bike with several forks, each named by its length and told apart by its line."""
    return tuple(
        Shown(stance_number(one.axle_to_crown, Quantity.LENGTH, choice), IN_TURN[place % len(IN_TURN)], one)
        for place, one in enumerate(stances)
    )


def bikes_of(selection: Selection) -> tuple[Shown, ...]:
    """The bike as found and at the target, topped out; empty where nothing is known of it."""
    stances = () if selection.stance is None else selection.stance.topped_out
    return tuple(Shown(side.value, _MEANINGS[side], stance) for side, stance in stances)


def side_view(bikes: Sequence[Shown], *, choice: UnitChoice, width: float = 640.0) -> str:
    """Any number of stances over each other, to scale, rear wheels on one spot.

    Parameters
    ----------
    bikes : sequence of Shown
        One or more; later ones are drawn over earlier ones.
    choice : UnitChoice
        Units of the numbers.
    width : float
        What the drawing is laid out for, at least 280 [px]; under 480 px only the main numbers stand in it. All of
        them stand in its description.

    Returns
    -------
    str
        SVG with title and description.

    Raises
    ------
    OutOfRange
        If there is no bike, or the width is too small.
    """
    if not bikes:
        raise OutOfRange("must be one bike or more", field="bikes")
    if not width >= _SMALLEST:
        raise OutOfRange(f"must be at least {_SMALLEST:g} px", field="width", value=f"{width:g}")
    view = _view(tuple(bikes), choice, width)
    below = view.ground + 6.0 + view.row * len(bikes)
    pieces = (
        svg.line((0.0, view.ground), (width, view.ground), Pen(INK, "", 1.2)),
        *_helping_lines(view),
        *(piece for each in bikes for piece in _bike(view, each)),
        *_numbers(view),
        *(piece for place, each in enumerate(bikes) for piece in _ground_row(view, place, each)),
        *(piece for place, each in enumerate(bikes) for piece in _legend_row(view, below, place, each)),
    )
    height = below + view.row * len(bikes) + 8.0
    return svg.document((width, height), _title(bikes), _description(view), pieces)


def _view(bikes: tuple[Shown, ...], choice: UnitChoice, width: float) -> View:
    """As large as fits: half a wheel behind, half a wheel and the trail's lettering in front."""
    stances = [each.stance for each in bikes]
    behind = max(one.rear_radius for one in stances)
    ahead = max(one.wheelbase + one.front_radius for one in stances)
    tall = max(point[1] for one in stances for point in _outermost(one))
    margin = 0.03 * width
    per_metre = (width - 2.0 * margin) / (behind + ahead)
    letters = min(max(11.0, width / 50.0), 16.0)
    head = (len(bikes) + 0.4) * 1.3 * letters if width < ROOMY else (0.4 + max(1.1, len(bikes) - 1.0)) * 1.3 * letters
    return View(bikes, choice, width, per_metre, margin + per_metre * behind, head + per_metre * tall, letters)


def _outermost(stance: Stance) -> Iterator[SvgPoint]:
    points = stance.points
    yield head_top(stance)
    yield from (point for point in (points.saddle, points.grips) if point is not None)
    yield 0.0, 2.0 * max(stance.rear_radius, stance.front_radius)


# The bike


def _bike(view: View, shown: Shown) -> Iterator[str]:
    stance, pen = shown.stance, shown.meaning.pen
    points = stance.points
    for axle, radius in ((points.rear_axle, stance.rear_radius), (points.front_axle, stance.front_radius)):
        yield svg.circle(view.at(axle), radius * view.per_metre, pen)
        yield svg.circle(view.at(axle), (radius - TYRE) * view.per_metre, Pen(pen.colour, pen.dash, 0.45 * pen.width))
        yield svg.dot(view.at(axle), 2.2, pen.colour)
    for path in tubes(stance):
        yield svg.polyline([view.at(point) for point in path], pen)
    if points.grips is not None:
        yield svg.circle(view.at(points.grips), 0.016 * view.per_metre, Pen(pen.colour, "", 0.8 * pen.width))
    yield svg.circle(view.at(points.bb), 0.022 * view.per_metre, Pen(pen.colour, "", pen.width))


# Numbers


def _helping_lines(view: View) -> Iterator[str]:
    """Steering axis to the ground with the head angle's arc, bottom bracket's height, reach and stack: of the last."""
    stance = view.bikes[-1].stance
    points = stance.points
    hit = _axis_on_ground(stance)
    yield svg.line(view.at(points.crown), view.at(hit), HELP)
    yield svg.line(view.at(points.crown), view.at(moved(points.crown, 0.3, 0.0)), HELP)
    yield _arc(view, points.crown, stance.head_angle)
    yield svg.line(view.at(points.bb), view.at((points.bb[0], 0.0)), HELP)
    if points.head_top is not None and view.roomy:
        corner = (points.bb[0], points.head_top[1])
        yield svg.line(view.at(points.bb), view.at(corner), HELP)
        yield svg.line(view.at(corner), view.at(points.head_top), HELP)


def _axis_on_ground(stance: Stance) -> SvgPoint:
    return stance.points.front_axle[0] + stance.trail, 0.0


def _arc(view: View, centre: SvgPoint, angle: float) -> str:
    """From level down to the steering axis: the head angle, seen from the other side."""
    radius = 0.2
    start, end = moved(centre, radius, 0.0), moved(centre, radius * math.cos(angle), -radius * math.sin(angle))
    (x, y), (right, up) = view.at(start), view.at(end)
    size = svg.svg_number(radius * view.per_metre)
    path = f"M{svg.svg_number(x)},{svg.svg_number(y)} A{size},{size} 0 0 1 {svg.svg_number(right)},{svg.svg_number(up)}"
    return svg.element("path", d=path, **svg.drawn(_THIN))


def _numbers(view: View) -> Iterator[str]:
    stance = view.bikes[-1].stance
    points = stance.points
    x, y = view.at(moved(points.crown, 0.12, 0.0))
    wide = svg.width_of("head 64.8°", view.letters) + SWATCH + 6.0
    yield from _stack(view, "head_angle", (min(x, view.width - wide), y - 6.0 - view.row * (len(view.bikes) - 1)))
    bb = view.at((points.bb[0], 0.5 * points.bb[1]))
    yield from _stack(view, "bb_height", (bb[0] + 5.0, bb[1] - 0.5 * view.row * (len(view.bikes) - 1)), name="BB")
    if view.roomy:
        yield from _roomy_numbers(view)


def _roomy_numbers(view: View) -> Iterator[str]:
    stance = view.bikes[-1].stance
    points = stance.points
    many = len(view.bikes)
    if stance.seat_angle is not None:
        seat = view.at(along(points.bb, up_the_seat(stance), 0.57))
        wide = svg.width_of("seat 77.0°", view.letters) + SWATCH + 14.0
        yield from _stack(view, "seat_angle", (seat[0] - wide, seat[1] - 0.5 * view.row * (many - 1)), name="seat")
    fork = view.at(along(points.crown, axes(stance)[0], 0.33))
    wide = svg.width_of("axle to crown 551 mm", view.letters) + SWATCH + 8.0
    aside = (min(fork[0] + 0.09 * view.per_metre, view.width - wide), fork[1] - 0.5 * view.row * many)
    yield from _stack(view, "axle_to_crown", aside, name="axle to crown")
    if points.head_top is None:
        return
    x, y = view.at((points.bb[0], points.head_top[1]))
    yield from _stack(view, "reach", (x + 6.0, y - 5.0 - view.row * (many - 1)), name="reach")
    middle = view.at((points.bb[0], 0.5 * (points.bb[1] + points.head_top[1])))
    yield from _stack(view, "stack", (middle[0] + 6.0, middle[1] - 0.5 * view.row * many), name="stack")


def _stack(view: View, field: str, at: SvgPoint, *, name: str = "head") -> Iterator[str]:
    """One number of every bike under each other, each behind a sample of its line."""
    quantity = Quantity.ANGLE if field.endswith("angle") else Quantity.LENGTH
    x, y = at
    for place, each in enumerate(view.bikes):
        level = y + place * view.row
        yield _swatch((x, level), each.meaning, view.letters)
        shown = stance_number(getattr(each.stance, field), quantity, view.choice)
        lettering = f"{name} {shown}" if place == 0 else shown
        yield svg.text(lettering, (x + SWATCH + 4.0, level), view.letters, colour=each.meaning.pen.colour)


def _swatch(at: SvgPoint, meaning: Meaning, letters: float) -> str:
    level = at[1] - 0.32 * letters
    return svg.line((at[0], level), (at[0] + SWATCH, level), meaning.pen)


def _ground_row(view: View, place: int, shown: Shown) -> Iterator[str]:
    """Wheelbase from contact to contact, and the trail in front of the front one."""
    stance, colour = shown.stance, shown.meaning.pen.colour
    level = view.ground + 6.0 + (place + 0.5) * view.row
    thin = Pen(colour, shown.meaning.pen.dash, 1.2)
    rear, front = view.at((0.0, 0.0))[0], view.at((stance.wheelbase, 0.0))[0]
    hit = view.at(_axis_on_ground(stance))[0]
    yield svg.line((rear, level), (hit, level), thin)
    for x in (rear, front, hit):
        yield svg.line((x, level - 4.0), (x, level + 4.0), Pen(colour, "", 1.2))
    base_line = level + 0.36 * view.letters
    base = f"wheelbase {stance_number(stance.wheelbase, Quantity.LENGTH, view.choice)}"
    trail = f"trail {stance_number(stance.trail, Quantity.LENGTH, view.choice)}"
    fits = hit + 6.0 + svg.width_of(trail, view.letters) < view.width
    middle = base if fits else f"{base} · {trail}"
    yield svg.text(middle, (0.5 * (rear + front), base_line), view.letters, colour=colour, anchor="middle")
    if fits:
        yield svg.text(trail, (hit + 6.0, base_line), view.letters, colour=colour)


def _legend_row(view: View, start: float, place: int, shown: Shown) -> Iterator[str]:
    level = start + (place + 1.0) * view.row
    yield _swatch((8.0, level), shown.meaning, view.letters)
    yield svg.text(f"{shown.label}, {sags(shown.stance, view.choice)}", (8.0 + SWATCH + 6.0, level), view.letters)


# Words


def _title(bikes: Sequence[Shown]) -> str:
    return "Side view to scale: " + ", ".join(each.label for each in bikes)


def _description(view: View) -> str:
    """Every number of every bike in words."""
    return " ".join(
        f"{each.label}, {sags(each.stance, view.choice)}: "
        f"axle to crown {stance_number(each.stance.axle_to_crown, Quantity.LENGTH, view.choice)}, "
        + ", ".join(f"{term.name} {value_of(term, each.stance, view.choice)}" for term in STANCE_TERMS)
        + "."
        for each in view.bikes
    )
