"""A plan as JSON, shape "plan/1": SI throughout, every number {"value", "u"}, angles rad, temperatures K.

Keys that carry a pressure end in _gauge or _abs. A value nobody has yet is {"unknown": "until open"}. The same plan
gives the same bytes.
"""

from __future__ import annotations

from itertools import zip_longest
from typing import Final

from sagwright.domain.behaviour import Behaviour, BehaviourU, Candidate, Curve, FrictionView, SagBand, SpringView
from sagwright.domain.build import Build, Change, Charge, LegState, Setpoint, StackSetting, TopOutSetting
from sagwright.domain.finding import Finding
from sagwright.domain.intake import Aim, AsFound, Intake, Rider, Wish
from sagwright.domain.item import Caution, Criterion, Fluid, Part, Press, Record, Tool, Torque
from sagwright.domain.plan import Plan
from sagwright.domain.sheet import Sheet
from sagwright.domain.stance import Load
from sagwright.domain.step import KitLine, Sequence, Step, Stop
from sagwright.domain.task import Task
from sagwright.domain.value import Figure, Quantity, Unknown, Value
from sagwright.formats.json_text import Json, dumped
from sagwright.formats.stance_json import answer_shape, bike_shape, view_shape

SHAPE: Final = "plan/1"


def plan_to_json(plan: Plan) -> str:
    """The plan as JSON text with a newline at its end."""
    return dumped(plan_shape(plan))


def plan_shape(plan: Plan) -> dict[str, Json]:
    """The plan as plain values, keys in the order of the flow."""
    needed = dict(plan.needed_by)
    return {
        "shape": SHAPE,
        "program": plan.program,
        "intake": _intake(plan.intake),
        "sheet": _sheet(plan.intake.sheet),
        "findings": [_finding(one) for one in plan.findings],
        "candidates": [_candidate(one) for one in plan.candidates],
        "target": None if plan.target is None else _candidate(plan.target),
        "changes": [change_shape(one) for one in plan.changes],
        "kit": [kit_line_shape(one) for one in plan.kit],
        "steps": [needed_step_shape(one, needed.get(one.key, ())) for one in plan.steps],
        "sequence": None if plan.sequence is None else sequence_shape(plan.sequence),
        "spring": _spring(plan.spring),
        "cautions": [caution_shape(one) for one in plan.cautions],
        "stance": None if plan.stance is None else view_shape(plan.stance),
        "done": [one.key for one in plan.done],
        "stops": [stop_shape(one) for one in plan.stops],
        "way_back": None if plan.way_back is None else build_shape(plan.way_back),
    }


def task_shape(task: Task) -> Json:
    """What is asked of a unit."""
    value: Json = None if task.value is None else {"value": task.value, "u": None}
    return {"kind": str(task.kind), "value": value, "item": task.item}


def stop_shape(stop: Stop) -> Json:
    """What ends the work."""
    return {"key": stop.key, "what": stop.what, "verdict": None if stop.verdict is None else stop.verdict.value}


def _number(value: float, u: float | None = None) -> Json:
    return {"value": value, "u": u}


def _value(value: Value) -> Json:
    """A value as it was written, with where it comes from."""
    return {"value": value.si, "u": value.u, "origin": value.origin.value}


def _unknown(value: Unknown) -> Json:
    return {"unknown": value.value.removeprefix("unknown ")}


def _optional(value: Value | None) -> Json:
    return None if value is None else _value(value)


def _intake(intake: Intake) -> Json:
    return {
        "name": intake.name,
        "unit": {"serial": intake.unit.serial, "chassis": intake.unit.chassis},
        "as_found": _as_found(intake.as_found),
        "rider": None if intake.rider is None else _rider(intake.rider),
        "load": _optional(intake.load),
        "front_scale": _optional(intake.front_scale),
        "bike": None if intake.bike is None else bike_shape(intake.bike),
        "technician": None if intake.technician is None else _rider(intake.technician),
        "answers": [answer_shape(one) for one in intake.answers],
        "wish": _wish(intake.wish),
        "tasks": [task_shape(one) for one in intake.tasks],
        "workshop": {
            "temperature": _number(intake.workshop.temperature),
            "ambient_abs": _number(intake.workshop.ambient_abs),
        },
    }


def _as_found(found: AsFound) -> Json:
    return {
        "build": build_shape(found.build),
        "travel": _unknown(found.travel) if isinstance(found.travel, Unknown) else _value(found.travel),
        "leaked": found.leaked,
        "last_set": _optional(found.last_set),
    }


def _rider(rider: Rider) -> Json:
    return {
        "mass": _value(rider.mass),
        "kit": _value(rider.kit),
        "front_share": _value(rider.front_share),
        "height": _optional(rider.height),
        "posture": rider.posture.value,
    }


