"""What is true of the unit between two steps, and what a step makes of it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Final

from sagwright.domain.item import Act, ChargeStage, Item, Role
from sagwright.domain.settings import SETTINGS
from sagwright.domain.setup import LegState, Setpoint, Setup
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Step
from sagwright.judge.history import NOTHING, History, advance_history

JudgedSetting = str | Setpoint

_HELD: Final = tuple(row for row in SETTINGS if row.key not in {"legs", "charge"})
"""Settings that are one value each."""

_FIELDS: Final = {row.role: row.key for row in _HELD if row.inside}


@dataclass(frozen=True, slots=True)
class Air:
    """What is in the air spring.

    Attributes
    ----------
    confirmed_empty : bool
        Let out and proven so, every chamber of it.
    stage : ChargeStage or None
        The charge that was put in last; None while none was. With neither, the unit is as found: it may hold
        any pressure, in either chamber.
    pressure_gauge : float or None
        The pressure that charge was set to [Pa].
    cycled : bool
        The riding pressure was worked through the transfer port.
    """

    confirmed_empty: bool = False
    stage: ChargeStage | None = None
    pressure_gauge: float | None = None
    cycled: bool = False


ADJUSTER: Final = "adjuster"
"""The setting that a preload adjuster is turned to."""

OWN_VALVE_ROLES: Final = (Role.SECOND_CHARGE, Role.NEGATIVE_CHARGE)
"""Charges behind a valve of their own."""

CHARGES: Final = (Role.AIR_CHARGE, *OWN_VALVE_ROLES)
"""All charges there are."""

AS_FOUND: Final = Air()
EMPTY: Final = Air(confirmed_empty=True)


@dataclass(frozen=True, slots=True)
class UnitState:
    """The unit at one moment.

    Attributes
    ----------
    settings : tuple of (str, value)
        Chassis, settings and leg fills by field, as they are now.
    off : frozenset of str
        Keys of what is off, open, drained or let out. Adjusters in it are counted and their lock-out is open;
        readings in it are written down as found and not yet proven. What is not in it is on, and, if it was
        off before, torqued, filled and renewed: no step that left this out was let through.
    air : Air
    unchecked : frozenset of str
        Retaining rings that came off and have not been fitted and proven since.
    inspected : frozenset of str
        Items looked at, criterion by criterion, since they came off.
    measured : frozenset of str
        Items of readings that were taken.
    past : History
        Time, torques, findings and uncertainties.
    own_gauges : tuple of (str, float)
        What charges behind a valve of their own were set to, by item, gauge [Pa], None where that was decided at the
        bench; what is neither here nor in `off` is as found.
    """

    settings: tuple[tuple[str, JudgedSetting], ...]
    off: frozenset[str] = frozenset()
    air: Air = AS_FOUND
    unchecked: frozenset[str] = frozenset()
    inspected: frozenset[str] = frozenset()
    measured: frozenset[str] = frozenset()
    past: History = NOTHING
    own_gauges: tuple[tuple[str, float | None], ...] = ()


def start_state(sheet: Sheet, as_found: Setup) -> UnitState:
    """The unit before the first step: closed, and charged for all anyone knows; without gas where it has a coil."""
    air = AS_FOUND if sheet.spring.holds_air else EMPTY
    return UnitState(settings_in(sheet, as_found), off=_with_exposed(sheet, frozenset()), air=air)


def settings_in(sheet: Sheet, setup: Setup) -> tuple[tuple[str, JudgedSetting], ...]:
    """What a setup fixes besides its charge, by the field that a change names; legs by their names."""
    own = ((row.key, row.of(setup)) for row in _HELD if row.has(setup))
    return ("chassis", setup.chassis), *own, *_leg_settings(sheet, setup)


def _leg_settings(sheet: Sheet, setup: Setup) -> Iterator[tuple[str, JudgedSetting]]:
    """Every leg's oil and where it was closed: as the setup states them, or else as the sheet fills it."""
    stated = {leg.name: leg for leg in setup.legs}
    for leg in sheet.legs:
        state = stated.get(leg.name, LegState(leg.name, leg.lower_leg_oil.si))
        yield _oil_in(leg.name), state.lower_leg_oil
        yield _closed_at(leg.name), state.closed_at


def _oil_in(leg: str) -> str:
    return f"lower-leg oil, {leg} leg"


def _closed_at(leg: str) -> str:
    return f"closed at, {leg} leg"


def field_of(item: Item) -> str:
    """The setting that is made on an item; empty if none is."""
    return _FIELDS.get(item.role, "") if item.role else ""


def same_setting(one: JudgedSetting | None, other: JudgedSetting | None) -> bool:
    """Whether two settings are equal: numbers to 1e-9 of the larger, everything else by equality."""
    if isinstance(one, int | float) and isinstance(other, int | float):
        return math.isclose(one, other, rel_tol=1e-9)
    return one == other


def goes_on_by_step(item: Item) -> bool:
    """Whether putting it back takes a step of its own; air goes back in by charging."""
    return item.role in CHARGES or item.work(Act.ON) is not None


