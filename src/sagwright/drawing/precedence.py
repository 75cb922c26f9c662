"""What comes before what, as a drawing: one box per step, and a line from each step to those that wait for it.

A row holds the steps that have the same number of steps on the longest way to them; whatever stands in one row may be
done in any order. Lines that follow from others are left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from html import escape
from textwrap import wrap
from typing import Final

from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Step
from sagwright.drawing.svg import FONT, INK, PAPER, SOFT
from sagwright.phrases.steps import title

BOX_WIDTH: Final = 170
BOX_HEIGHT: Final = 46
GAP_ACROSS: Final = 18
GAP_DOWN: Final = 34
_MARGIN: Final = 16
_WORDS: Final = 23  # characters in a line of a box
STYLE: Final = (
    f"svg{{background:{PAPER}}}text{{font:12px {FONT};fill:{INK}}}rect{{fill:{PAPER};stroke:{SOFT}}}"
    f"rect.hold_point{{stroke:{INK};stroke-width:3}}path{{fill:none;stroke:{SOFT}}}"
)


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a step's box stands: column and row, from 0."""

    column: int
    row: int

    @property
    def x(self) -> int:
        return _MARGIN + self.column * (BOX_WIDTH + GAP_ACROSS)

    @property
    def y(self) -> int:
        return _MARGIN + self.row * (BOX_HEIGHT + GAP_DOWN)


def precedence_svg(steps: tuple[Step, ...], sheet: Sheet) -> str:
    """The drawing of an order's precedence, as SVG text.

    Parameters
    ----------
    steps : tuple of Step
        In a valid order; what each needs is among those before it.
    sheet : Sheet
    """
    places = _places(steps)
    columns = max((place.column for place in places.values()), default=0) + 1
    rows = max((place.row for place in places.values()), default=0) + 1
    width = 2 * _MARGIN + columns * (BOX_WIDTH + GAP_ACROSS) - GAP_ACROSS
    height = 2 * _MARGIN + rows * (BOX_HEIGHT + GAP_DOWN) - GAP_DOWN
    size = f'viewBox="0 0 {width} {height}" width="{width}" height="{height}"'
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} role="img" aria-labelledby="what">',
        f'<title id="what">Which of {len(steps)} steps comes before which</title>',
        f"<style>{STYLE}</style>",
        *_arrows(steps, places),
        *(_box(number, step, sheet, places[step.key]) for number, step in enumerate(steps, start=1)),
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


def _places(steps: tuple[Step, ...]) -> dict[str, _Place]:
    """Each step one row below the last that it needs, beside those that stand there already."""
    places: dict[str, _Place] = {}
    filled: dict[int, int] = {}
    for step in steps:
        row = max((places[need.step].row + 1 for need in step.needs), default=0)
        column = filled.get(row, 0)
        filled[row] = column + 1
        places[step.key] = _Place(column, row)
    return places


def _arrows(steps: tuple[Step, ...], places: Mapping[str, _Place]) -> Iterator[str]:
    behind: dict[str, set[str]] = {}
    for step in steps:
        needed = {need.step for need in step.needs}
        through = set().union(*(behind[key] for key in needed))
        behind[step.key] = needed | through
        for key in sorted(needed - through):
            yield _arrow(places[key], places[step.key])


def _arrow(start: _Place, end: _Place) -> str:
    x1, y1 = start.x + BOX_WIDTH // 2, start.y + BOX_HEIGHT
    x2, y2 = end.x + BOX_WIDTH // 2, end.y
    bend = GAP_DOWN // 2
    head = f"M{x2 - 4} {y2 - 6}L{x2} {y2}L{x2 + 4} {y2 - 6}"
    return f'<path d="M{x1} {y1}C{x1} {y1 + bend} {x2} {y2 - bend} {x2} {y2}{head}"/>'


def _box(number: int, step: Step, sheet: Sheet, place: _Place) -> str:
    words = wrap(f"{number}  {title(step, sheet)}", _WORDS, max_lines=2, placeholder=" …")
    hold_point = ' class="hold_point"' if step.hold_point else ""
    box = f'<rect{hold_point} x="{place.x}" y="{place.y}" width="{BOX_WIDTH}" height="{BOX_HEIGHT}" rx="5"/>'
    texts = (
        f'<text x="{place.x + 9}" y="{place.y + 19 + 16 * line}">{escape(text)}</text>'
        for line, text in enumerate(words)
    )
    return f"<g><title>{escape(step.key)}</title>{box}{''.join(texts)}</g>"
