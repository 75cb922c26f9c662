"""The cut-open spring leg of a coil fork: to scale, on its paper, in words too."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

from sagwright.domain.setup import Setup
from sagwright.domain.sheet import Sheet
from sagwright.drawing.cutaway.coil import tube_length
from sagwright.drawing.cutaway.cutaway import cutaway
from sagwright.drawing.cutaway.layout import ShownLeg
from sagwright.drawing.svg import METAL, Meaning
from sagwright.planning.spring.cutaway import coil_inside, inside_of
from sagwright.units import UnitChoice
from tests.support.coil_intakes import built, coil_sheet, rate_only

SVG = "{http://www.w3.org/2000/svg}"
WIDTHS = [280.0, 420.0, 840.0]
LEGS = (
    ("as found", Meaning.AS_FOUND, built(0, "medium", 3, 0.004)),
    ("target", Meaning.TARGET, built(2, "firm", 1, 0)),
)


def drawn(width: float, sheet: Sheet | None = None, legs: tuple[tuple[str, Meaning, Setup], ...] = LEGS) -> ET.Element:
    shown = [ShownLeg(label, meaning, inside_of(sheet or coil_sheet(), setup)) for label, meaning, setup in legs]
    return ET.fromstring(cutaway(shown, choice=UnitChoice(), width=width))


@pytest.mark.parametrize("width", WIDTHS)
def test_nothing_is_drawn_beside_the_paper_and_all_can_be_read(width: float) -> None:
    drawing = drawn(width)
    tall = float(drawing.get("height", "0"))
    for box in drawing.iter(f"{SVG}rect"):
        if not box.get("fill-opacity"):
            left, top = float(box.get("x", "0")), float(box.get("y", "0"))
            assert left >= -0.01
            assert left + float(box.get("width", "0")) <= width + 0.01
            assert 0 <= top <= tall
    assert min(float(each.get("font-size", "0")) for each in drawing.iter(f"{SVG}text")) >= 11.0


@pytest.mark.parametrize("spacers", [0, 1, 2, 3])
def test_the_tube_is_as_long_whatever_is_inside(spacers: int) -> None:
    lengths = [
        tube_length(coil_inside(coil_sheet(), setup, compression=x))
        for setup in (built(spacers, "medium", 0, 0.0), built(spacers, "firm", 3, 0.01), LEGS[0][2])
        for x in (0.0, 0.05)
    ]
    assert lengths == pytest.approx([lengths[0]] * len(lengths))


def test_the_coil_stands_on_its_seat_and_reaches_the_other() -> None:
    width = 600.0
    inside = coil_inside(coil_sheet(), LEGS[0][2])
    drawing = drawn(width, legs=LEGS[:1])
    circles = list(drawing.iter(f"{SVG}circle"))
    per_metre = 2 * float(circles[0].get("r", "0")) / 0.005
    levels = [float(one.get("cy", "0")) for one in circles]
    # From the first section of the wire to the last: its length less a wire.
    assert (max(levels) - min(levels)) / per_metre == pytest.approx(inside.between - 0.005, abs=0.003)
    across = {round(float(one.get("cx", "0")), 2) for one in circles}
    assert (max(across) - min(across)) / per_metre == pytest.approx(0.028, abs=1e-4)


def test_a_coil_of_unknown_make_is_a_block_and_a_loose_one_is_said() -> None:
    block = drawn(420.0, rate_only(), (("only", Meaning.FIRST, built(0, "medium", 3, 0.0)),))
    assert not list(block.iter(f"{SVG}circle"))
    loose = drawn(420.0, legs=(("loose", Meaning.FIRST, built(0, "medium", 2, 0.0)),)).findtext(f"{SVG}desc") or ""
    assert "loose topped out by 8 mm" in loose
    assert "compressed by 0 mm" in loose


def test_every_number_stands_in_words() -> None:
    said = drawn(420.0).findtext(f"{SVG}desc") or ""
    for words in (
        "as found: travel 170 mm",
        "coil medium of 33.4 turns of 5 mm wire, 9 N/mm",
        "pressed topped out by 6 mm",
        "39 mm left to solid at full travel",
        "3 preload spacers of 10 mm",
        "adjuster turned in by 4 mm",
        "2 top-out spacers of 10 mm",
        "lower-leg oil 20 ml",
    ):
        assert words in said
    assert METAL in ET.tostring(drawn(420.0), "unicode")
