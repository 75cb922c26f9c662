"""Work as JSON: setups, steps, tools and parts, the order; and a sequence for several tasks, shape "steps/1".

The pieces are those of a plan's JSON too. The order of an earlier sequence is read back from its JSON.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Final

from sagwright.domain.item import Caution, Criterion, Fluid, Part, Press, Record, Tool, Torque
from sagwright.domain.setup import Change, Charge, LegState, Setpoint, Setup, StackSetting, TopOutSetting
from sagwright.domain.step import Sequence, Step, Supply, WorkStop
from sagwright.domain.task import Sequenced, Task, TaskKind
from sagwright.domain.value import Figure, Quantity, Unknown, Value
from sagwright.errors import UnreadableFile
from sagwright.formats.json_text import Json, dump_json

STEPS_SHAPE: Final = "steps/1"
LARGEST: Final = 4_000_000  # bytes; a plan of hundreds of steps is a tenth of it


def task_shape(task: Task) -> Json:
    """What is asked of a unit."""
    value: Json = None if task.value is None else {"value": task.value, "u": None}
    return {"kind": str(task.kind), "value": value, "item": task.item}


def stop_shape(stop: WorkStop) -> Json:
    """What ends the work."""
    return {"key": stop.key, "what": stop.what, "verdict": None if stop.verdict is None else stop.verdict.value}


def number_shape(value: float, u: float | None = None) -> Json:
    return {"value": value, "u": u}


def value_shape(value: Value) -> Json:
    """A value as it was written, with where it comes from."""
    return {"value": value.si, "u": value.u, "origin": value.origin.value}


def unknown_shape(value: Unknown) -> Json:
    return {"unknown": value.value.removeprefix("unknown ")}


def optional_shape(value: Value | None) -> Json:
    return None if value is None else value_shape(value)


def setup_shape(setup: Setup) -> Json:
    """A setup as plain values."""
    return {"chassis": setup.chassis} | {
        field: _setpoint(value) for field, value in (*_setting(setup), *_spring_settings(setup), ("legs", setup.legs))
    }


def _spring_settings(setup: Setup) -> tuple[tuple[str, Setpoint], ...]:
    coil = setup.fitting
    if coil is None:
        return ("volume_spacers", setup.volume_spacers), ("charge", setup.charge)
    return ("coil", coil.coil), ("preload_spacers", coil.preload_spacers), ("adjuster", coil.adjuster)


def _setting(setup: Setup) -> tuple[tuple[str, Setpoint], ...]:
    setting = setup.setting
    if isinstance(setting, StackSetting):
        return ("travel_spacers", setting.travel_spacers), ("port_position", setting.port_position)
    if isinstance(setting, TopOutSetting):
        return (("top_out_spacers", setting.top_out_spacers),)
    return (("shaft_travel", setting.shaft_travel),)


def _setpoint(value: Setpoint) -> Json:
    if isinstance(value, Unknown):
        return unknown_shape(value)
    if isinstance(value, Charge):
        return _charge(value)
    if isinstance(value, tuple):
        return [_leg(leg) for leg in value]
    return number_shape(float(value)) if isinstance(value, float) else value


def _charge(charge: Charge) -> Json:
    return {
        "pressure_gauge": value_shape(charge.pressure_gauge),
        "compression": number_shape(charge.compression),
        "temperature": number_shape(charge.temperature),
        "ambient_abs": number_shape(charge.ambient_abs),
        "cycled": charge.cycled,
        "negative_gauge": optional_shape(charge.negative_gauge),
        "second_gauge": optional_shape(charge.second_gauge),
    }


def _leg(leg: LegState) -> Json:
    closed_in = {"temperature": leg.temperature, "ambient_abs": leg.ambient_abs}
    return {
        "name": leg.name,
        "lower_leg_oil": number_shape(leg.lower_leg_oil),
        "closed_at": number_shape(leg.closed_at),
        **{key: None if value is None else number_shape(value) for key, value in closed_in.items()},
    }


def figure_key(name: str, figure: Figure) -> str:
    return f"{name}_gauge" if figure.quantity is Quantity.PRESSURE else name


def figure_shape(figure: Figure) -> Json:
    return {"value": figure.value, "u": figure.u, "quantity": figure.quantity.value}


def change_shape(change: Change) -> Json:
    return {"field": change.field, "before": _setpoint(change.before), "after": _setpoint(change.after)}


def supply_shape(line: Supply) -> Json:
    return {
        "kind": line.kind.value,
        "name": line.name,
        "size": line.size,
        "amount": None if line.amount is None else figure_shape(line.amount),
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
        "time": value_shape(step.minutes),
        "needs": [{"step": need.step, "rule": need.rule} for need in step.needs],
        "tools": [_tool(tool) for tool in step.tools],
        "torque": None if step.torque is None else _torque(step.torque),
        "fluid": None if step.fluid is None else _fluid(step.fluid),
        "cautions": [caution_shape(one) for one in step.cautions],
        "hold_point": step.hold_point,
        "records": [_record(one) for one in step.records],
        "waiting": optional_shape(step.waiting),
        "changes": [change_shape(one) for one in step.changes],
        "stage": None if step.stage is None else step.stage.value,
        "pressure_gauge": None if step.pressure_gauge is None else number_shape(step.pressure_gauge),
        "renew": [_part(one) for one in step.renew],
        "inspect": [_criterion(one) for one in step.inspect],
        "idle": number_shape(step.idle),
        "press": None if step.press is None else _press(step.press),
        "rules": list(step.rules),
    }


def needed_step_shape(step: Step, tasks: tuple[Task, ...]) -> dict[str, Json]:
    """A step with the tasks that need it."""
    return step_shape(step) | {"needed_by": [task_shape(task) for task in tasks]}


def _press(press: Press) -> Json:
    return {"share": number_shape(press.share), "gauge_range": value_shape(press.gauge_range)}


def _tool(tool: Tool) -> Json:
    return {"name": tool.name, "size": tool.size, "special": tool.special}


def _torque(torque: Torque) -> Json:
    return {
        "torque": optional_shape(torque.value),
        "thread_state": torque.state.value,
        "thread_hand": torque.hand.value,
    }


def _fluid(fluid: Fluid) -> Json:
    return {"name": fluid.name, "amount": optional_shape(fluid.amount)}


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
        "value": optional_shape(criterion.value),
        "quantity": None if criterion.quantity is None else criterion.quantity.value,
    }


def sequence_shape(sequence: Sequence) -> Json:
    """How good the order of the steps is."""
    return {
        "optimal": sequence.optimal,
        "cost": number_shape(sequence.cost),
        "bound": number_shape(sequence.bound),
        "idle": number_shape(sequence.idle),
        "idle_bound": number_shape(sequence.idle_bound),
        "tool_changes": sequence.tool_changes,
        "position_changes": sequence.position_changes,
        "tool_price": number_shape(sequence.tool_price),
        "position_price": number_shape(sequence.position_price),
    }


def steps_to_json(work: Sequenced) -> str:
    """The sequence as JSON text with a newline at its end."""
    needed_by = dict(work.needed_by)
    return dump_json(
        {
            "shape": STEPS_SHAPE,
            "program": work.program,
            "sheet": {"name": work.sheet.name, "revision": work.sheet.revision},
            "chassis": work.chassis,
            "tasks": [task_shape(task) for task in work.tasks],
            "changes": [change_shape(change) for change in work.changes],
            "tools_and_parts": [supply_shape(line) for line in work.tools_and_parts],
            "steps": [needed_step_shape(step, needed_by[step.key]) for step in work.steps],
            "done": [step.key for step in work.done],
            "stops": [stop_shape(stop) for stop in work.stops],
            "sequence": None if work.sequence is None else sequence_shape(work.sequence),
        }
    )


def earlier_order(path: str) -> tuple[str, ...]:
    """The keys of the steps in a file of shape "steps/1" or "plan/1", in their order.

    Raises
    ------
    UnreadableFile
        If it cannot be read as one.
    """
    try:
        if Path(path).stat().st_size > LARGEST:
            raise UnreadableFile("must be smaller than 4 MB", file=path)
        read = json.loads(Path(path).read_text("utf-8"))
        return tuple(str(step["key"]) for step in read["steps"])
    except FileNotFoundError as error:
        raise UnreadableFile("must be there", file=path, remedy="Check the path; nothing has that name.") from error
    except (OSError, ValueError, KeyError, TypeError, RecursionError) as error:
        remedy = "Give a file that `sagwright steps --json` or `sagwright plan --json` wrote."
        raise UnreadableFile("must hold the steps of an earlier order", file=path, remedy=remedy) from error


def tasks_in(text: str) -> tuple[str, tuple[Task, ...]]:
    """The chassis and the tasks that a text of shape "steps/1" says, as `steps_to_json` wrote it."""
    kept = json.loads(text)
    tasks = tuple(
        Task(TaskKind(one["kind"]), None if one["value"] is None else one["value"]["value"], one["item"])
        for one in kept["tasks"]
    )
    return kept["chassis"], tasks
