"""A plan as JSON, shape "plan/1": SI throughout, every number {"value", "u"}, angles rad, temperatures K.

Keys that carry a pressure end in _gauge or _abs. A value nobody has yet is {"unknown": "until open"}. The same plan
gives the same bytes.
"""

from __future__ import annotations

from itertools import zip_longest
from typing import Final

from sagwright.domain.behaviour import Behaviour, BehaviourU, Curve, FrictionView, Option, SagBand, SpringView
from sagwright.domain.finding import Finding
from sagwright.domain.intake import Aim, AsFound, Intake, Rider, Wish
from sagwright.domain.plan import Plan
from sagwright.domain.sheet import Sheet
from sagwright.domain.stance import Load
from sagwright.domain.value import Unknown
from sagwright.formats.json_text import Json, dump_json
from sagwright.formats.output.stance import answer_shape, bike_shape, view_shape
from sagwright.formats.output.work import (
    caution_shape,
    change_shape,
    figure_key,
    figure_shape,
    needed_step_shape,
    number_shape,
    optional_shape,
    sequence_shape,
    setup_shape,
    stop_shape,
    supply_shape,
    task_shape,
    unknown_shape,
    value_shape,
)

PLAN_SHAPE: Final = "plan/1"


def plan_to_json(plan: Plan) -> str:
    """The plan as JSON text with a newline at its end."""
    return dump_json(plan_shape(plan))


def plan_shape(plan: Plan) -> dict[str, Json]:
    """The plan as plain values, keys in the order of the flow."""
    needed = dict(plan.needed_by)
    return {
        "shape": PLAN_SHAPE,
        "program": plan.program,
        "intake": _intake(plan.intake),
        "sheet": _sheet(plan.intake.sheet),
        "findings": [_finding(one) for one in plan.findings],
        "options": [_option(one) for one in plan.options],
        "target": None if plan.target is None else _option(plan.target),
        "changes": [change_shape(one) for one in plan.changes],
        "tools_and_parts": [supply_shape(one) for one in plan.tools_and_parts],
        "steps": [needed_step_shape(one, needed.get(one.key, ())) for one in plan.steps],
        "sequence": None if plan.sequence is None else sequence_shape(plan.sequence),
        "spring": _spring(plan.spring),
        "cautions": [caution_shape(one) for one in plan.cautions],
        "stance": None if plan.stance is None else view_shape(plan.stance),
        "done": [one.key for one in plan.done],
        "stops": [stop_shape(one) for one in plan.stops],
        "reassembly": None if plan.reassembly is None else setup_shape(plan.reassembly),
    }


def _intake(intake: Intake) -> Json:
    return {
        "name": intake.name,
        "unit": {"serial": intake.unit.serial, "chassis": intake.unit.chassis},
        "as_found": _as_found(intake.as_found),
        "rider": None if intake.rider is None else _rider(intake.rider),
        "load": optional_shape(intake.load),
        "front_scale": optional_shape(intake.front_scale),
        "bike": None if intake.bike is None else bike_shape(intake.bike),
        "technician": None if intake.technician is None else _rider(intake.technician),
        "answers": [answer_shape(one) for one in intake.answers],
        "wish": _wish(intake.wish),
        "tasks": [task_shape(one) for one in intake.tasks],
        "workshop": {
            "temperature": number_shape(intake.workshop.temperature),
            "ambient_abs": number_shape(intake.workshop.ambient_abs),
        },
    }


def _as_found(found: AsFound) -> Json:
    return {
        "setup": setup_shape(found.setup),
        "travel": unknown_shape(found.travel) if isinstance(found.travel, Unknown) else value_shape(found.travel),
        "leaked": found.leaked,
        "last_set": optional_shape(found.last_set),
    }


def _rider(rider: Rider) -> Json:
    return {
        "mass": value_shape(rider.mass),
        "gear": value_shape(rider.gear),
        "front_share": value_shape(rider.front_share),
        "height": optional_shape(rider.height),
        "posture": rider.posture.value,
    }


