"""A bike's text from single values, and single values from a bike's text: what a geometry chart has, by path."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any, Final

import yaml

from sagwright.domain.value import Quantity
from sagwright.errors import InputError, InputErrors, MissingValue
from sagwright.formats.bike.load import load_bike_text
from sagwright.formats.bike.shape import BIKE
from sagwright.formats.source.tree import dump_yaml, put

MM, DEGREE = 1e-3, 0.017453292519943295


@dataclass(frozen=True, slots=True)
class Chart:
    """One value of a geometry chart.

    Attributes
    ----------
    path : str
        In bike/1.
    label, hint : str
    quantity : Quantity or None
        None for words.
    usual : (float, float) or None
        What most bikes have, SI: common practice, no source. Others are taken too, within the limits of the format.
    need : str
        "needed", or what it may be left out for; empty where it may be left out.
    """

    path: str
    label: str
    hint: str = ""
    quantity: Quantity | None = Quantity.LENGTH
    usual: tuple[float, float] | None = None
    need: str = ""


def _mm(low: float, high: float) -> tuple[float, float]:
    return low * MM, high * MM


_NEEDED: Final = "needed"
_CENTRE: Final = "needed: reach and stack, or wheelbase, or front centre"
_DROP: Final = "needed: the drop or the height"
_TYRE: Final = "needed: tyre or radius"
WHEELS: Final = tuple(
    chart
    for side in ("front", "rear")
    for chart in (
        Chart(f"wheels.{side}.tyre", f"{side} tyre", "As moulded into it, like 57-622.", None, None, _TYRE),
        Chart(f"wheels.{side}.radius", f"{side} wheel's radius", "Axle to ground.", usual=_mm(300, 380), need=_TYRE),
    )
)
_FRAME: Final = (
    Chart("geometry.head_angle", "head angle", "From the horizontal behind.", Quantity.ANGLE,
          (62 * DEGREE, 72 * DEGREE), _NEEDED),
    Chart("geometry.chainstay", "chainstay", "Bottom bracket to rear axle.", usual=_mm(410, 465), need=_NEEDED),
    Chart("geometry.bb_drop", "bottom bracket drop", "Below the rear axle.", usual=_mm(-5, 70), need=_DROP),
    Chart("geometry.bb_height", "bottom bracket height", "Over the ground.", usual=_mm(300, 370), need=_DROP),
    Chart("geometry.reach", "reach", usual=_mm(370, 540), need=_CENTRE),
    Chart("geometry.stack", "stack", usual=_mm(560, 690), need=_CENTRE),
    Chart("geometry.wheelbase", "wheelbase", "Axle to axle.", usual=_mm(1030, 1350), need=_CENTRE),
    Chart("geometry.front_centre", "front centre", "Bottom bracket to front axle.", usual=_mm(610, 900), need=_CENTRE),
    Chart("geometry.seat_angle", "seat angle", "From the horizontal behind.", Quantity.ANGLE,
          (70 * DEGREE, 80 * DEGREE)),
)  # fmt: skip
_FORK: Final = (
    Chart("fork.axle_to_crown", "that fork's axle to crown", "Along the steerer.", usual=_mm(430, 610), need=_NEEDED),
    Chart("fork.offset", "that fork's offset", usual=_mm(35, 58), need=_NEEDED),
    Chart("fork.travel", "that fork's travel", usual=_mm(80, 210), need=_NEEDED),
)
REAR: Final = (
    Chart("rear.travel", "rear travel", "Left out for a rigid rear end.", usual=_mm(90, 210)),
    Chart("rear.pivot.ahead", "pivot, ahead of the bottom bracket", "With what it is above.", usual=_mm(-50, 80)),
    Chart("rear.pivot.above", "pivot, above it", usual=_mm(-20, 150)),
)
_RIDER: Final = (
    Chart("contact.crank", "crank", usual=_mm(155, 180)),
    Chart("contact.saddle_height", "saddle height", "Bottom bracket to its top.", usual=_mm(550, 850)),
    Chart("contact.grips_ahead", "grips, ahead of the head tube's top", "Negative behind.", usual=_mm(-80, 30)),
    Chart("contact.grips_above", "grips, above it", usual=_mm(30, 150)),
    Chart("mass", "mass of the bike", "Ready to ride.", Quantity.MASS, (9.0, 28.0)),
    Chart("front_share", "of it on the front wheel", "", Quantity.FRACTION, (0.40, 0.50)),
    Chart("unsprung", "front wheel, rotor, axle and lowers", "", Quantity.MASS, (2.5, 4.5)),
)
LIMITS: Final = (
    Chart("limits.longest_travel", "longest travel", usual=_mm(80, 210)),
    Chart("limits.shortest_travel", "shortest travel", usual=_mm(80, 210)),
    Chart("limits.longest_axle_to_crown", "longest axle to crown", usual=_mm(430, 610)),
    Chart("limits.shortest_axle_to_crown", "shortest axle to crown", usual=_mm(430, 610)),
    Chart("limits.system_mass", "rider, gear and bike together", "", Quantity.MASS, (100.0, 180.0)),
)
CHART_GROUPS: Final = (
    ("Wheels", WHEELS),
    ("Frame, as its maker prints it", _FRAME),
    ("Fork it was printed with", _FORK),
    ("Rear end", REAR),
    ("Contact points and mass", _RIDER),
    ("What the frame's maker permits", LIMITS),
)
CHARTS: Final = tuple(chart for _, charts in CHART_GROUPS for chart in charts)


def chart_of(document: str) -> dict[str, str]:
    """What a bike's text says at the paths of a chart, as written; nothing where it cannot be read."""
    tree = _tree(document)
    found = {chart.path: _at(tree, chart.path) for chart in CHARTS}
    return {path: text for path, text in found.items() if text}


