"""Rules about what a step must bring with it: evidence, new parts, torque, fluid, waiting, and the
change itself."""

from __future__ import annotations

import math
from collections import Counter
from typing import Final

from sagwright.domain.item import Act, Record, Role
from sagwright.domain.setup import Change
from sagwright.domain.value import Quantity, Value
from sagwright.judge.rule import StepMoment, StepRule, listing
from sagwright.judge.state import JudgedSetting, field_of, same_setting


def inspected(moment: StepMoment) -> str:
    """It goes back without having been looked at since it came off."""
    unseen = moment.item.inspect and moment.item.key not in moment.state.inspected
    return "it was not inspected, or not for everything the sheet names" if unseen else ""


def renewed(moment: StepMoment) -> str:
    """A single-use part that came off with it goes back used."""
    used = Counter(moment.item.renew) - Counter(moment.step.renew)
    new = {part.name for part in moment.step.renew}
    failed = (one.key.replace("_", " ") for one in moment.item.inspect if one.key in moment.state.past.failed)
    return listing("not renewed", (*(part.name for part in used), *(name for name in failed if name not in new)))


def torque_state(moment: StepMoment) -> str:
    """The sheet's torque is missing, or is given with another value, thread state or hand."""
    wanted = moment.work.torque if moment.work else None
    given = moment.step.torque
    if wanted is None:
        return ""
    if given is None:
        return "it gives no torque where the sheet does"
    thread = (given.state, given.hand) == (wanted.state, wanted.hand)
    right = thread and _same_value(given.value, wanted.value)
    return "" if right else "its torque, thread state or hand is not the sheet's"


def hold_point(moment: StepMoment) -> str:
    """A hold or a record of the sheet is missing, or its limits are wider."""
    work, step = moment.work, moment.step
    if work is None:
        return ""
    if work.hold_point and not step.hold_point:
        return "it does not hold for its evidence"
    missing = (record.key for record in work.records if not any(_asks(r, record) for r in step.records))
    return listing("not recorded as the sheet asks", missing)


def _asks(given: Record, wanted: Record) -> bool:
    """Whether one record asks for all that another does; it may be stricter."""
    low_kept = wanted.low is None or (given.low is not None and given.low >= wanted.low)
    high_kept = wanted.high is None or (given.high is not None and given.high <= wanted.high)
    return (given.key, given.quantity) == (wanted.key, wanted.quantity) and low_kept and high_kept


def fluid(moment: StepMoment) -> str:
    """The sheet's fluid is missing, or is another one, or another amount."""
    wanted = moment.work.fluid if moment.work else None
    given = moment.step.fluid
    if wanted is None:
        return ""
    if given is None:
        return "it names no fluid where the sheet does"
    amount = _lower_leg_oil(moment) or wanted.amount
    right = given.name == wanted.name and _same_value(given.amount, amount)
    return "" if right else "its fluid or amount is not the sheet's"


def cured(moment: StepMoment) -> str:
    """The sheet's waiting is missing or shorter."""
    wanted = moment.work.waiting if moment.work else None
    if wanted is None:
        return ""
    given = moment.step.waiting
    return "" if given and given.si >= wanted.si else "it does not wait as long as the sheet says"


def _lower_leg_oil(moment: StepMoment) -> Value | None:
    """What the item's leg takes, for lower-leg oil that goes in; None for anything else."""
    if moment.item.role is not Role.LOWER_LEG_OIL or moment.step.act is not Act.ON:
        return None
    legs = moment.case.sheet.legs
    return next((leg.lower_leg_oil for leg in legs if leg.name == moment.item.leg), None)


def _same_value(one: Value | None, other: Value | None) -> bool:
    return same_setting(one.si if one else None, other.si if other else None)


def settled(moment: StepMoment) -> str:
    """A change that is not held, not recorded as found, or not the one from as found to the target."""
    if not moment.step.hold_point:
        return "it does not hold for what is found"
    if not moment.step.changes:
        return "it changes nothing"
    return next((fault for change in moment.step.changes if (fault := _unsettled(moment, change))), "")


def _unsettled(moment: StepMoment, change: Change) -> str:
    """What is wrong with one change; empty if nothing is."""
    now = moment.setting(change.field)
    if now is None or change.field != field_of(moment.item):
        return f"{change.field} is not set here"
    if not same_setting(change.before, now):
        return f"{change.field} does not start from what is in the unit"
    if not same_setting(change.after, moment.case.wanted(change.field)):
        return f"{change.field} does not end at the target"
    recorded = any(_finds(record, change.field, now) for record in moment.step.records)
    return "" if recorded else f"{change.field} is not recorded as found"


def _finds(record: Record, field: str, expected: JudgedSetting) -> bool:
    """Whether a record asks what a setting was found at, and holds if that is not what was expected."""
    quantity = {"shaft_travel": Quantity.LENGTH, "coil": None}.get(field, Quantity.COUNT)
    if (record.key, record.quantity) != (f"found_{field}", quantity):
        return False
    return not isinstance(expected, int | float) or _between(record, expected)


def _between(record: Record, expected: float) -> bool:
    if record.low is None or record.high is None:
        return False
    slack = 1e-9 * math.fabs(expected)
    return record.low - slack <= expected <= record.high + slack


_WORKS: Final = frozenset(Act) - {Act.INSPECT}

CONTENT_RULES: Final = (
    StepRule(
        "inspected",
        "What comes off and has inspection criteria is looked at before it goes back, because a crack or a "
        "cut seal that is closed in is next found by the rider.",
        frozenset({Act.ON}),
        inspected,
    ),
    StepRule(
        "renewed",
        "Single-use parts that came off are new when they go on, because crushed or spread once they leak or let go.",
        frozenset({Act.ON}),
        renewed,
    ),
    StepRule(
        "torque-state",
        "A torque comes with its thread state and hand, even while its value has to be found, because the "
        "right number on the wrong thread over-tightens or strips it.",
        _WORKS,
        torque_state,
    ),
    StepRule(
        "hold-point",
        "Where the sheet asks for evidence the step holds until all of it is written down, because a hold "
        "passed without its readings hides what is still charged, loose or worn.",
        _WORKS,
        hold_point,
    ),
    StepRule(
        "fluid",
        "A fluid comes by name and amount as the sheet has it, because too little scores the bushings, too "
        "much takes the end of the travel, and the wrong one swells seals.",
        _WORKS,
        fluid,
    ),
    StepRule(
        "cured",
        "What must cure or settle is given the sheet's time before anything loads it, because threadlocker that is "
        "loaded wet does not hold, and tightened again after its cure it holds nothing.",
        _WORKS,
        cured,
    ),
    StepRule(
        "settled",
        "A setting is held for and written down as found, then brought to exactly the target, because "
        "nobody can see it again once the unit is shut.",
        frozenset({Act.CHANGE}),
        settled,
    ),
)