def _wish(wish: Wish) -> Json:
    return {
        "travel": value_shape(wish.travel),
        "aim": None if wish.aim is None else _aim(wish.aim),
        "travel_spacers": wish.travel_spacers,
        "volume_spacers": wish.volume_spacers,
        "coil": wish.coil,
        "preload_spacers": wish.preload_spacers,
        "pressure_gauge": optional_shape(wish.pressure_gauge),
    }


def _aim(aim: Aim) -> Json:
    wanted = {"sag_fraction": aim.sag_fraction, "sag": aim.sag, "capacity": aim.capacity}
    return {"kind": aim.kind.value} | {key: number_shape(value) for key, value in wanted.items() if value is not None}


def _sheet(sheet: Sheet) -> Json:
    return {
        "name": sheet.name,
        "maker": sheet.maker,
        "model": sheet.model,
        "revision": sheet.revision,
        "base": sheet.base,
    }


def _finding(finding: Finding) -> Json:
    return {
        "code": finding.code,
        "severity": finding.severity.value,
        "field": finding.field,
        "figures": {figure_key(name, figure): figure_shape(figure) for name, figure in finding.figures},
        "words": dict(finding.words),
    }


def _option(option: Option) -> Json:
    return {
        "setup": setup_shape(option.setup),
        "travel": number_shape(option.travel),
        "pressure_gauge": _set_to(option.pressure_gauge, option.pressure_u),
        "preload": _set_to(option.preload),
        "behaviour": _behaviour(option.behaviour, option.behaviour_u),
        "mismatch": number_shape(option.mismatch),
        "mismatch_low": number_shape(option.mismatch_low),
        "as_found_pressure": option.as_found_pressure,
        "at_limit": option.at_limit,
        "permitted": option.permitted,
    }


def _set_to(value: float | None, u: float | None = None) -> Json:
    """A pressure of air, or a preload of a coil; null where the spring has none."""
    return None if value is None else number_shape(value, u)


def _behaviour(behaviour: Behaviour, u: BehaviourU | None) -> Json:
    return {name: number_shape(getattr(behaviour, name), getattr(u, name, None)) for name in Behaviour.__slots__}


def _spring(view: SpringView) -> Json:
    return {
        "load": None if view.load is None else _load(view.load),
        "aim": _aim(view.aim),
        "slow_exponent": number_shape(view.slow_exponent),
        "stroke_exponent": number_shape(view.stroke_exponent),
        "ideal_error": None if view.ideal_error is None else number_shape(view.ideal_error),
        "noticeable": {
            "sag_fraction": number_shape(view.noticeable.sag),
            "breakaway": number_shape(view.noticeable.breakaway),
            "relative": number_shape(view.noticeable.relative),
        },
        "as_found": [_behaviour(one, u) for one, u in zip_longest(view.as_found, view.as_found_u)],
        "as_found_curve": None if view.as_found_curve is None else _curve(view.as_found_curve, view.as_found_curve_u),
        "as_found_friction": _friction(view.as_found_friction),
        "target_friction": _friction(view.target_friction),
        "as_found_preload": _set_to(view.as_found_preload),
        "sag_tells_gauge": None if view.sag_tells is None else number_shape(view.sag_tells),
        "target": None if view.target is None else _behaviour(view.target, view.target_u),
        "target_curve": None if view.target_curve is None else _curve(view.target_curve, view.target_curve_u),
    }


def _load(load: Load) -> Json:
    return {"force": number_shape(load.force, load.u), "how": load.how.value}


def _friction(view: FrictionView | None) -> Json:
    if view is None:
        return None
    return {
        "sag": {name: number_shape(getattr(view.sag, name)) for name in SagBand.__slots__},
        "breakaway": number_shape(view.breakaway),
        "breakaway_with_wheel": number_shape(view.breakaway_with_wheel),
    }


def _curve(curve: Curve, u: Curve | None) -> Json:
    """A curve's columns, each with the uncertainty of its numbers, null while unknown."""
    uncertainties = {name: None if u is None else list(getattr(u, name)) for name in Curve.__slots__}
    return {name: {"value": list(getattr(curve, name)), "u": uncertainties[name]} for name in Curve.__slots__}
