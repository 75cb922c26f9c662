"""Interlocks as a table: what is done before what, each row under the name of the judge's rule that it answers.

A row names the operations that wait and the earlier ones that they wait for. The judge has a rule of each name here and
looks at the unit instead: lay the two side by side. What a rule asks of how a step is done stands in `rules_of`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from sagwright.domain.item import (
    _OWN_VALVE_ROLES,
    CHARGES,
    MEASURED_SHUT,
    Act,
    ChargeStage,
    Item,
    Role,
    ThreadState,
    Verdict,
)
from sagwright.domain.step import Need
from sagwright.planning.work.scope import HELD_IN, Operation, Scope, operations_of

Operations = Iterable[Operation]
Earlier = Callable[[Scope, Operation], Operations]
"""The operations that must come before one."""

HOLDING, RIDING, FINAL = ChargeStage.ASSEMBLY, ChargeStage.RIDING, ChargeStage.FINAL


@dataclass(frozen=True, slots=True)
class Interlock:
    """One row of the table.

    Attributes
    ----------
    name : str
        Of the judge's rule.
    earlier : callable
        What must come before an operation.
    roles : tuple of Role
        It concerns items of these roles; empty for all items.
    stages : tuple of ChargeStage
        It concerns these charges; empty for all.
    before_lowers : bool or None
        Whether it concerns a charge that goes in before the lowers; None where that does not matter.
    of_reading : str
        The judge's rule where the earlier operation is a reading, if that is another one.
    """

    name: str
    earlier: Earlier
    roles: tuple[Role, ...] = ()
    stages: tuple[ChargeStage, ...] = ()
    before_lowers: bool | None = None
    of_reading: str = ""

    def concerns(self, scope: Scope, operation: Operation) -> bool:
        """Whether an operation may have to wait by this row."""
        of_role = not self.roles or operation.item.role in self.roles
        at_stage = not self.stages or operation.stage in self.stages
        at_lowers = self.before_lowers is None or self.before_lowers is _is_before_lowers(scope, operation)
        return of_role and at_stage and at_lowers

    def need(self, earlier: Operation) -> Need:
        """The order between an operation that waits and an earlier one."""
        return Need(earlier.key, self.of_reading if self.of_reading and earlier.act is Act.MEASURE else self.name)


def needs_of(scope: Scope, operation: Operation) -> tuple[Need, ...]:
    """What must come before an operation, each with the rule that says so, in the order of the table."""
    rows = (row for row in INTERLOCKS[operation.act] if row.concerns(scope, operation))
    return tuple(dict.fromkeys(row.need(one) for row in rows for one in row.earlier(scope, operation)))


# what comes before, by role


def _off(*roles: Role) -> Earlier:
    return lambda scope, _: (Operation(Act.OFF, item) for item in scope.coming_off(*roles))


def _on(*roles: Role) -> Earlier:
    return lambda scope, _: (Operation(Act.ON, item) for item in scope.coming_off(*roles) if item.work(Act.ON))


def _proven(*roles: Role) -> Earlier:
    return lambda scope, _: (Operation(Act.CHECK, item) for item in scope.coming_off(*roles) if item.work(Act.CHECK))


def _read(*roles: Role) -> Earlier:
    """Readings that this would spoil."""
    return lambda scope, _: (
        Operation(Act.MEASURE, item) for item in map(scope.sheet.item, scope.read) if item.role in roles
    )


# what comes before, of the item itself


def _itself_off(scope: Scope, operation: Operation) -> Operations:
    return [Operation(Act.OFF, operation.item)] if operation.item.key in scope.off else []


def _itself_inspected(_: Scope, operation: Operation) -> Operations:
    return [Operation(Act.INSPECT, operation.item)] if operation.item.inspect else []


def _itself_on(_: Scope, operation: Operation) -> Operations:
    return [Operation(Act.ON, operation.item)]


def _itself_changed(scope: Scope, operation: Operation) -> Operations:
    return [Operation(Act.CHANGE, operation.item)] if operation.item.key in scope.changes else []


# what comes before, by what covers what


def _covers_off(scope: Scope, operation: Operation) -> Operations:
    return (Operation(Act.OFF, cover) for cover in scope.covers(operation.item))


def _itself_or_covers_off(scope: Scope, operation: Operation) -> Operations:
    return _itself_off(scope, operation) or _covers_off(scope, operation)


def _under_it_done(scope: Scope, operation: Operation) -> Operations:
    for under in scope.under(operation.item):
        yield from _last(scope, under)
        yield from [Operation(Act.MEASURE, under)] if under.key in scope.read else []


def _named_done(scope: Scope, operation: Operation) -> Operations:
    """What the sheet wants fitted before."""
    return (last for key in operation.item.after for last in _last(scope, scope.sheet.item(key)))


def _named_read(scope: Scope, operation: Operation) -> Operations:
    """What the sheet wants read before."""
    return (Operation(Act.MEASURE, scope.sheet.item(key)) for key in operation.item.after if key in scope.read)


def _last(scope: Scope, item: Item) -> Iterator[Operation]:
    """What finishes an item: fitted, charged, or changed where it only lies in the open."""
    if item.key in scope.off and item.role in CHARGES:
        yield Operation(Act.CHARGE, item, RIDING)
    elif item.key in scope.off and item.work(Act.ON) is not None:
        yield Operation(Act.ON, item)
    elif item.key in scope.changes:
        yield Operation(Act.CHANGE, item)


# what comes before, by an interlock of its own


def _as_found_read(scope: Scope, operation: Operation) -> Operations:
    return () if operation.item.role is Role.READINGS else _off(Role.READINGS)(scope, operation)


def _other_charges_out(scope: Scope, operation: Operation) -> Operations:
    """What is charged last comes out first."""
    if operation.item.role is Role.AIR_CHARGE:
        return (Operation(Act.OFF, own.item) for own in scope.own_charges if not own.first)
    return _off(Role.AIR_CHARGE)(scope, operation) if scope.own(operation.item).first else ()


def _charged_before_lowers(scope: Scope, _: Operation) -> Operations:
    stage = scope.before_lowers
    return () if stage is None else [Operation(Act.CHARGE, scope.main, stage)]


def _charged_at_last(scope: Scope, _: Operation) -> Operations:
    return [Operation(Act.CHARGE, scope.main, FINAL)] if scope.charged else []


def _all_that_cures(scope: Scope, _: Operation) -> Operations:
    return (one for one in operations_of(scope) if one.work.waiting is not None)


# what comes before a charge


def _is_before_lowers(scope: Scope, operation: Operation) -> bool:
    """Whether a charge goes in before the lowers."""
    if operation.item.role is Role.AIR_CHARGE:
        return operation.stage is scope.before_lowers
    return scope.before_lowers is RIDING and scope.own(operation.item).first


def _off_without_air(scope: Scope, _: Operation) -> Operations:
    """What lies over the main air."""
    over = (item for item in scope.sheet.items if scope.main.key in item.covered_by)
    return (Operation(Act.OFF, item) for item in over if item.key in scope.off)


def _feet_on(scope: Scope, operation: Operation) -> Operations:
    """Every foot fastened; for a charge before the lowers, these off."""
    before = operation.act is Act.CHARGE and _is_before_lowers(scope, operation)
    return (_off(Role.LOWERS) if before else _on(Role.FOOT_FASTENER))(scope, operation)


def _riding_in(scope: Scope, _: Operation) -> Operations:
    return [Operation(Act.CHARGE, scope.main, RIDING)]


def _worked_through(scope: Scope, operation: Operation) -> Operations:
    """The riding pressure in and cycled; only in where no transfer port fills the negative chamber."""
    through = scope.sheet.air.negative_gauge is None
    return [Operation(Act.CYCLE, scope.main)] if through else _riding_in(scope, operation)


def _other_charges_in(scope: Scope, operation: Operation) -> Operations:
    """What the sheet charges before: a chamber with a valve of its own, or the main one."""
    if operation.item.role is Role.AIR_CHARGE:
        in_before = (own for own in scope.own_charges if own.first or operation.stage is FINAL)
        return (Operation(Act.CHARGE, own.item, RIDING) for own in in_before)
    return (_off(Role.AIR_CHARGE) if scope.own(operation.item).first else _riding_in)(scope, operation)


INTERLOCKS: Final[dict[Act, tuple[Interlock, ...]]] = {
    Act.OFF: (
        Interlock("covered", _covers_off),
        Interlock("readings-first", _as_found_read),
        Interlock("confirmed-empty", _off(*CHARGES), HELD_IN),
        Interlock("valve-order", _other_charges_out, CHARGES),
        Interlock("feet-ready", _off(Role.ADJUSTERS, Role.KNOB), (Role.FOOT_FASTENER, Role.FOOT_SEAT)),
        Interlock("seat-free", _off(Role.FOOT_SEAT), (Role.LOWERS,)),
        Interlock("reading-state", _read(Role.CHARGED_READING), (Role.AIR_CHARGE,)),
        Interlock("reading-state", _read(Role.EMPTY_READING), (*HELD_IN, Role.LOWERS)),
        Interlock("spring-relaxed", _off(Role.PRELOAD), (Role.SPRING_CAP,)),
        Interlock("spring-out", _off(Role.COIL), (Role.RETAINING_RING, Role.SPRING_SHAFT)),
    ),
    Act.INSPECT: (Interlock("inspected", _itself_off),),
    Act.CHANGE: (Interlock("covered", _itself_or_covers_off),),
    Act.MEASURE: (
        Interlock("covered", _covers_off),
        Interlock("extra-order", _named_read),
    ),
    Act.ON: (
        Interlock("absent", _itself_off),
        Interlock("inspected", _itself_inspected),
        Interlock("uncovered", _itself_changed),
        Interlock("uncovered", _under_it_done, of_reading="covered"),
        Interlock("extra-order", _named_done),
        Interlock("oil-part-way", _on(Role.LOWERS), (Role.LOWER_LEG_OIL,)),
        Interlock("oil-part-way", _on(Role.LOWER_LEG_OIL), (Role.FOOT_SEAT,)),
        Interlock("retainer-checked", _proven(Role.RETAINING_RING), (Role.LOWERS, Role.COIL)),
        Interlock("charge-before-lowers", _charged_before_lowers, (Role.LOWERS,)),
        Interlock("final-readings-last", _charged_at_last, (Role.READINGS,)),
        Interlock("final-readings-last", _on(Role.ADJUSTERS, Role.PRELOAD), (Role.READINGS,)),
        Interlock("cure-before-load", _all_that_cures, (Role.READINGS,)),
    ),
    Act.CHECK: (Interlock("retainer-checked", _itself_on),),
    Act.CHARGE: (
        Interlock("readings-first", _off(Role.READINGS), stages=(HOLDING, RIDING)),
        Interlock("reading-state", _read(*MEASURED_SHUT), stages=(HOLDING, RIDING)),
        Interlock("covered", _off_without_air, stages=(HOLDING, RIDING)),
        Interlock("closed", _on(Role.AIR_CAP, Role.AIR_SHAFT, Role.RETAINING_RING), stages=(HOLDING, RIDING)),
        Interlock("retainer-checked", _proven(Role.RETAINING_RING), stages=(HOLDING, RIDING)),
        Interlock("charge-before-lowers", _off(Role.AIR_CHARGE), (Role.AIR_CHARGE,), before_lowers=True),
        Interlock("absent", _itself_off, _OWN_VALVE_ROLES),
        Interlock("cycled", _worked_through, stages=(FINAL,)),
        Interlock("feet-first", _feet_on),
        Interlock("cycled", _off(Role.AIR_CHARGE), (Role.AIR_CHARGE,), (RIDING,), before_lowers=False),
        Interlock("absent", _charged_before_lowers, (Role.AIR_CHARGE,), (RIDING,), before_lowers=False),
        Interlock("valve-order", _other_charges_in, stages=(RIDING, FINAL)),
    ),
    Act.CYCLE: (
        Interlock("cycled", _riding_in),
        Interlock("feet-first", _feet_on),
    ),
}
"""Every order between two steps, by what the later one does. An operation's needs come in the order of the rows."""


def rules_of(item: Item, act: Act) -> Iterator[str]:
    """The names of the rules that one act on an item keeps by how it is done."""
    work = item.work(act)
    if item.role is Role.AIR_CHARGE and act is Act.OFF:
        yield "stuck-down"
    if act is Act.INSPECT and any(one.verdict is not Verdict.RENEW for one in item.inspect):
        yield "verdict"
    if act in {Act.OFF, Act.ON} and _is_ring(item):
        yield "retaining-ring"
    if work is not None and work.press is not None:
        yield "pressing"
    if work is not None and work.torque is not None and work.torque.state is ThreadState.COMPOUND:
        yield from ("torque-wet", "torque-once")


def _is_ring(item: Item) -> bool:
    """What holds the spring in without a thread."""
    on = item.work(Act.ON)
    return item.role is Role.RETAINING_RING and on is not None and on.torque is None
