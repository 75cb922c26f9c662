"""The pressures that tasks ask for, held against what sheet and chassis permit."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

import numpy as np

from sagwright.domain.settings import PRESSURES, QUANTITIES
from sagwright.domain.setup import Charge
from sagwright.domain.sheet import Sheet
from sagwright.domain.task import TaskKind
from sagwright.domain.value import Unknown, Value
from sagwright.errors import MissingValue, OutOfRange
from sagwright.planning.spring.valves import ChamberValve, own_valves_of, with_valve_pressures

OWN_KINDS: Final = {row.wish: row.task for row in PRESSURES[1:] if row.task is not None}
"""Tasks that charge a chamber with a valve of its own, by its field in a charge."""


def charge_of_tasks(sheet: Sheet, asked: Mapping[TaskKind, float]) -> Charge | Unknown:
    """The charges that are asked for; where none is, they stay as found, and are decided at the bench if they come
    out."""
    pressure_gauge = asked.get(TaskKind.SET_PRESSURE)
    if pressure_gauge is None:
        _require_main(asked)
        return Unknown.NOT_MEASURED
    span = sheet.air.pressure_gauge
    if not span.low <= pressure_gauge <= span.high:
        raise not_permitted(TaskKind.SET_PRESSURE, pressure_gauge, f"The sheet permits {span.as_written}.")
    owns = {own.field: own for own in own_valves_of(sheet)}
    for field, kind in OWN_KINDS.items():
        if kind in asked and field not in owns:
            raise OutOfRange("must have something to do on this unit", field=str(kind), remedy="It has no such valve.")
    held = {
        field: Value(_own(own, asked.get(OWN_KINDS[field]), pressure_gauge))
        for field, own in owns.items()
        if OWN_KINDS[field] in asked or not own.valve.choices
    }
    return with_valve_pressures(Charge(Value(pressure_gauge)), held)


def _require_main(asked: Mapping[TaskKind, float]) -> None:
    """A charge behind a valve of its own is planned beside the main one, never alone."""
    for kind in OWN_KINDS.values():
        if kind in asked:
            remedy = f"Add it, like --task set-pressure=80psi, or drop {kind}: then both are decided at the bench."
            raise MissingValue(
                f"must be among the tasks beside {kind}", field=str(TaskKind.SET_PRESSURE), remedy=remedy
            )


def _own(own: ChamberValve, asked: float | None, pressure_gauge: float) -> float:
    """The charge of one chamber with a valve of its own: as asked, or the only one the sheet allows."""
    kind = OWN_KINDS[own.field]
    gauge = float(np.asarray(own.charge_for_main(pressure_gauge))) if asked is None else asked
    if not own.permits(gauge):
        ends = {} if own.span is None else {"low": own.span.low, "high": own.span.high}
        raise not_permitted(kind, gauge, "The sheet permits {low} to {high}.", **ends)
    return gauge


def not_permitted(kind: TaskKind, value: float, remedy: str, **others: float | tuple[float, ...]) -> OutOfRange:
    """The refusal of a task's value; what its remedy names is of the same quantity."""
    figures = {name: (number, QUANTITIES[kind]) for name, number in {"value": value, **others}.items()}
    rule = "must be what sheet and chassis permit"
    return OutOfRange(rule, value="{value}", field=str(kind), remedy=remedy, figures=figures)
