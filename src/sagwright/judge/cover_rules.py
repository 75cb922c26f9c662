"""Rules that follow from the sheet's own order: what covers what, and what goes on after what."""

from __future__ import annotations

import math
from typing import Final

from sagwright.domain.item import Act, ChargeStage, Role
from sagwright.domain.value import Quantity
from sagwright.judge.rule import StepMoment, StepRule, listing, naming
from sagwright.judge.state import CHARGES, OWN_VALVE_ROLES, enclosed, goes_on_by_step


def absent(moment: StepMoment) -> str:
    """The step does not meet the unit it expects, or the sheet has no such work."""
    act, key, off = moment.step.act, moment.item.key, moment.state.off
    if act not in _ALWAYS and moment.work is None:
        return f"the sheet describes no such work on it: {act.value}"
    if act is Act.ON and moment.item.role in CHARGES:
        return "air goes in by charging"
    if act is Act.OFF and key in off:
        return "it is off already"
    if act is Act.ON and key not in off:
        return "it is on already"
    return _no_such_air(moment) if act in {Act.CHARGE, Act.CYCLE} else ""


_ALWAYS: Final = frozenset({Act.INSPECT, Act.MEASURE, Act.BREAK, Act.VERDICT})
"""What can be done to anything, whether its sheet describes it or not."""

_CHARGES: Final = (None, ChargeStage.ASSEMBLY, ChargeStage.RIDING, ChargeStage.FINAL)


def _no_such_air(moment: StepMoment) -> str:
    step = moment.step
    if moment.item.role in OWN_VALVE_ROLES:
        return _no_such_own_air(moment)
    if moment.item.role is not Role.AIR_CHARGE:
        return "it is not the unit's air"
    if step.act is Act.CYCLE:
        return ""
    open_ = moment.case.target_pressure_gauge is None and step.stage is not ChargeStage.ASSEMBLY
    if step.stage is None or (step.pressure_gauge is None and not open_):
        return "it does not say which charge goes in, or at which pressure"
    if step.pressure_gauge is None and not _set_at_the_bench(moment):
        return "it does not hold for the pressure that is set, within what the sheet permits"
    more = _CHARGES.index(step.stage) > _CHARGES.index(moment.state.air.stage)
    return "" if more else "this charge or a later one is in already"


def _set_at_the_bench(moment: StepMoment) -> bool:
    """Whether a pressure that nobody has planned is written down, with limits no wider than the sheet's."""
    span = moment.case.sheet.air.pressure_gauge
    return _held_within(moment, span.low, span.high)


def _held_within(moment: StepMoment, low: float, high: float) -> bool:
    """Whether the step holds for a pressure with limits no wider than these, gauge [Pa]."""
    limited = (r for r in moment.step.records if r.quantity is Quantity.PRESSURE and r.low is not None)
    return moment.step.hold_point and any(r.low >= low and (r.high or math.inf) <= high for r in limited)  # type: ignore[operator]


def _no_such_own_air(moment: StepMoment) -> str:
    """Why a charge behind a valve of its own cannot go in now; empty where it can, which is once."""
    step = moment.step
    if step.act is Act.CYCLE:
        return "it is not the unit's main air"
    if step.stage is not ChargeStage.RIDING:
        return "it is not the riding pressure"
    if step.pressure_gauge is None and not _own_set_at_the_bench(moment):
        return "it does not say at which pressure, and does not hold for it within what the sheet permits"
    in_already = step.item in dict(moment.state.own_gauges) and step.item not in moment.state.off
    return "this charge is in already" if in_already else ""


def _own_set_at_the_bench(moment: StepMoment) -> bool:
    """Whether an unplanned pressure behind a valve of its own is written down, within the sheet's limits."""
    spring = moment.case.sheet.air
    second = spring.second is not None and moment.item.role is Role.SECOND_CHARGE
    valve = spring.second.valve if second and spring.second is not None else spring.negative_valve
    said = getattr(moment.case.target.charge, "second_gauge" if second else "negative_gauge", None)
    ends = (valve.permitted.low, valve.permitted.high) if valve.permitted else (*valve.choices[:1], *valve.choices[-1:])
    return said is None and bool(ends) and _held_within(moment, *ends)


def covered(moment: StepMoment) -> str:
    """Something over it, or, for a change, the item itself, is still on."""
    if moment.step.act is Act.MEASURE and moment.item.role not in _READ:
        return ""
    in_the_way = set(moment.item.covered_by)
    if moment.step.act is Act.CHANGE and moment.item.work(Act.OFF):
        in_the_way.add(moment.item.key)
    still_on = sorted(in_the_way - moment.state.off)
    return listing("still on", still_on)


def uncovered(moment: StepMoment) -> str:
    """It closes in what is still off, or what has not been changed yet."""
    inside = enclosed(moment.case.sheet, moment.item.key)
    still_off = (i for i in inside if i.key in moment.state.off and goes_on_by_step(i))
    unchanged = (i for i in (moment.item, *inside) if moment.change_due(i))
    return naming("under it and still off", still_off) or naming("not yet as the target says", unchanged)


def extra_order(moment: StepMoment) -> str:
    """Something the sheet wants on before it is still off."""
    if moment.step.act is Act.MEASURE:
        unread = set(moment.item.after) - moment.state.measured if moment.item.role in _READ else ()
        return listing("to be read before it", sorted(unread))
    late = sorted(moment.state.off.intersection(moment.item.after))
    return listing("to go on before it and still off", late)


_READ: Final = frozenset({Role.CHARGED_READING, Role.EMPTY_READING})


COVER_RULES: Final = (
    StepRule(
        "absent",
        "Nothing comes off that is off, goes on that is on or goes in that is in, and nothing is done that the sheet "
        "does not describe, because a step that finds the unit in another state is done blind.",
        frozenset(Act),
        absent,
    ),
    StepRule(
        "covered",
        "A part comes off, or is changed, only once everything over it is off, because whatever is forced "
        "out from under another part damages both.",
        frozenset({Act.OFF, Act.CHANGE, Act.MEASURE}),
        covered,
    ),
    StepRule(
        "uncovered",
        "A part goes on only when what it closes in is fitted and as the target says, because a part left "
        "out or a setting left as it was is ridden unseen.",
        frozenset({Act.ON}),
        uncovered,
    ),
    StepRule(
        "extra-order",
        "A part goes on, and a reading is taken, only after those the sheet names before it, because fitted early it "
        "bars their way or is damaged by them, and read late they are spoilt.",
        frozenset({Act.ON, Act.MEASURE}),
        extra_order,
    ),
)
