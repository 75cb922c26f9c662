"""Curves of several builds as a chart: SVG text, or PNG bytes.

Each build has a colour and a line pattern of its own, so that the chart reads in black and white; the
first two are those of as found and target everywhere.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, Final

from sagwright.domain.curve import BuildCurve, Comparison
from sagwright.domain.value import Quantity
from sagwright.drawing.svg import FONT, INK, PAPER, RULE, SOFT, Meaning
from sagwright.units import Choice, amount_in

COLOURS: Final = (Meaning.AS_FOUND.pen.colour, Meaning.TARGET.pen.colour, INK, "#8a5a00", "#6b4a86", SOFT)
DASHES: Final = ([7, 5], [1, 0], [2, 3], [10, 3, 2, 3], [14, 4], [4, 2])
MOST_BUILDS: Final = len(COLOURS)
WIDTH, HEIGHT = 380, 220
PNG_SCALE: Final = 2.0

Json = dict[str, Any]


def curve_svg(comparison: Comparison, choice: Choice) -> str:
    """The chart as SVG; the same comparison gives the same text."""
    import vl_convert

    return _renumbered(str(vl_convert.vegalite_to_svg(chart(comparison, choice))))


def curve_png(comparison: Comparison, choice: Choice) -> bytes:
    """The chart as PNG, two pixels to a point."""
    import vl_convert

    return bytes(vl_convert.vegalite_to_png(chart(comparison, choice), scale=PNG_SCALE))


def _renumbered(svg: str) -> str:
    """The same drawing with its clip paths counted from 0: the renderer counts on from one drawing to the
    next."""
    seen = dict.fromkeys(re.findall(r"\bclip(\d+)\b", svg))
    number = {old: new for new, old in enumerate(seen)}
    return re.sub(r"\bclip(\d+)\b", lambda found: f"clip{number[found[1]]}", svg)


def chart(comparison: Comparison, choice: Choice) -> Json:
    """The chart as a Vega-Lite specification: a panel for force, stiffness, energy and each chamber's
    pressure."""
    chambers = [name for name, _ in comparison.curves[0].pressures_abs]
    sheet, question = comparison.sheet, comparison.question
    return {
        "$schema": "https://vega.github.io/schema/vega-lite/v6.json",
        "background": PAPER,
        "title": {
            "text": f"{sheet.maker} {sheet.model}, sheet {sheet.name} revision {sheet.revision}",
            "subtitle": f"stroke at n = {question.exponent:g}{', real air' if question.real_air else ''};"
            f" typical values are to be confirmed; {comparison.program}",
        },
        "data": {"values": list(_rows(comparison, choice))},
        "columns": 2,
        "concat": [
            _force_panel(comparison, choice),
            _panel(comparison, choice, "stiffness", "stiffness", Quantity.RATE),
            _panel(comparison, choice, "energy", "energy put in", Quantity.ENERGY),
            *(_panel(comparison, choice, name, f"{name}, gauge", Quantity.PRESSURE) for name in chambers),
        ],
        "config": _config(),
    }


def _rows(comparison: Comparison, choice: Choice) -> Iterator[Json]:
    """One row a point of a line: which build, which quantity, where, how much."""
    for curve in comparison.curves:
        lines = [
            ("slow", curve.slow_force, Quantity.FORCE),
            ("stroke", curve.stroke_force, Quantity.FORCE),
            ("stiffness", curve.stiffness, Quantity.RATE),
            ("energy", curve.energy, Quantity.ENERGY),
        ]
        lines += [
            (name, tuple(p - comparison.ambient_abs for p in column), Quantity.PRESSURE)
            for name, column in curve.pressures_abs
        ]
        for line, column, quantity in lines:
            yield from _line(curve, line, curve.compression, column, choice, quantity)
        if curve.loop is not None:
            yield from _line(curve, "loop", curve.loop.compression, curve.loop.force, choice, Quantity.FORCE)


def _line(  # noqa: PLR0913, PLR0917  # one line of a chart needs all of them
    curve: BuildCurve,
    line: str,
    compression: tuple[float, ...],
    column: tuple[float, ...],
    choice: Choice,
    quantity: Quantity,
) -> Iterator[Json]:
    for place, (x, y) in enumerate(zip(compression, column, strict=True)):
        yield {
            "build": curve.label,
            "line": line,
            "place": place,
            "x": round(amount_in(choice, x, Quantity.LENGTH), 4),
            "y": round(amount_in(choice, y, quantity), 4),
        }


def _force_panel(comparison: Comparison, choice: Choice) -> Json:
    panel = _panel(comparison, choice, "stroke", "force: stroke thick, slow and loop thin", Quantity.FORCE)
    shared = {key: value for key, value in panel.items() if key not in {"mark", "transform"}}
    return {**shared, "layer": [_mark("stroke", 2.6), _mark("slow", 1.0), _mark("loop", 0.8)]}


def _mark(line: str, width: float) -> Json:
    return {
        "transform": [{"filter": {"field": "line", "equal": line}}],
        "mark": {"type": "line", "strokeWidth": width, "clip": True},
    }


def _panel(comparison: Comparison, choice: Choice, line: str, title: str, quantity: Quantity) -> Json:
    labels = [curve.label for curve in comparison.curves]
    scale = {"domain": labels, "range": list(COLOURS[: len(labels)])}
    dash = {"domain": labels, "range": list(DASHES[: len(labels)])}
    legend = {"title": None, "orient": "top", "columns": 1, "labelLimit": 700, "symbolSize": 900}
    return {
        "width": WIDTH,
        "height": HEIGHT,
        **_mark(line, 2.2),
        "encoding": {
            "x": _axis("x", f"compression, {choice.unit(Quantity.LENGTH)}"),
            "y": _axis("y", f"{title}, {choice.unit(quantity)}"),
            "color": {"field": "build", "type": "nominal", "scale": scale, "legend": legend},
            "strokeDash": {"field": "build", "type": "nominal", "scale": dash, "legend": legend},
            "order": {"field": "place"},
        },
    }


def _axis(field: str, title: str) -> Json:
    return {"field": field, "type": "quantitative", "axis": {"title": title, "format": "~f"}}


def _config() -> Json:
    plain = {"labelFont": FONT, "titleFont": FONT, "labelColor": SOFT, "titleColor": INK, "titleFontWeight": "normal"}
    return {
        "font": FONT,
        "axis": {**plain, "gridColor": RULE, "domainColor": INK, "tickColor": INK, "labelFontSize": 12},
        "legend": {**plain, "labelColor": INK, "labelFontSize": 13},
        "title": {"font": FONT, "color": INK, "anchor": "start", "fontSize": 15, "subtitleColor": SOFT},
        "view": {"stroke": INK},
    }
