"""Curves of several builds, drawn: every panel to scale, every build told apart without colour, and in words."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sagwright.domain.curve import Comparison, CurveQuestion, Loop, SetupCurve
from sagwright.domain.value import MeasuredColumn
from sagwright.drawing import svg
from sagwright.drawing.curve_chart import _FRAME, BEFORE, COLUMNS, MOST_SETUPS, PENS, curve_svg
from sagwright.units import UnitChoice
from tests.support.finding_cases import as_found
from tests.support.intakes import stack_sheet

SVG = "{http://www.w3.org/2000/svg}"
X = tuple(0.15 * n / 10 for n in range(11))
AMBIENT = 101_325.0


def straight(label: str, most: float) -> SetupCurve:
    """A spring whose force grows evenly, and whose negative chamber falls below the air outside."""
    force = tuple(most * x / X[-1] for x in X)
    stiffness = tuple(most / X[-1] for _ in X)
    energy = tuple(0.5 * most / X[-1] * x * x for x in X)
    pressures = (("positive", tuple(AMBIENT + 1e6 * x for x in X)), ("negative", tuple(AMBIENT - 2e5 * x for x in X)))
    setup = as_found().as_found.setup
    return SetupCurve(
        label,
        setup,
        X[-1],
        X,
        MeasuredColumn(force, X),
        MeasuredColumn(force, X),
        stiffness,
        energy,
        pressures,
        X,
        X,
        None,
        loop=Loop(X, force, 1.0, 1.0),
    )


def comparison(*curves: SetupCurve) -> Comparison:
    return Comparison("sagwright 0", stack_sheet(), CurveQuestion(speed=0.5), AMBIENT, curves)


TWO = comparison(straight("as found", 2000.0), straight("target <b>", 3000.0))


def lines(drawing: str, colour: str) -> list[list[tuple[float, float]]]:
    """The points of every curve of a colour."""
    drawn = [one.get("d", "") for one in ET.fromstring(drawing).iter(f"{SVG}path") if one.get("stroke") == colour]
    return [[(float(x), float(y)) for x, y in re.findall(r"([-\d.]+),([-\d.]+)", path)] for path in drawn]


def texts(drawing: str) -> list[str]:
    return [one.text or "" for one in ET.fromstring(drawing).iter(f"{SVG}text")]


def frames(drawing: str) -> list[tuple[float, float]]:
    """The upper left corner of every panel's frame."""
    boxes = [one for one in ET.fromstring(drawing).iter(f"{SVG}rect") if one.get("width") == svg.svg_number(_FRAME[0])]
    return [(float(one.get("x", "0")), float(one.get("y", "0"))) for one in boxes]


def test_every_quantity_and_chamber_has_a_panel_with_its_unit() -> None:
    drawing = curve_svg(TWO, UnitChoice(pressure="bar", force="lbf"))
    assert len(frames(drawing)) == 5
    for name in (
        "force, lbf: stroke thick",
        "stiffness, ",
        "energy put in, J",
        "positive, gauge, bar",
        "negative, gauge",
    ):
        assert any(text.startswith(name) for text in texts(drawing))


def test_curves_are_to_scale_and_within_their_frames() -> None:
    drawing = curve_svg(TWO, UnitChoice())
    ends = [[points[-1] for points in lines(drawing, pen.colour)] for pen in PENS[:2]]
    assert [len(each) for each in ends] == [7, 7]  # slow, loop and stroke; then one in each other panel
    ground = frames(drawing)[0][1] + _FRAME[1]
    found, target = (ground - each[2][1] for each in ends)
    assert target / found == pytest.approx(3000 / 2000, abs=1e-3)
    for points in (point for pen in PENS[:2] for line in lines(drawing, pen.colour) for point in line):
        assert any(
            left - 0.01 <= points[0] <= left + _FRAME[0] + 0.01 and top - 0.01 <= points[1] <= top + _FRAME[1] + 0.01
            for left, top in frames(drawing)
        )


def test_what_is_below_the_air_outside_is_below_zero() -> None:
    drawing = curve_svg(TWO, UnitChoice())
    negative = lines(drawing, PENS[0].colour)[-1]
    assert negative[-1][1] > negative[0][1]
    assert any(text.startswith("−") for text in texts(drawing))


def test_nothing_is_drawn_where_nothing_presses() -> None:
    flat = replace(TWO.curves[0], pressures_abs=(("positive", tuple(AMBIENT for _ in X)),))
    assert len(frames(curve_svg(comparison(flat), UnitChoice()))) == 4


def test_builds_are_told_apart_without_colour_and_named_in_words() -> None:
    assert len({pen.dash for pen in PENS}) == len({pen.colour for pen in PENS}) == MOST_SETUPS
    drawing = curve_svg(TWO, UnitChoice(decimal=","))
    assert "target <b>" in texts(drawing)
    said = ET.fromstring(drawing).findtext(f"{SVG}desc")
    assert said is not None
    assert "as found: 150 mm of travel, 2000 N and 150 J at its end." in said
    assert any("n = 1,2" in text for text in texts(drawing))


def test_the_paper_is_wide_enough_for_every_panel_and_name() -> None:
    long = replace(TWO.curves[0], label="W" * 200)
    drawing = curve_svg(comparison(long), UnitChoice())
    wide = float(ET.fromstring(drawing).get("width", "0"))
    assert wide > COLUMNS * (BEFORE[0] + _FRAME[0])
    (name,) = (text for text in texts(drawing) if text.startswith("WW"))
    assert name.endswith("…")


@pytest.mark.law
@given(content=st.text(max_size=60), room=st.floats(20.0, 400.0))
def test_what_is_cut_off_fits_and_is_cut_off_as_little_as_may_be(content: str, room: float) -> None:
    cut = svg.shortened(content, 13.0, room)
    assert svg.width_of(cut, 13.0) <= room
    assert cut == content or cut.endswith("…")
    assert content.startswith(cut.removesuffix("…"))
