"""Drawings inside a page."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import Final

from markupsafe import Markup

from sagwright.domain.behaviour import Behaviour
from sagwright.domain.plan import Selection
from sagwright.drawing.cutaway.cutaway import cutaway
from sagwright.drawing.cutaway.layout import ShownLeg
from sagwright.drawing.force_plot import Force, ForceLine, force_svg
from sagwright.drawing.side_view import Shown, side_view
from sagwright.drawing.svg import Meaning
from sagwright.units import UnitChoice

IDS: Final = re.compile(r'\b(id=")([\w-]+)(")|(url\(#)([\w-]+)(\))')
LABELLED: Final = re.compile(r'aria-labelledby="([\w -]+)"')
SIZE: Final = re.compile(r'^(<svg[^>]*?) width="[^"]*" height="[^"]*"')


def inline(svg: str, key: str) -> Markup:
    """A drawing that may stand beside others in one page: its ids begin with a key of its own, its size is the page's.

    Drawings are our own text with everything in it escaped, so that it may stand in a page as it is.
    """
    named = IDS.sub(lambda found: "".join(_keyed(found, key)), svg)
    named = LABELLED.sub(
        lambda found: f'aria-labelledby="{" ".join(f"{key}-{one}" for one in found[1].split())}"', named
    )
    return Markup(SIZE.sub(r"\1", named))


def _keyed(found: re.Match[str], key: str) -> Iterator[str]:
    first = 1 if found[1] else 4
    yield from (found[first], f"{key}-{found[first + 1]}", found[first + 2])


def force_of(selection: Selection) -> Force | None:
    """What is drawn of a plan's spring; None where there is no curve."""
    view = selection.spring
    lines = []
    if view.as_found:
        sag = _range(view.as_found)
        lines.append(ForceLine("as found", Meaning.AS_FOUND, view.as_found_curve, sag))
    if view.target is not None:
        sag = _range((view.target,))
        lines.append(ForceLine("target", Meaning.TARGET, view.target_curve, sag))
    if all(line.curve is None for line in lines):
        return None
    return Force(tuple(lines), None if view.load is None else view.load.force.value)


def _range(behaviours: tuple[Behaviour, ...]) -> tuple[float, float]:
    sags = [one.sag.value for one in behaviours]
    return min(sags), max(sags)


@lru_cache(maxsize=256)
def force_drawing(force: Force, choice: UnitChoice, width: float, key: str) -> Markup:
    """The curves, drawn once for the same numbers."""
    return inline(force_svg(force, choice=choice, width=width), key)


@lru_cache(maxsize=256)
def cutaway_drawing(legs: tuple[ShownLeg, ...], choice: UnitChoice, key: str) -> Markup:
    """Spring legs beside each other."""
    return inline(cutaway(legs, choice=choice, width=340.0), key)


@lru_cache(maxsize=256)
def side_drawing(bikes: tuple[Shown, ...], choice: UnitChoice, width: float, key: str) -> Markup:
    """The bike over itself."""
    return inline(side_view(bikes, choice=choice, width=width), key)