def enclosed(sheet: Sheet, key: str) -> tuple[Item, ...]:
    """What the item of that key closes in when it goes on: what it covers, and, through whatever goes back
    without a step of its own, what that covers."""
    found: dict[str, Item] = {}
    over = [key]
    while over:
        cover = over.pop()
        for item in sheet.items:
            if cover in item.covered_by and item.key != key and item.key not in found:
                found[item.key] = item
                if not goes_on_by_step(item):
                    over.append(item.key)
    return tuple(found.values())


def advance(sheet: Sheet, state: UnitState, step: Step) -> UnitState:
    """The unit after a step on an item of the sheet, right or wrong; the rules say which."""
    move = _MOVES.get(step.act)
    moved = move(sheet, state, step) if move else state
    return replace(moved, past=advance_history(sheet, state.past, step))


def _off(sheet: Sheet, state: UnitState, step: Step) -> UnitState:
    item = sheet.item(step.item)
    off = _with_exposed(sheet, state.off | {item.key})
    emptied = (
        item.role is Role.AIR_CHARGE and not step.failed and all(i.key in off for i in sheet.having(Role.AIR_CHARGE))
    )
    return replace(
        state,
        off=off,
        air=EMPTY if emptied else state.air,
        unchecked=state.unchecked | {item.key} if item.role is Role.RETAINING_RING else state.unchecked,
        inspected=state.inspected - {item.key},
    )


def _on(sheet: Sheet, state: UnitState, step: Step) -> UnitState:
    closed_in = {item.key for item in enclosed(sheet, step.item) if not goes_on_by_step(item)}
    off = state.off - closed_in - {step.item}
    return replace(_set(state, _leg_set_by(sheet.item(step.item), step)), off=off)


def _leg_set_by(item: Item, step: Step) -> dict[str, JudgedSetting]:
    """What putting an item on sets: its leg filled, or closed with its shaft fully out; a preload turned in."""
    if item.role is Role.PRELOAD:
        return {change.field: change.after for change in step.changes if change.field == ADJUSTER}
    if item.role is Role.LOWER_LEG_OIL and step.fluid and step.fluid.amount:
        return {_oil_in(item.leg): step.fluid.amount.si}
    return {_closed_at(item.leg): 0.0} if item.role is Role.FOOT_SEAT else {}


def _change(sheet: Sheet, state: UnitState, step: Step) -> UnitState:
    field = field_of(sheet.item(step.item))
    return _set(state, {change.field: change.after for change in step.changes if change.field == field})


def _set(state: UnitState, made: dict[str, JudgedSetting]) -> UnitState:
    """The state with some of its settings changed; those that it does not have stay unset."""
    settings = tuple((field, made.get(field, now)) for field, now in state.settings)
    return replace(state, settings=settings)


def _prove(sheet: Sheet, state: UnitState, step: Step) -> UnitState:
    del sheet
    return state if step.item in state.off else replace(state, unchecked=state.unchecked - {step.item})


def _inspect(sheet: Sheet, state: UnitState, step: Step) -> UnitState:
    looked_at = step.item in state.off and set(sheet.item(step.item).inspect) <= set(step.inspect)
    return replace(state, inspected=state.inspected | {step.item}) if looked_at else state


def _charge(sheet: Sheet, state: UnitState, step: Step) -> UnitState:
    if sheet.item(step.item).role in OWN_VALVE_ROLES:
        held = dict(state.own_gauges) | {step.item: step.pressure_gauge}
        return replace(_on(sheet, state, step), own_gauges=tuple(held.items()))
    cycled = step.stage is ChargeStage.FINAL and state.air.cycled
    air = Air(stage=step.stage, pressure_gauge=step.pressure_gauge, cycled=cycled)
    return replace(_on(sheet, state, step), air=air)


def _cycle(sheet: Sheet, state: UnitState, step: Step) -> UnitState:
    del sheet, step
    return replace(state, air=replace(state.air, cycled=True))


def _measure(sheet: Sheet, state: UnitState, step: Step) -> UnitState:
    del sheet
    return replace(state, measured=state.measured | {step.item})


_MOVES: Final[dict[Act, Callable[[Sheet, UnitState, Step], UnitState]]] = {
    Act.OFF: _off,
    Act.ON: _on,
    Act.CHANGE: _change,
    Act.CHECK: _prove,
    Act.INSPECT: _inspect,
    Act.CHARGE: _charge,
    Act.CYCLE: _cycle,
    Act.MEASURE: _measure,
}


def _with_exposed(sheet: Sheet, off: frozenset[str]) -> frozenset[str]:
    """What is off, with everything that has no step of its own and nothing left over it."""
    exposed = {item.key for item in sheet.items if _has_no_step(item) and off.issuperset(item.covered_by)}
    return off if exposed <= off else _with_exposed(sheet, off | exposed)


def _has_no_step(item: Item) -> bool:
    return item.work(Act.OFF) is None and not goes_on_by_step(item)
