"""Stances, loads and clearance as JSON: the plan's `stance` sub-object, and the shape "stance/1"."""

from __future__ import annotations

from typing import Final

from sagwright.domain.bike import Bike, MakerAnswer, Outline
from sagwright.domain.finding import Finding
from sagwright.domain.stance import (
    FIGURES,
    Clearance,
    OutlineChange,
    Points,
    RiderLoad,
    Side,
    Stance,
    StanceView,
    stance_difference,
)
from sagwright.formats.json_text import Json, dump_json

_SHAPE: Final = "stance/1"


def number(value: float | None, u: float | None = None) -> Json:
    """A number with its uncertainty; null where nobody knows it."""
    return None if value is None else {"value": value, "u": u}


def stance_shape(stance: Stance) -> dict[str, Json]:
    """One stance."""
    state = ("axle_to_crown", "front_sag", "rear_sag")
    wheels = ("rear_radius", "front_radius")
    return {name: number(getattr(stance, name)) for name in (*state, *FIGURES, *wheels)} | {
        "points": _points(stance.points)
    }


def _points(points: Points) -> Json:
    """Forward of the rear axle and over the ground, m."""
    return {name: _point(getattr(points, name)) for name in Points.__slots__}


def _point(point: tuple[float, float] | None) -> Json:
    return None if point is None else {"forward": number(point[0]), "up": number(point[1])}


def differences_shape(before: Stance, after: Stance) -> dict[str, Json]:
    """After less before."""
    return {name: number(value) for name, value in stance_difference(before, after).items()}


def view_shape(view: StanceView) -> dict[str, Json]:
    """The plan's sub-object."""
    return {
        "topped_out": _sides(view.topped_out),
        "sagged": _sides(view.sagged),
        "rear_sag_fraction": number(view.rear_sag),
        "outline": None if view.outline is None else _outline_change(view.outline),
        "rider_loads": [_sat(one) for one in view.rider_loads],
        "clearance": [_clearance(one) for one in view.clearances],
    }


def _sides(stances: tuple[tuple[Side, Stance], ...]) -> Json:
    by_side = dict(stances)
    before, after = by_side.get(Side.AS_FOUND), by_side.get(Side.TARGET)
    return {
        "as_found": None if before is None else stance_shape(before),
        "target": None if after is None else stance_shape(after),
        "difference": None if before is None or after is None else differences_shape(before, after),
    }


def _outline_change(change: OutlineChange) -> Json:
    return {name: number(getattr(change, name)) for name in OutlineChange.__slots__}


def _sat(sat: RiderLoad) -> Json:
    plain = ("front_axle", "rear_axle", "across", "head_angle", "travel", "lifted", "pressed", "friction")
    return {
        "side": sat.side.value,
        "who": sat.who,
        "how": sat.how.value,
        "load": number(sat.load, sat.load_u),
        "sag": number(sat.sag, sat.sag_u),
    } | {name: number(getattr(sat, name)) for name in plain}


def _clearance(one: Clearance) -> Json:
    return {
        "place": one.place.value,
        "gap": number(one.gap, one.u),
        "measured": one.measured,
        "under_test": number(one.under_test),
    }


def bike_shape(bike: Bike | Outline) -> Json:
    """The bike of an intake, by its name, or what is known of a posted fork's."""
    if isinstance(bike, Bike):
        return {"name": bike.name}
    values = {name: getattr(bike, name) for name in Outline.__slots__}
    return {name: None if value is None else number(value.si, value.u) for name, value in values.items()}


def answer_shape(answer: MakerAnswer) -> Json:
    """What a maker answered."""
    return {name: getattr(answer, name) for name in MakerAnswer.__slots__}


def stances_json(bike: Bike, stances: tuple[Stance, ...], findings: tuple[Finding, ...], *, program: str) -> str:
    """Stances of one bike as JSON text, with a newline at its end."""
    return dump_json(stances_shape(bike, stances, findings, program=program))


def stances_shape(
    bike: Bike, stances: tuple[Stance, ...], findings: tuple[Finding, ...], *, program: str
) -> dict[str, Json]:
    """The shape stance/1: stances of one bike, each less the first one, and what is said of them."""
    return {
        "shape": _SHAPE,
        "program": program,
        "bike": bike.name,
        "stances": [stance_shape(one) for one in stances],
        "differences": [differences_shape(stances[0], one) for one in stances],
        "findings": [
            {"code": one.code, "severity": one.severity.value, "field": one.field, "figures": _figures(one)}
            for one in findings
        ],
    }


def _figures(finding: Finding) -> Json:
    return {
        name: {"value": figure.value, "u": figure.u, "quantity": figure.quantity.value}
        for name, figure in finding.figures
    }