def _wish(wish: Wish) -> Json:
    return {
        "travel": _value(wish.travel),
        "aim": None if wish.aim is None else _aim(wish.aim),
        "travel_spacers": wish.travel_spacers,
        "volume_spacers": wish.volume_spacers,
        "coil": wish.coil,
        "preload_spacers": wish.preload_spacers,
        "pressure_gauge": _optional(wish.pressure_gauge),
    }


def _aim(aim: Aim) -> Json:
    wanted = {"sag_fraction": aim.sag_fraction, "sag": aim.sag, "capacity": aim.capacity}
    return {"kind": aim.kind.value} | {key: _number(value) for key, value in wanted.items() if value is not None}


def _sheet(sheet: Sheet) -> Json:
    return {
        "name": sheet.name,
        "maker": sheet.maker,
        "model": sheet.model,
        "revision": sheet.revision,
        "architecture": sheet.architecture,
    }


def build_shape(build: Build) -> Json:
    """A build as plain values."""
    return {"chassis": build.chassis} | {
        field: _setpoint(value) for field, value in (*_setting(build), *_spring_settings(build), ("legs", build.legs))
    }


def _spring_settings(build: Build) -> tuple[tuple[str, Setpoint], ...]:
    coil = build.fitting
    if coil is None:
        return ("volume_spacers", build.volume_spacers), ("charge", build.charge)
    return ("coil", coil.coil), ("preload_spacers", coil.preload_spacers), ("adjuster", coil.adjuster)


def _setting(build: Build) -> tuple[tuple[str, Setpoint], ...]:
    setting = build.setting
    if isinstance(setting, StackSetting):
        return ("travel_spacers", setting.travel_spacers), ("equaliser_hole", setting.equaliser_hole)
    if isinstance(setting, TopOutSetting):
        return (("top_out_spacers", setting.top_out_spacers),)
    return (("shaft_travel", setting.shaft_travel),)


def _setpoint(value: Setpoint) -> Json:
    if isinstance(value, Unknown):
        return _unknown(value)
    if isinstance(value, Charge):
        return _charge(value)
    if isinstance(value, tuple):
        return [_leg(leg) for leg in value]
    return _number(float(value)) if isinstance(value, float) else value


def _charge(charge: Charge) -> Json:
    return {
        "pressure_gauge": _value(charge.pressure_gauge),
        "compression": _number(charge.compression),
        "temperature": _number(charge.temperature),
        "ambient_abs": _number(charge.ambient_abs),
        "cycled": charge.cycled,
        "negative_gauge": _optional(charge.negative_gauge),
        "second_gauge": _optional(charge.second_gauge),
    }


def _leg(leg: LegState) -> Json:
    closed_in = {"temperature": leg.temperature, "ambient_abs": leg.ambient_abs}
    return {
        "name": leg.name,
        "bath_oil": _number(leg.bath_oil),
        "closed_at": _number(leg.closed_at),
        **{key: None if value is None else _number(value) for key, value in closed_in.items()},
    }


def _finding(finding: Finding) -> Json:
    return {
        "code": finding.code,
        "severity": finding.severity.value,
        "field": finding.field,
        "figures": {_figure_key(name, figure): _figure(figure) for name, figure in finding.figures},
        "words": dict(finding.words),
    }


def _figure_key(name: str, figure: Figure) -> str:
    return f"{name}_gauge" if figure.quantity is Quantity.PRESSURE else name


def _figure(figure: Figure) -> Json:
    return {"value": figure.value, "u": figure.u, "quantity": figure.quantity.value}


def _candidate(candidate: Candidate) -> Json:
    return {
        "build": build_shape(candidate.build),
        "travel": _number(candidate.travel),
        "pressure_gauge": _set_to(candidate.pressure_gauge, candidate.pressure_u),
        "preload": _set_to(candidate.preload),
        "behaviour": _behaviour(candidate.behaviour, candidate.behaviour_u),
        "distance": _number(candidate.distance),
        "distance_low": _number(candidate.distance_low),
        "same_pressure": candidate.same_pressure,
        "at_limit": candidate.at_limit,
        "permitted": candidate.permitted,
    }


def _set_to(value: float | None, u: float | None = None) -> Json:
    """A pressure of air, or a preload of a coil; null where the spring has none."""
    return None if value is None else _number(value, u)


def _behaviour(behaviour: Behaviour, u: BehaviourU | None) -> Json:
    return {name: _number(getattr(behaviour, name), getattr(u, name, None)) for name in Behaviour.__slots__}


def change_shape(change: Change) -> Json:
    return {"field": change.field, "before": _setpoint(change.before), "after": _setpoint(change.after)}


def kit_line_shape(line: KitLine) -> Json:
    return {
        "kind": line.kind.value,
        "name": line.name,
        "size": line.size,
        "amount": None if line.amount is None else _figure(line.amount),
        "at_most": line.at_most,
        "special": line.special,
        "steps": list(line.steps),
    }