def chart_text(name: str, values: Mapping[str, str], before: str = "") -> str:
    """A bike's text with the values of a chart; whatever else an earlier text says stays.

    Parameters
    ----------
    name : str
    values : mapping of str to str
        By path; what is not in it is left out.
    before : str, optional
        An earlier text.
    """
    tree = {"shape": BIKE, "name": name} | _tree(before) | {"shape": BIKE, "name": name}
    for chart in CHARTS:
        if chart.path in values:
            put(tree, chart.path, values[chart.path])
        elif _at(tree, chart.path):
            _drop(tree, chart.path.split("."))
    return dump_yaml(tree)


def chart_faults(text: str, name: str) -> dict[str, InputError]:
    """What is wrong with such a text, each at the path where it is put right; "" for what is in no field."""
    try:
        load_bike_text(text, name)
    except InputErrors as error:
        faults = error.errors
    except InputError as error:
        faults = (error,)
    else:
        return {}
    placed: dict[str, InputError] = {}
    for one in faults:
        for path in _places(one):
            placed.setdefault(path, one)
    return placed


def chart_missing(typed: Collection[str]) -> dict[str, InputError]:
    """What a chart needs and nothing was typed for, by path: of several that would do, at the first."""
    alternatives: dict[tuple[str, str], list[str]] = {}
    for chart in CHARTS:
        if chart.need:
            group = chart.path if chart.need == _NEEDED else chart.path.rpartition(".")[0]
            alternatives.setdefault((chart.need, group), []).append(chart.path)
    return {
        paths[0]: MissingValue("must be given", remedy=f"{need.capitalize()}.")
        for (need, _), paths in alternatives.items()
        if not any(path in typed for path in paths)
    }


def _places(fault: InputError) -> tuple[str, ...]:
    """A field; for a group that is missing altogether, everything that is needed of it."""
    path = fault.field or ""
    if any(chart.path == path for chart in CHARTS):
        return (path,)
    inside = [chart for chart in CHARTS if chart.path.startswith(f"{path}.")]
    if not isinstance(fault, MissingValue):
        return (inside[0].path,) if inside else ("",)
    return tuple(chart.path for chart in inside if chart.need) or ("",)


def _tree(document: str) -> dict[str, Any]:
    try:
        said = yaml.load(document, Loader=yaml.BaseLoader) if document else {}
    except yaml.YAMLError:
        return {}
    return said if isinstance(said, dict) else {}


def _at(tree: Any, path: str) -> str:
    for part in path.split("."):
        tree = tree.get(part) if isinstance(tree, dict) else None
    return tree if isinstance(tree, str) else ""


def _drop(tree: dict[str, Any], parts: list[str]) -> None:
    """Takes a value out, and what is empty then."""
    first, *rest = parts
    if rest:
        _drop(tree[first], rest)
    if not rest or not tree[first]:
        del tree[first]
