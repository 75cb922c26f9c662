"""Pieces of SVG as text, and the look of every drawing: one colour, line pattern and lettering per meaning.

Lengths in px; y grows downwards. No meaning is shown by colour alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import Enum
from html import escape
from typing import Final, TypeAlias

from sagwright.domain.stance import Side

PAPER: Final = "#fbf9f4"
INK: Final = "#1f262b"
SOFT: Final = "#58646d"
RULE_LINE: Final = "#cfc8b8"
POSITIVE: Final = "#dce6f0"
NEGATIVE_COLOUR: Final = "#efe3cf"
OIL: Final = "#c9b06a"
SPACER: Final = "#8d9aa5"
METAL: Final = "#b9c0c6"
FAMILY: Final = "Source Sans Pro"
FONT: Final = f"'{FAMILY}', sans-serif"

SvgPoint: TypeAlias = tuple[float, float]

_WIDE: Final = frozenset("mwMW%@")
NARROW: Final = frozenset("iljtfrI.,:;'|! ()·-/°")


@dataclass(frozen=True, slots=True)
class Pen:
    """A colour, a dash pattern (empty for a solid line) and a width [px]."""

    colour: str
    dash: str
    width: float


class Meaning(Enum):
    """What a line stands for."""

    AS_FOUND = Pen("#2f62a3", "7 4", 1.8)
    TARGET = Pen("#b84a14", "", 2.2)
    FINAL_CHECK = Pen("#1e7350", "0.1 4", 2.6)
    FIRST = Pen(INK, "", 2.0)
    SECOND = Pen("#5b6670", "9 3", 1.8)
    THIRD = Pen(INK, "2.5 2.5", 1.8)
    FOURTH = Pen("#5b6670", "9 3 2 3", 1.8)
    FIFTH = Pen(INK, "1 4", 2.2)
    SIXTH = Pen("#5b6670", "14 3 2 3 2 3", 1.8)

    @property
    def pen(self) -> Pen:
        """How it is drawn."""
        return self.value


_MEANINGS: Final = {Side.AS_FOUND: Meaning.AS_FOUND, Side.TARGET: Meaning.TARGET}


IN_TURN: Final = (Meaning.FIRST, Meaning.SECOND, Meaning.THIRD, Meaning.FOURTH, Meaning.FIFTH, Meaning.SIXTH)
"""The marks that distinguish several things of one kind."""


def svg_number(value: float) -> str:
    """A coordinate, to a hundredth of a pixel."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


def element(name: str, content: str = "", /, **attributes: str | float) -> str:
    """One element; an underscore in an attribute's name stands for a dash, one at its end for nothing."""
    said = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{escape(value) if isinstance(value, str) else svg_number(value)}"'
        for key, value in attributes.items()
    )
    return f"<{name}{said}>{content}</{name}>" if content else f"<{name}{said}/>"


def drawn(pen: Pen) -> dict[str, str | float]:
    """A pen as attributes of a line."""
    look: dict[str, str | float] = {"fill": "none", "stroke": pen.colour, "stroke_width": pen.width}
    return look | ({"stroke_dasharray": pen.dash, "stroke_linecap": "round"} if pen.dash else {})


def line(start: SvgPoint, end: SvgPoint, pen: Pen) -> str:
    """A straight line."""
    return element("line", x1=start[0], y1=start[1], x2=end[0], y2=end[1], **drawn(pen))


def polyline(points: Sequence[SvgPoint], pen: Pen, *, closed: bool = False) -> str:
    """A line through points."""
    path = "M" + " L".join(f"{svg_number(x)},{svg_number(y)}" for x, y in points) + (" Z" if closed else "")
    return element("path", d=path, stroke_linejoin="round", **drawn(pen))


def circle(centre: SvgPoint, radius: float, pen: Pen) -> str:
    """A circle, not filled."""
    return element("circle", cx=centre[0], cy=centre[1], r=radius, **drawn(pen))


def dot(centre: SvgPoint, radius: float, colour: str) -> str:
    """A filled circle."""
    return element("circle", cx=centre[0], cy=centre[1], r=radius, fill=colour)


def box(corner: SvgPoint, size: SvgPoint, **attributes: str | float) -> str:
    """A rectangle from its upper left corner."""
    return element("rect", x=corner[0], y=corner[1], width=size[0], height=size[1], **attributes)


def text(content: str, at: SvgPoint, size: float, *, colour: str = INK, anchor: str = "start") -> str:
    """Lettering on a slip of paper, so that it reads over lines."""
    wide = width_of(content, size)
    left = at[0] - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor]
    slip = box((left - 2.0, at[1] - 0.82 * size), (wide + 4.0, 1.06 * size), fill=PAPER, fill_opacity=0.85)
    return slip + svg_text(content, at, size, colour=colour, anchor=anchor)


def svg_text(content: str, at: SvgPoint, size: float, *, colour: str = INK, anchor: str = "start") -> str:
    """Lettering as it is."""
    return element(
        "text",
        escape(content, quote=False),
        x=at[0],
        y=at[1],
        font_size=size,
        fill=colour,
        text_anchor=anchor,
    )


def width_of(content: str, size: float) -> float:
    """About how wide lettering is in our font."""
    return size * sum(0.8 if c in _WIDE else 0.28 if c in NARROW else 0.59 if c.isupper() else 0.53 for c in content)


def shortened(content: str, size: float, room: float) -> str:
    """Lettering that fits into so much room, cut off where it does not [px]."""
    if width_of(content, size) <= room:
        return content
    return next(
        (cut for n in range(len(content), 0, -1) if width_of(cut := f"{content[:n].rstrip()}…", size) <= room), "…"
    )


def document(size: SvgPoint, title: str, description: str, pieces: Iterable[str]) -> str:
    """A whole drawing with its text alternative."""
    body = "\n".join(
        [
            element("title", escape(title, quote=False), id="title"),
            element("desc", escape(description, quote=False), id="desc"),
            box((0, 0), size, fill=PAPER),
            *pieces,
        ]
    )
    return (
        element(
            "svg",
            f"\n{body}\n",
            xmlns="http://www.w3.org/2000/svg",
            viewBox=f"0 0 {svg_number(size[0])} {svg_number(size[1])}",
            width=size[0],
            height=size[1],
            role="img",
            aria_labelledby="title desc",
            font_family=FONT,
        )
        + "\n"
    )