def step_shape(step: Step) -> dict[str, Json]:
    return {
        "key": step.key,
        "act": step.act.value,
        "item": step.item,
        "name": step.name,
        "do": step.do,
        "position": step.position,
        "time": _value(step.minutes),
        "needs": [{"step": need.step, "rule": need.rule} for need in step.needs],
        "tools": [_tool(tool) for tool in step.tools],
        "torque": None if step.torque is None else _torque(step.torque),
        "fluid": None if step.fluid is None else _fluid(step.fluid),
        "cautions": [caution_shape(one) for one in step.cautions],
        "gate": step.gate,
        "records": [_record(one) for one in step.records],
        "waiting": _optional(step.waiting),
        "changes": [change_shape(one) for one in step.changes],
        "stage": None if step.stage is None else step.stage.value,
        "pressure_gauge": None if step.pressure_gauge is None else _number(step.pressure_gauge),
        "renew": [_part(one) for one in step.renew],
        "inspect": [_criterion(one) for one in step.inspect],
        "idle": _number(step.idle),
        "press": None if step.press is None else _press(step.press),
        "rules": list(step.rules),
    }


def needed_step_shape(step: Step, tasks: tuple[Task, ...]) -> dict[str, Json]:
    """A step with the tasks that need it."""
    return step_shape(step) | {"needed_by": [task_shape(task) for task in tasks]}


def _press(press: Press) -> Json:
    return {"share": _number(press.share), "gauge_range": _value(press.gauge_range)}


def _tool(tool: Tool) -> Json:
    return {"name": tool.name, "size": tool.size, "special": tool.special}


def _torque(torque: Torque) -> Json:
    return {"torque": _optional(torque.value), "thread_state": torque.state.value, "thread_hand": torque.hand.value}


def _fluid(fluid: Fluid) -> Json:
    return {"name": fluid.name, "amount": _optional(fluid.amount)}


def _part(part: Part) -> Json:
    return {"name": part.name, "size": part.size}


def caution_shape(caution: Caution) -> Json:
    return {"signal": caution.signal.value, "text": caution.text}


def _record(record: Record) -> Json:
    gauge = "_gauge" if record.quantity is Quantity.PRESSURE else ""
    return {
        "key": record.key,
        "what": record.what,
        "quantity": None if record.quantity is None else record.quantity.value,
        f"low{gauge}": record.low,
        f"high{gauge}": record.high,
        "in_words": record.in_words,
    }


def _criterion(criterion: Criterion) -> Json:
    return {
        "key": criterion.key,
        "what": criterion.what,
        "limit": criterion.limit,
        "verdict": criterion.verdict.value,
        "value": _optional(criterion.value),
        "quantity": None if criterion.quantity is None else criterion.quantity.value,
    }


def _spring(view: SpringView) -> Json:
    return {
        "load": None if view.load is None else _load(view.load),
        "aim": _aim(view.aim),
        "slow_exponent": _number(view.slow_exponent),
        "stroke_exponent": _number(view.stroke_exponent),
        "ideal_error": None if view.ideal_error is None else _number(view.ideal_error),
        "noticeable": {
            "sag_fraction": _number(view.noticeable.sag),
            "breakaway": _number(view.noticeable.breakaway),
            "relative": _number(view.noticeable.relative),
        },
        "as_found": [_behaviour(one, u) for one, u in zip_longest(view.as_found, view.as_found_u)],
        "as_found_curve": None if view.as_found_curve is None else _curve(view.as_found_curve, view.as_found_curve_u),
        "as_found_friction": _friction(view.as_found_friction),
        "target_friction": _friction(view.target_friction),
        "as_found_preload": _set_to(view.as_found_preload),
        "sag_tells_gauge": None if view.sag_tells is None else _number(view.sag_tells),
        "target": None if view.target is None else _behaviour(view.target, view.target_u),
        "target_curve": None if view.target_curve is None else _curve(view.target_curve, view.target_curve_u),
    }


def _load(load: Load) -> Json:
    return {"force": _number(load.force, load.u), "how": load.how.value}


def _friction(view: FrictionView | None) -> Json:
    if view is None:
        return None
    return {
        "sag": {name: _number(getattr(view.sag, name)) for name in SagBand.__slots__},
        "breakaway": _number(view.breakaway),
        "breakaway_with_wheel": _number(view.breakaway_with_wheel),
    }


def _curve(curve: Curve, u: Curve | None) -> Json:
    """A curve's columns, each with the uncertainty of its numbers, null while unknown."""
    doubts = {name: None if u is None else list(getattr(u, name)) for name in Curve.__slots__}
    return {name: {"value": list(getattr(curve, name)), "u": doubts[name]} for name in Curve.__slots__}


def sequence_shape(sequence: Sequence) -> Json:
    """How good the order of the steps is."""
    return {
        "proven": sequence.proven,
        "cost": _number(sequence.cost),
        "bound": _number(sequence.bound),
        "idle": _number(sequence.idle),
        "idle_bound": _number(sequence.idle_bound),
        "tool_changes": sequence.tool_changes,
        "position_changes": sequence.position_changes,
        "tool_price": _number(sequence.tool_price),
        "position_price": _number(sequence.position_price),
    }
