"""What was decided, read back from its stored text: the tools and parts and the steps as they were, nothing computed
again."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from sagwright.domain.item import (
    Act,
    Caution,
    ChargeStage,
    Criterion,
    Fluid,
    Hand,
    Part,
    Press,
    Record,
    Signal,
    ThreadState,
    Tool,
    Torque,
)
from sagwright.domain.item import Verdict as InspectionVerdict
from sagwright.domain.setup import Change, Charge, LegState, Setpoint
from sagwright.domain.step import Need, Sequence, Step, Supply, SupplyKind
from sagwright.domain.task import Task, TaskKind
from sagwright.domain.value import Figure, Origin, Quantity, Unknown, Value
from sagwright.errors import RecordError

READ: Final = ("plan/1", "steps/1")


@dataclass(frozen=True, slots=True)
class StoredWork:
    """The tools and parts and the steps of a plan or a sequence.

    Attributes
    ----------
    program : str
    changes : tuple of Change
    tools_and_parts : tuple of Supply
    steps : tuple of Step
    needed_by : mapping of str to tuple of Task
        For each step's key what needs it: the wish, as a task that changes the travel, and the tasks beside it.
    sequence : Sequence or None
    cautions : tuple of Caution
        That hold for the whole of it.
    """

    program: str
    changes: tuple[Change, ...]
    tools_and_parts: tuple[Supply, ...]
    steps: tuple[Step, ...]
    needed_by: Mapping[str, tuple[Task, ...]]
    sequence: Sequence | None
    cautions: tuple[Caution, ...]


def read_work(text: str) -> StoredWork:
    """The work that a text of shape plan/1 or steps/1 says.

    Raises
    ------
    RecordError
        If it is of another shape, or something in it is missing.
    """
    try:
        said = json.loads(text)
        if said["shape"] not in READ:
            raise RecordError(f'What was decided has the shape "{said["shape"]}", which this program does not read.')
        return StoredWork(
            program=said["program"],
            changes=tuple(_change(one) for one in said["changes"]),
            tools_and_parts=tuple(_supply(one) for one in said["tools_and_parts"]),
            steps=tuple(_step(one) for one in said["steps"]),
            needed_by={one["key"]: tuple(map(_task, one["needed_by"])) for one in said["steps"]},
            sequence=None if said["sequence"] is None else _sequence(said["sequence"]),
            cautions=tuple(_caution(one) for one in said.get("cautions", ())),
        )
    except (ValueError, KeyError, TypeError) as error:
        raise RecordError("What was decided cannot be read.", remedy="Restore a backup, or decide again.") from error


@dataclass(frozen=True, slots=True)
class PlanOutcome:
    """Whether a plan has a target, and the codes of its findings that refuse and that ask."""

    has_target: bool
    not_allowed: tuple[str, ...]
    questions: tuple[str, ...]


def plan_outcome(text: str) -> PlanOutcome | None:
    """What the findings of a text of shape plan/1 come to; None for a sequence of tasks, which has none.

    Raises
    ------
    RecordError
    """
    try:
        said = json.loads(text)
        if said["shape"] != "plan/1":
            return None
        by_severity: dict[str, list[str]] = {"not allowed": [], "question": [], "note": []}
        for one in said["findings"]:
            by_severity[one["severity"]].append(one["code"])
        return PlanOutcome(
            said["target"] is not None, tuple(by_severity["not allowed"]), tuple(by_severity["question"])
        )
    except (ValueError, KeyError, TypeError) as error:
        raise RecordError("What was decided cannot be read.", remedy="Restore a backup, or decide again.") from error


def _task(said: Any) -> Task:
    value = None if said["value"] is None else float(said["value"]["value"])
    return Task(TaskKind(said["kind"]), value, said["item"])


def _supply(said: Any) -> Supply:
    return Supply(
        kind=SupplyKind(said["kind"]),
        name=said["name"],
        size=said["size"],
        amount=None if said["amount"] is None else _figure(said["amount"]),
        at_most=said["at_most"],
        special=said["special"],
        steps=tuple(said["steps"]),
    )


def _step(said: Any) -> Step:
    return Step(
        key=said["key"],
        act=Act(said["act"]),
        item=said["item"],
        name=said["name"],
        do=said["do"],
        position=said["position"],
        minutes=_value(said["time"]),
        needs=tuple(Need(one["step"], one["rule"]) for one in said["needs"]),
        tools=tuple(Tool(one["name"], one["size"], one["special"]) for one in said["tools"]),
        torque=None if said["torque"] is None else _torque(said["torque"]),
        fluid=None if said["fluid"] is None else Fluid(said["fluid"]["name"], _optional(said["fluid"]["amount"])),
        cautions=tuple(_caution(one) for one in said["cautions"]),
        hold_point=said["hold_point"],
        records=tuple(_record(one) for one in said["records"]),
        waiting=_optional(said["waiting"]),
        changes=tuple(_change(one) for one in said["changes"]),
        stage=None if said["stage"] is None else ChargeStage(said["stage"]),
        pressure_gauge=None if said["pressure_gauge"] is None else said["pressure_gauge"]["value"],
        renew=tuple(Part(one["name"], one["size"]) for one in said["renew"]),
        inspect=tuple(_criterion(one) for one in said["inspect"]),
        idle=said["idle"]["value"],
        press=None if said["press"] is None else _press(said["press"]),
        rules=tuple(said["rules"]),
    )


def _press(said: Any) -> Press:
    return Press(said["share"]["value"], _value(said["gauge_range"]))


def _value(said: Any) -> Value:
    return Value(said["value"], said["u"], Origin(said["origin"]))


def _optional(said: Any) -> Value | None:
    return None if said is None else _value(said)


def _figure(said: Any) -> Figure:
    return Figure(said["value"], Quantity(said["quantity"]), said["u"])


def _torque(said: Any) -> Torque:
    return Torque(_optional(said["torque"]), ThreadState(said["thread_state"]), Hand(said["thread_hand"]))


def _caution(said: Any) -> Caution:
    return Caution(Signal(said["signal"]), said["text"])


def _record(said: Any) -> Record:
    quantity = None if said["quantity"] is None else Quantity(said["quantity"])
    gauge = "_gauge" if quantity is Quantity.PRESSURE else ""
    limits = said[f"low{gauge}"], said[f"high{gauge}"]
    return Record(said["key"], said["what"], quantity, *limits, said.get("in_words", False))


def _criterion(said: Any) -> Criterion:
    return Criterion(
        key=said["key"],
        what=said["what"],
        limit=said["limit"],
        verdict=InspectionVerdict(said["verdict"]),
        value=_optional(said["value"]),
        quantity=None if said["quantity"] is None else Quantity(said["quantity"]),
    )


def _change(said: Any) -> Change:
    return Change(said["field"], _setpoint(said["before"]), _setpoint(said["after"]))


def _setpoint(said: Any) -> Setpoint:
    if isinstance(said, int | str):
        return said
    if isinstance(said, list):
        return tuple(_leg(one) for one in said)
    if "unknown" in said:
        return Unknown(f"unknown {said['unknown']}" if said["unknown"] == "until open" else said["unknown"])
    return _charge(said) if "pressure_gauge" in said else float(said["value"])


def _charge(said: Any) -> Charge:
    return Charge(
        _value(said["pressure_gauge"]),
        compression=said["compression"]["value"],
        temperature=said["temperature"]["value"],
        ambient_abs=said["ambient_abs"]["value"],
        cycled=said["cycled"],
        negative_gauge=_optional(said["negative_gauge"]),
        second_gauge=_optional(said["second_gauge"]),
    )


def _leg(said: Any) -> LegState:
    closed_in = {key: None if said[key] is None else said[key]["value"] for key in ("temperature", "ambient_abs")}
    return LegState(said["name"], said["lower_leg_oil"]["value"], said["closed_at"]["value"], **closed_in)


def _sequence(said: Any) -> Sequence:
    numbers = ("cost", "bound", "idle", "idle_bound", "tool_price", "position_price")
    return Sequence(
        tool_changes=said["tool_changes"],
        position_changes=said["position_changes"],
        optimal=said["optimal"],
        **{name: said[name]["value"] for name in numbers},
    )
