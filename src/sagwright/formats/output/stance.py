"""How a bike stands, as JSON: the plan's `stance` sub-object, and the shape "stance/1"."""

from __future__ import annotations

from typing import Any, Final

from sagwright.domain.bike import Bike, Outline
from sagwright.domain.finding import Finding
from sagwright.domain.stance import Clearance, RiderLoad, Side, Stance, StancePoint, StanceView, stance_difference
from sagwright.formats.codec import NUMBER, Codec, Coder, Object, Row
from sagwright.formats.json_text import Json, dump_json
from sagwright.formats.output.work import ROWS as OF_WORK
from sagwright.formats.output.work import gauge_key

_SHAPE: Final = "stance/1"
SIDES: Final = {Side.AS_FOUND: "as_found", Side.TARGET: "target"}


def _sides(pairs: tuple[tuple[Side, Stance], ...]) -> Json:
    """As found, at the target, and the one less the other."""
    before, after = (dict(pairs).get(side) for side in SIDES)
    sides = {
        key: None if one is None else CODEC.encode(one)
        for key, one in zip(SIDES.values(), (before, after), strict=True)
    }
    return sides | {"difference": None if before is None or after is None else _difference(before, after)}


def _stances(shape: Object) -> tuple[tuple[Side, Stance], ...]:
    return tuple((side, CODEC.decode(Stance, shape[key])) for side, key in SIDES.items() if shape[key] is not None)


def _difference(before: Stance, after: Stance) -> Json:
    return {name: None if one is None else NUMBER.encode(one) for name, one in stance_difference(before, after).items()}


def _figures_gauge(shape: Object) -> Object:
    return shape | {"figures": {gauge_key(key, one["quantity"]): one for key, one in shape["figures"].items()}}


def _figures(shape: Object) -> Object:
    ends = {key: gauge_key("", one["quantity"]) for key, one in shape["figures"].items()}
    return shape | {"figures": {key.removesuffix(ends[key]): one for key, one in shape["figures"].items()}}


def _point(shape: Object) -> StancePoint:
    return NUMBER.decode(shape["forward"]), NUMBER.decode(shape["up"])


def _outline(outline: Outline) -> Json:
    values = {name: getattr(outline, name) for name in Outline.__slots__}
    return {name: None if value is None else {"value": value.si, "u": value.u} for name, value in values.items()}


ROWS: Final[dict[Any, Row | Coder]] = OF_WORK | {
    StancePoint: Coder(lambda point: dict(zip(("forward", "up"), map(NUMBER.encode, point), strict=True)), _point),
    RiderLoad: Row("side who how load sag front_axle rear_axle across head_angle travel lifted pressed friction"),
    Clearance: Row("place gap measured under_test"),
    StanceView: Row("topped_out sagged rear_sag=rear_sag_fraction outline rider_loads clearances=clearance"),
    tuple[tuple[Side, Stance], ...]: Coder(_sides, _stances),
    Finding: Row(to_json=_figures_gauge, from_json=_figures),
    Bike: Coder(lambda bike: {"name": bike.name}),
    Outline: Coder(_outline),
}
CODEC: Final = Codec(ROWS)


def stances_json(bike: Bike, stances: tuple[Stance, ...], findings: tuple[Finding, ...], *, program: str) -> str:
    """The shape stance/1: stances of one bike, each less the first one, with their findings; a newline at its
    end."""
    said = [CODEC.encode(one) for one in findings]
    return dump_json(
        {
            "shape": _SHAPE,
            "program": program,
            "bike": bike.name,
            "stances": [CODEC.encode(one) for one in stances],
            "differences": [_difference(stances[0], one) for one in stances],
            "findings": [{key: value for key, value in one.items() if key != "words"} for one in said],
        }
    )
