"""Force over travel, drawn: what stands in the picture is what it was given."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sagwright.domain.behaviour import Curve
from sagwright.domain.value import MeasuredColumn
from sagwright.drawing.force_plot import STEPS, Force, ForceLine, Plot, decimals, force_svg, round_step, ticks
from sagwright.drawing.svg import Meaning
from sagwright.errors import OutOfRange
from sagwright.units import UnitChoice

SVG = "{http://www.w3.org/2000/svg}"


def straight(travel: float, most: float) -> Curve:
    """A spring whose force grows evenly."""
    x = tuple(travel * n / 10 for n in range(11))
    force = tuple(most * n / 10 for n in range(11))
    return Curve(*(MeasuredColumn(one, tuple(0.01 * number for number in one)) for one in (x, *(force,) * 5)))


FOUND = ForceLine("as found", Meaning.AS_FOUND, straight(0.150, 2000.0), (0.030, 0.030))
TARGET = ForceLine("target", Meaning.TARGET, straight(0.130, 2600.0), (0.026, 0.026))
BOTH = Force((FOUND, TARGET), 400.0)


@pytest.mark.law
@given(span=st.floats(1e-3, 1e6), most=st.integers(2, 20))
def test_a_step_is_round_and_the_least_that_is_enough(span: float, most: int) -> None:
    step = round_step(span, most)
    digits = float(f"{step:e}".partition("e")[0])
    assert any(digits == pytest.approx(one) for one in STEPS)
    assert span / step <= most * (1.0 + 1e-6)
    assert span / step > most / 2.6 - 1e-6
    assert ticks(span, step)[-1] <= span * (1.0 + 1e-6)
    shown = [f"{tick:.{decimals(step)}f}" for tick in ticks(span, step)]
    assert [float(one) for one in shown] == pytest.approx(list(ticks(span, step)), rel=1e-6)


@pytest.mark.parametrize(
    ("step", "low", "high", "shown"),
    [
        (2.5, 0.0, 6.0, ["0", "2.5", "5"]),
        (0.25, 0.0, 0.6, ["0", "0.25", "0.5"]),
        (20.0, -25.0, 21.0, ["−20", "0", "20"]),
        (500.0, -0.1, 999.0, ["0", "500"]),
    ],
)
def test_an_axis_bears_the_numbers_within_it(step: float, low: float, high: float, shown: list[str]) -> None:
    plot = Plot((40.0, 20.0), (500.0, 200.0), (10.0, high), 12.0, low=low)
    texts = re.findall(r'text-anchor="end">([^<]+)<', "".join(plot.frame((10.0, step))))
    assert [one.rstrip("0").rstrip(".") if "." in one else one for one in texts] == shown
    assert plot.at(0.0, low)[1] == pytest.approx(220.0)
    assert plot.at(0.0, high)[1] == pytest.approx(20.0)


@pytest.mark.law
@given(x=st.floats(0, 150), y=st.floats(0, 3000))
def test_a_plot_is_linear_and_stays_in_its_frame(x: float, y: float) -> None:
    plot = Plot((40.0, 20.0), (500.0, 200.0), (150.0, 3000.0), 12.0)
    across, down = plot.at(x, y)
    assert 40.0 <= across <= 540.0 + 1e-9
    assert 20.0 - 1e-9 <= down <= 220.0
    assert (across - 40.0) / 500.0 == pytest.approx(x / 150.0)
    assert (220.0 - down) / 200.0 == pytest.approx(y / 3000.0)


def paths(svg: str, colour: str) -> list[list[tuple[float, float]]]:
    """The points of every line of a colour."""
    drawn = [one.get("d", "") for one in ET.fromstring(svg).iter(f"{SVG}path") if one.get("stroke") == colour]
    pairs = [re.findall(r"([\d.]+),([\d.]+)", path) for path in drawn]
    return [[(float(x), float(y)) for x, y in path] for path in pairs]


def test_curves_are_to_scale() -> None:
    svg = force_svg(BOTH, choice=UnitChoice())
    (found,) = (path for path in paths(svg, Meaning.AS_FOUND.pen.colour) if len(path) == 11)
    (target,) = (path for path in paths(svg, Meaning.TARGET.pen.colour) if len(path) == 11)
    assert (target[-1][0] - target[0][0]) / (found[-1][0] - found[0][0]) == pytest.approx(130 / 150, abs=1e-3)
    assert (target[0][1] - target[-1][1]) / (found[0][1] - found[-1][1]) == pytest.approx(2600 / 2000, abs=1e-3)


def test_as_found_is_dashed_and_the_target_solid() -> None:
    lines = {one.get("stroke"): one for one in ET.fromstring(force_svg(BOTH, choice=UnitChoice())).iter(f"{SVG}path")}
    assert lines[Meaning.AS_FOUND.pen.colour].get("stroke-dasharray")
    assert lines[Meaning.TARGET.pen.colour].get("stroke-dasharray") is None


def test_it_says_in_words_what_it_shows_in_the_units_asked_for() -> None:
    tree = ET.fromstring(force_svg(BOTH, choice=UnitChoice(length="in", force="lbf", decimal=",")))
    said = tree.findtext(f"{SVG}desc")
    assert said is not None
    assert "sag 1,02 in under 89,9 lbf" in said
    assert "5,12 in of travel, 584,5 lbf at its end" in said


def test_a_sag_that_may_be_several_is_a_range() -> None:
    unknown = replace(FOUND, curve=None, sag=(0.030, 0.050))
    svg = force_svg(Force((unknown, TARGET), 400.0), choice=UnitChoice())
    assert "sag 30 mm to 50 mm" in svg


@pytest.mark.parametrize("width", [280.0, 350.0, 640.0])
def test_lettering_stays_on_the_paper(width: float) -> None:
    late = replace(FOUND, sag=(0.140, 0.150))
    tree = ET.fromstring(force_svg(Force((late, TARGET), 400.0), choice=UnitChoice(), width=width))
    for one in tree.iter(f"{SVG}rect"):
        assert float(one.get("x", "0")) >= -2.1
        assert float(one.get("x", "0")) + float(one.get("width", "0")) <= width + 2.1


def test_without_a_load_there_is_no_sag() -> None:
    assert "sag" not in force_svg(Force((TARGET,), None), choice=UnitChoice())


@pytest.mark.parametrize("drawn", [Force((), 1.0), Force((replace(FOUND, curve=None),), 1.0)])
def test_without_a_curve_there_is_no_drawing(drawn: Force) -> None:
    with pytest.raises(OutOfRange, match="one curve or more"):
        force_svg(drawn, choice=UnitChoice())


def test_a_drawing_cannot_be_too_small() -> None:
    with pytest.raises(OutOfRange, match="280 px"):
        force_svg(BOTH, choice=UnitChoice(), width=100.0)
