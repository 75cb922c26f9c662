"""The font of pages and drawings, which a dependency brings along, so that both look the same on every machine."""

from __future__ import annotations

import re
from base64 import b64encode
from html import unescape
from io import BytesIO
from typing import Final

from font_source_sans_pro import font_directory

from sagwright.drawing.svg import FAMILY

PACKAGE: Final = ("font_source_sans_pro", "files")
"""The package that has the files, and their folder in it."""
FACES: Final = tuple(f"SourceSansPro-{face}.otf" for face in ("Regular", "Bold", "It", "BoldIt"))
"""The files in use; every drawing is lettered in the first."""
TAGS: Final = re.compile(r"<[^>]*>")
PUBLIC_NAME: Final = "Lettering"
"""What the cut-down font calls itself: its licence (SIL OFL 1.1, clause 3) reserves the font's own name for the whole
one."""
NOTICES: Final = (0, 13, 14)  # copyright, licence, and where the licence is
NAMES: Final = {1: PUBLIC_NAME, 2: "Regular", 3: PUBLIC_NAME, 4: PUBLIC_NAME, 6: PUBLIC_NAME}


def path_of(face: str) -> str:
    """Where the file of a face is."""
    return f"{font_directory}/{face}"


def standalone(svg: str) -> str:
    """A drawing that carries the letters it uses, about 10 kB; the same drawing gives the same text.

    In a page the drawing uses the page's font instead.
    """
    letters = b64encode(_cut_down("".join(sorted(set(unescape(TAGS.sub("", svg))))))).decode("ascii")
    source = f'url("data:font/otf;base64,{letters}") format("opentype")'
    body, end, rest = svg.rpartition("</svg>")
    return f"{body}<style>@font-face{{font-family:'{FAMILY}';src:{source}}}</style>\n{end}{rest}"


def png(svg: str, scale: float) -> bytes:
    """A drawing as PNG, in our font and no other.

    Parameters
    ----------
    svg : str
    scale : float
        Pixels of the picture to a pixel of the drawing.
    """
    import resvg_py

    return resvg_py.svg_to_bytes(svg_string=svg, zoom=scale, skip_system_fonts=True, font_files=[path_of(FACES[0])])


def _cut_down(letters: str) -> bytes:
    """The regular face with these letters only, as the bytes of an OpenType font."""
    from fontTools import subset

    options = subset.Options(layout_features=["kern"], hinting=False, desubroutinize=True, name_IDs=[*NOTICES, *NAMES])
    file = BytesIO()
    with subset.load_font(path_of(FACES[0]), options) as font:
        cutter = subset.Subsetter(options)
        cutter.populate(text=letters)
        cutter.subset(font)
        for record in font["name"].names:
            record.string = NAMES.get(record.nameID, record.toUnicode())
        outlines = font["CFF "].cff
        outlines.fontNames = [PUBLIC_NAME]
        outlines.topDictIndex[0].FullName = outlines.topDictIndex[0].FamilyName = PUBLIC_NAME
        font.save(file)
    return file.getvalue()
