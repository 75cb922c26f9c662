"""How a bike stands, as JSON: the plan's `stance` sub-object, and the shape "stance/1"."""

from __future__ import annotations

from typing import Any, Final

from sagwright.domain.bike import Bike, Outline
from sagwright.domain.finding import Finding
from sagwright.domain.stance import FIGURES, Clearance, Load, Point, Sat, Side, Stance, StanceView
from sagwright.formats.codec import NUMBER, Codec, Coder, Object, Row
from sagwright.formats.json_text import Json, dumped
from sagwright.formats.output.work import ROWS as OF_WORK
from sagwright.formats.output.work import gauge_key

SHAPE: Final = "stance/1"
SIDES: Final = {side.value: side.value.replace(" ", "_") for side in Side}


def _less(before: Json, after: Json) -> Json:
    """After less before, each number of a stance; null where one of them is unknown."""
    if not isinstance(before, dict) or not isinstance(after, dict):
        return None
    pairs = {name: (before[name], after[name]) for name in FIGURES}
    return {
        name: None if None in pair else NUMBER.encode(pair[1]["value"] - pair[0]["value"])
        for name, pair in pairs.items()
    }


def _sides(shape: Object) -> Object:
    """As found, at the target, and the one less the other."""
    for name in ("topped_out", "sagged"):
        found = dict(shape[name])
        sides = {key: found.get(side) for side, key in SIDES.items()}
        shape[name] = sides | {"difference": _less(*sides.values())}
    return shape


def _stances(shape: Object) -> Object:
    for name in ("topped_out", "sagged"):
        shape[name] = [[side, shape[name][key]] for side, key in SIDES.items() if shape[name][key] is not None]
    return shape


def _figures_gauge(shape: Object) -> Object:
    return shape | {"figures": {gauge_key(key, one["quantity"]): one for key, one in shape["figures"].items()}}


def _figures(shape: Object) -> Object:
    ends = {key: gauge_key("", one["quantity"]) for key, one in shape["figures"].items()}
    return shape | {"figures": {key.removesuffix(ends[key]): one for key, one in shape["figures"].items()}}


def _point(shape: Object) -> Point:
    return NUMBER.decode(shape["forward"]), NUMBER.decode(shape["up"])


def _outline(outline: Outline) -> Json:
    values = {name: getattr(outline, name) for name in Outline.__slots__}
    return {name: None if value is None else {"value": value.si, "u": value.u} for name, value in values.items()}


ROWS: Final[dict[Any, Row | Coder]] = OF_WORK | {
    Point: Coder(lambda point: dict(zip(("forward", "up"), map(NUMBER.encode, point), strict=True)), _point),
    Load: Row("force±u how"),
    Sat: Row(
        "side who how load±load_u sag±sag_u front_axle rear_axle across head_angle travel lifted pressed friction"
    ),
    Clearance: Row("place gap±u measured under_test"),
    StanceView: Row(
        "topped_out sagged rear_sag=rear_sag_fraction outline sat clearances=clearance",
        to_json=_sides,
        from_json=_stances,
    ),
    Finding: Row(to_json=_figures_gauge, from_json=_figures),
    Bike: Coder(lambda bike: {"name": bike.name}),
    Outline: Coder(_outline),
}
CODEC: Final = Codec(ROWS)


def stances_json(bike: Bike, stances: tuple[Stance, ...], findings: tuple[Finding, ...], *, program: str) -> str:
    """The shape stance/1: stances of one bike, each less the first one, and what is said of them; a newline at its
    end."""
    shapes = [CODEC.encode(one) for one in stances]
    said = [CODEC.encode(one) for one in findings]
    return dumped(
        {
            "shape": SHAPE,
            "program": program,
            "bike": bike.name,
            "stances": shapes,
            "differences": [_less(shapes[0], one) for one in shapes],
            "findings": [{key: value for key, value in one.items() if key != "words"} for one in said],
        }
    )
