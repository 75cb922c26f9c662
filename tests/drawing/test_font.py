"""The font: what it has, and that a drawing in a file brings along what it needs."""

from __future__ import annotations

import re
from base64 import b64decode
from io import BytesIO
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest
from fontTools.ttLib import TTFont

from sagwright.drawing import svg
from sagwright.drawing.font import FACES, path_of, png, standalone
from sagwright.drawing.svg import FAMILY

NEEDED = "±−×·³µ²°–…“”→▲✓≤≥″"
DIGITS = "0123456789"
SMALL = svg.document((120.0, 40.0), "Two & one", "words", [svg.svg_text("38.2 mm ± 2.5 <b>", (4.0, 20.0), 14.0)])
MOST_BYTES = 30_000
EMBEDDED = re.compile(r"@font-face\{font-family:'([^']+)';src:url\(\"data:font/otf;base64,([^\"]+)\"\)")


def face(name: str) -> Any:  # noqa: ANN401  # the library has no types
    return TTFont(BytesIO(Path(path_of(name)).read_bytes()))


def widths(font: Any, letters: str) -> list[int]:  # noqa: ANN401
    return [font["hmtx"][font.getBestCmap()[ord(letter)]][0] for letter in letters]


@pytest.mark.parametrize("name", FACES)
def test_every_face_has_the_signs_of_the_trade(name: str) -> None:
    font = face(name)
    assert font["name"].getDebugName(1) == FAMILY
    used = NEEDED if name in FACES[:2] else "±−×·³µ²°–…“”→▲"
    assert [sign for sign in used if ord(sign) not in font.getBestCmap()] == []


@pytest.mark.parametrize("name", FACES)
def test_figures_line_up(name: str) -> None:
    """They are of one width as they are (a font of that kind has `pnum` to get others, and no `tnum`), the signs before
    them too, and nothing pushes two of them together."""
    font = face(name)
    assert len(set(widths(font, DIGITS + "−+±×"))) == 1
    assert "tnum" not in {record.FeatureTag for record in font["GSUB"].table.FeatureList.FeatureRecord}


@pytest.mark.parametrize(
    "words", ["38.2 mm ± 2.5", "wheelbase 1237 mm · trail 126 mm", "SAG", "transfer port in position 2"]
)
def test_lettering_is_about_as_wide_as_drawings_take_it_for(words: str) -> None:
    font = face(FACES[0])
    true = sum(widths(font, words)) / font["head"].unitsPerEm
    assert 0.97 < svg.width_of(words, 1.0) / true < 1.15


def test_a_drawing_in_a_file_carries_its_letters_and_no_more() -> None:
    carried = standalone(SMALL)
    assert len(carried) < len(SMALL) + MOST_BYTES
    assert ET.fromstring(carried).findtext("{http://www.w3.org/2000/svg}title") == "Two & one"
    found = EMBEDDED.search(carried)
    assert found is not None
    assert found[1] == FAMILY
    font = TTFont(BytesIO(b64decode(found[2])))
    letters = {chr(code) for code in font.getBestCmap()}
    assert set("38.2 mm ± 2.5 <b>&") <= letters
    assert not set("QZ%") & letters
    assert "Source" not in f"{font['name'].getDebugName(1)} {font['name'].getDebugName(4)}"  # SIL OFL 1.1, clause 3
    assert "Open Font License" in font["name"].getDebugName(13)


def test_the_same_drawing_carries_the_same_bytes() -> None:
    assert standalone(SMALL) == standalone(SMALL)


def test_a_picture_is_lettered_in_it_and_as_large_as_asked_for() -> None:
    from PIL import Image

    one, two = (Image.open(BytesIO(png(SMALL, scale))) for scale in (1.0, 2.0))
    assert (one.size, two.size) == ((120, 40), (240, 80))
    bare = SMALL.replace("38.2", " ")
    assert png(bare, 1.0) != png(SMALL, 1.0) == png(SMALL, 1.0)


def test_no_font_is_in_the_repository() -> None:
    root = Path(__file__).parents[2]
    kinds = {".otf", ".ttf", ".woff", ".woff2"}
    assert not [path for folder in ("src", "tests") for path in (root / folder).rglob("*") if path.suffix in kinds]
