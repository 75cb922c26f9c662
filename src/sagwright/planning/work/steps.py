"""Steps: each operation of a scope written out, with its needs, its readings and what it sets.

Items cover each other; what comes off is the closure of what covers the items to change or to serve, and fitting
mirrors it. Several tasks at once have one closure, so what they share is done once. `interlocks` has every order
between two steps; `sequence` puts the steps in order.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from sagwright.domain.item import Act, ChargeStage, Fluid, Item, Role
from sagwright.domain.step import Step
from sagwright.planning.spring.valves import found_at, pressure_as_left
from sagwright.planning.work.interlocks import needs_of, rules_of
from sagwright.planning.work.readings import AT_THE_BENCH, exposed, found_inside, with_pressure
from sagwright.planning.work.scope import Operation, Scope, Wanted, operations_of, scope_of


def steps_of(wanted: Wanted) -> tuple[Step, ...]:
    """The steps that are wanted, in the order of the sheet and not yet of the bench; none where nothing is wanted.

    Raises
    ------
    OutOfRange
        As `scope_of`.
    """
    if not wanted.changes and not wanted.served:
        return ()
    scope = scope_of(wanted)
    return tuple(_step(scope, operation) for operation in operations_of(scope))


def _step(scope: Scope, operation: Operation) -> Step:
    """One operation as a step: what all have in common, then what its act brings."""
    act, item, work = operation.act, operation.item, operation.work
    step = Step(
        key=operation.key,
        act=act,
        item=item.key,
        name=item.name,
        do=work.do,
        position=work.position,
        minutes=work.minutes,
        needs=needs_of(scope, operation),
        tools=work.tools,
        torque=work.torque,
        fluid=work.fluid,
        cautions=work.cautions,
        hold_point=work.hold_point,
        records=work.records,
        waiting=work.waiting,
        stage=operation.stage,
        rules=tuple(rules_of(item, act)),
    )
    write_out = _ACTS.get(act)
    return step if write_out is None else write_out(scope, item, step)


def _off(scope: Scope, item: Item, step: Step) -> Step:
    return replace(step, records=(*step.records, *found_at(scope.sheet, item)))


def _inspect(_: Scope, item: Item, step: Step) -> Step:
    return replace(step, inspect=item.inspect)


def _on(scope: Scope, item: Item, step: Step) -> Step:
    wanted = scope.wanted
    records = tuple(exposed(record, wanted.travel_change) for record in step.records)
    turned = (wanted.preload,) if item.role is Role.PRELOAD and wanted.preload else ()
    fluid = _filled(scope, item, step.fluid)
    return replace(step, renew=item.renew, records=records, fluid=fluid, changes=turned)


def _filled(scope: Scope, item: Item, fluid: Fluid | None) -> Fluid | None:
    """A fluid with its amount; lower-leg oil takes it from its leg."""
    if item.role is not Role.LOWER_LEG_OIL or fluid is None:
        return fluid
    return replace(fluid, amount=next(leg.lower_leg_oil for leg in scope.sheet.legs if leg.name == item.leg))


def _change(scope: Scope, item: Item, step: Step) -> Step:
    """One item brought to the target's setting."""
    changes = scope.changes[item.key]
    return replace(step, changes=changes, records=(*step.records, *map(found_inside, changes)), hold_point=True)


def _measure(scope: Scope, item: Item, step: Step) -> Step:
    """A reading that is taken for its own sake."""
    pressed = scope.read[item.key]
    if pressed is None:
        return step
    press, peak = pressed
    return replace(step, press=press, pressure_gauge=peak, do=step.do.replace("{share}", f"{press.share:.0%}"))


def _charge(scope: Scope, item: Item, step: Step) -> Step:
    """The charge that goes in, and what is written down of it."""
    if item.role is not Role.AIR_CHARGE:
        return _own_charge(scope, item, step)
    holding = scope.sheet.charging.assembly_gauge if step.stage is ChargeStage.ASSEMBLY else None
    pressure_gauge = scope.wanted.pressure_gauge if holding is None else holding.si
    return with_pressure(replace(step, pressure_gauge=pressure_gauge), scope.sheet)


def _own_charge(scope: Scope, item: Item, step: Step) -> Step:
    """A charging step of a chamber with a valve of its own, with its pressure."""
    own = scope.own(item)
    gauge = dict(scope.wanted.own).get(own.field)
    records = (*step.records, pressure_as_left(scope.sheet, own, gauge))
    do = step.do + AT_THE_BENCH if gauge is None else step.do
    return replace(step, pressure_gauge=gauge, hold_point=True, do=do, records=records)


def _cycle(scope: Scope, _: Item, step: Step) -> Step:
    return replace(step, do=step.do.replace("{cycles}", str(scope.sheet.charging.cycles)))


_ACTS: Final[dict[Act, Callable[[Scope, Item, Step], Step]]] = {
    Act.OFF: _off,
    Act.INSPECT: _inspect,
    Act.ON: _on,
    Act.CHANGE: _change,
    Act.MEASURE: _measure,
    Act.CHARGE: _charge,
    Act.CYCLE: _cycle,
}
"""What each act brings to its step."""
