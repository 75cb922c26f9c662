"""Drawings: well-formed, to scale, with words for who cannot see them, told apart without colour."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree as ET

import pytest

from sagwright.domain.bike import Contact
from sagwright.domain.setup import StackSetting
from sagwright.domain.stance import Stance
from sagwright.drawing.cutaway.cutaway import cutaway
from sagwright.drawing.cutaway.layout import ShownLeg
from sagwright.drawing.side_view import Shown, of_lengths, side_view
from sagwright.drawing.svg import IN_TURN, Meaning
from sagwright.errors import OutOfRange
from sagwright.planning.bike.geometry import stand_of
from sagwright.planning.bike.stance import stance_of
from sagwright.planning.spring.cutaway import leg_inside
from sagwright.units import UnitChoice, choose_units
from tests.support.finding_cases import as_found
from tests.support.intakes import stack_sheet, trail_bike

SVG = "{http://www.w3.org/2000/svg}"
WIDTHS = [280.0, 300.0, 640.0, 1180.0]


def stances(*lengths: float) -> tuple[Stance, ...]:
    stand = stand_of(trail_bike())
    return tuple(stance_of(stand, length) for length in lengths)


def two() -> tuple[Shown, Shown]:
    before, after = stances(0.541, 0.521)
    return Shown("as found", Meaning.AS_FOUND, before), Shown("target", Meaning.TARGET, after)


def bare() -> Shown:
    """A bike of which neither reach and stack nor seat angle are known."""
    bike = trail_bike()
    unknown = replace(bike.geometry, reach=None, stack=None, seat_angle=None)
    stand = stand_of(replace(bike, geometry=unknown, contact=Contact()))
    return Shown("bare", Meaning.FIRST, stance_of(stand, 0.541))


def legs() -> tuple[ShownLeg, ShownLeg]:
    sheet, setup = stack_sheet(), as_found().as_found.setup
    after = replace(setup, setting=StackSetting(2, 2), volume_spacers=3)
    return (
        ShownLeg("as found", Meaning.AS_FOUND, leg_inside(sheet, setup)),
        ShownLeg("target", Meaning.TARGET, leg_inside(sheet, after)),
    )


def read(drawing: str) -> ET.Element:
    return ET.fromstring(drawing)


def words(drawing: str) -> str:
    return " ".join(each.text or "" for each in read(drawing).iter(f"{SVG}text"))


def circles(drawing: str) -> list[tuple[float, float, float]]:
    return [
        (float(each.get("cx", "0")), float(each.get("cy", "0")), float(each.get("r", "0")))
        for each in read(drawing).iter(f"{SVG}circle")
    ]


@pytest.mark.parametrize("width", WIDTHS)
def test_a_side_view_is_to_scale_on_its_ground(width: float) -> None:
    drawing = side_view(two(), choice=UnitChoice(), width=width)
    rings = circles(drawing)
    per_metre = max(r for *_, r in rings) / 0.372
    tyres = [ring for ring in rings if ring[2] / per_metre > 0.36]
    assert len(tyres) == 4
    ground = float(next(iter(read(drawing).iter(f"{SVG}line"))).get("y1", "0"))
    assert all(cy + r == pytest.approx(ground, abs=0.02) for _, cy, r in tyres)
    wheelbases = [(tyres[2 * n + 1][0] - tyres[2 * n][0]) / per_metre for n in (0, 1)]
    assert wheelbases == pytest.approx([each.stance.wheelbase for each in two()], abs=2e-4)


@pytest.mark.parametrize("width", WIDTHS)
def test_nothing_is_drawn_beside_the_paper(width: float) -> None:
    many = of_lengths(stances(0.50, 0.52, 0.53, 0.54, 0.56), UnitChoice())
    drawings = (
        *(side_view(bikes, choice=UnitChoice(), width=width) for bikes in (two(), many, [bare()])),
        cutaway(legs(), choice=UnitChoice(), width=width),
    )
    for drawing in drawings:
        tall = float(read(drawing).get("height", "0"))
        for path in read(drawing).iter(f"{SVG}path"):
            for y in re.findall(r"[ML][-\d.]+,([-\d.]+)", path.get("d", "")):
                assert 0.0 <= float(y) <= tall
        for cx, cy, r in circles(drawing):
            assert r - 1 <= cx <= width - r + 1
            assert r - 1 <= cy <= tall
        for slip in read(drawing).iter(f"{SVG}rect"):
            if slip.get("fill-opacity"):
                left, wide = float(slip.get("x", "0")), float(slip.get("width", "0"))
                assert float(slip.get("y", "0")) > -2.0
                assert left > -6.0
                assert left + wide < width + 6.0


def test_lettering_is_never_smaller_than_eleven_pixels() -> None:
    for width in WIDTHS:
        for drawing in (
            side_view(two(), choice=UnitChoice(), width=width),
            cutaway(legs(), choice=UnitChoice(), width=width),
        ):
            sizes = {float(each.get("font-size", "0")) for each in read(drawing).iter(f"{SVG}text")}
            assert min(sizes) >= 11.0


def test_every_number_stands_in_words() -> None:
    description = read(side_view(two(), choice=UnitChoice())).findtext(f"{SVG}desc") or ""
    for name in (
        "head angle 64.8°",
        "bottom bracket height 340 mm",
        "trail 126 mm",
        "wheelbase 1237 mm",
        "reach 472 mm",
    ):
        assert name in description
    inside = read(cutaway(legs(), choice=UnitChoice())).findtext(f"{SVG}desc") or ""
    for name in (
        "2 travel spacers of 10 mm",
        "3 volume spacers",
        "transfer port in position 2 of 0 to 4",
        "travel 130 mm",
    ):
        assert name in inside


def test_roomy_drawings_label_angles_and_lengths() -> None:
    said = words(side_view(two(), choice=UnitChoice(), width=640.0))
    for label in ("head 64.8°", "seat 77.0°", "BB 340 mm", "reach 472 mm", "stack 632 mm", "axle to crown 541 mm"):
        assert label in said
    narrow = words(side_view(two(), choice=UnitChoice(), width=300.0))
    for label in ("head 64.8°", "BB 340 mm", "wheelbase 1237 mm", "trail 126 mm"):
        assert label in narrow


def test_lines_are_told_apart_without_colour() -> None:
    patterns = [(meaning.pen.dash, meaning.pen.colour) for meaning in Meaning]
    assert len({dash for dash, _ in patterns[:3]}) == 3
    assert len({meaning.pen.dash for meaning in IN_TURN}) == len(IN_TURN)
    drawing = side_view(two(), choice=UnitChoice())
    dashes = {each.get("stroke-dasharray") for each in read(drawing).iter(f"{SVG}circle")}
    assert Meaning.AS_FOUND.pen.dash in dashes
    assert None in dashes


def test_a_cutaway_is_to_scale() -> None:
    drawing = cutaway(legs(), choice=UnitChoice(), width=300.0)
    boxes = [
        (each.get("fill"), float(each.get("width", "0")), float(each.get("height", "0")))
        for each in read(drawing).iter(f"{SVG}rect")
    ]
    positive = [(wide, tall) for fill, wide, tall in boxes if fill == "#dce6f0"]
    negative = [tall for fill, _, tall in boxes if fill == "url(#negative)"]
    per_metre = positive[0][0] / legs()[0].inside.bore
    assert [tall / per_metre for _, tall in positive] == pytest.approx([0.24, 0.22], abs=1e-4)
    assert [tall / per_metre for tall in negative] == pytest.approx([0.06, 0.08], abs=1e-4)
    spacers = [tall for fill, _, tall in boxes if fill == Meaning.TARGET.pen.colour]
    assert [tall / per_metre for tall in spacers] == pytest.approx([0.01, 0.01], abs=1e-4)


def test_the_transfer_port_is_drawn_where_it_opens() -> None:
    sheet, setup = stack_sheet(), as_found().as_found.setup
    right, behind = (leg_inside(sheet, replace(setup, setting=StackSetting(2, hole))) for hole in (2, 0))
    levels = []
    for inside in (right, behind):
        drawing = cutaway([ShownLeg("one", Meaning.AS_FOUND, inside)], choice=UnitChoice())
        rings = [ring for ring in circles(drawing) if ring[2] > 2.0]
        levels.append(max(rings, key=lambda ring: ring[2])[1])
    per_metre = min(1000.0 * 420.0 / 165.0, 1600.0)
    assert (levels[1] - levels[0]) / per_metre == pytest.approx(2 * 0.010, abs=1e-4)


def test_units_and_decimal_mark_are_those_asked_for() -> None:
    choice = replace(choose_units("in"), decimal=",")
    assert "head 64,8°" in words(side_view(two(), choice=choice))
    assert re.search(r"wheelbase 48,70 in", words(side_view(two(), choice=choice)))


def test_the_same_values_give_the_same_bytes() -> None:
    assert side_view(two(), choice=UnitChoice()) == side_view(two(), choice=UnitChoice())
    assert cutaway(legs(), choice=UnitChoice()) == cutaway(legs(), choice=UnitChoice())


def test_any_number_of_bikes() -> None:
    many = of_lengths(stances(*(0.50 + 0.005 * n for n in range(8))), UnitChoice())
    assert len([ring for ring in circles(side_view(many, choice=UnitChoice())) if ring[2] > 80.0]) >= 16


def test_words_from_outside_cannot_break_the_drawing() -> None:
    odd = [replace(two()[0], label='<script> & "co"')]
    drawing = side_view(odd, choice=UnitChoice())
    assert "<script>" not in drawing
    assert '<script> & "co"' in words(drawing)


def test_what_cannot_be_drawn_is_refused() -> None:
    with pytest.raises(OutOfRange, match="one bike or more"):
        side_view([], choice=UnitChoice())
    with pytest.raises(OutOfRange, match="at least 280 px"):
        side_view(two(), choice=UnitChoice(), width=100.0)
    with pytest.raises(OutOfRange, match="one to four"):
        cutaway([], choice=UnitChoice())
    with pytest.raises(OutOfRange, match="at least 280 px"):
        cutaway(legs(), choice=UnitChoice(), width=float("nan"))
