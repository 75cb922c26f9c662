"""Rules about time, breaks, rings, gas that is not ours to let out, pressing, and findings.

Common practice, no source.
"""

from __future__ import annotations

from typing import Final

from sagwright.domain.item import Act, Role, Signal, ThreadState
from sagwright.domain.setup import Charge
from sagwright.domain.value import Quantity
from sagwright.judge.rule import Case, EndRule, StepMoment, StepRule, listing
from sagwright.judge.state import CHARGES, UnitState, enclosed

HOLDS_GAS: Final = frozenset({Role.AIR_CAP, Role.AIR_SHAFT, Role.RETAINING_RING, Role.FOOT_SEAT, Role.FOOT_FASTENER})
READINGS_OF: Final = frozenset({Role.CHARGED_READING, Role.EMPTY_READING})
_GLASSES: Final = "safety glasses"
_STRAP: Final = "rated strap"
MOST_PRESSED: Final = 0.6
_MOST_OF_GAUGE: Final = 0.8

# time


def cure_before_load(moment: StepMoment) -> str:
    """It loads something that has not cured."""
    wet = moment.state.past.wet(moment.step.idle)
    return listing("not cured yet", (key for key in wet if _loads(moment, key)))


def _loads(moment: StepMoment, key: str) -> bool:
    """Whether a step loads an item: by gas, by a tug, by what goes on over it, or by giving the unit back."""
    role = moment.case.sheet.item(key).role
    if moment.step.act in {Act.CHARGE, Act.CYCLE}:
        return role in HOLDS_GAS
    if moment.step.act is Act.CHECK:
        return role in {Role.RETAINING_RING, Role.AIR_SHAFT}
    over = {item.key for item in enclosed(moment.case.sheet, moment.item.key)}
    return moment.item.role is Role.READINGS or key in {moment.item.key, *moment.item.after, *over}


def torque_once(moment: StepMoment) -> str:
    """It puts a wrench again on a thread in compound."""
    past, step = moment.state.past, moment.step
    again = step.act is Act.MEASURE and past.compound_on(step.item)
    twice = any((one.item, one.act) == (step.item, step.act) for one in past.tightened)
    compound = step.torque is not None and past.compound_on(step.item) and (again or twice)
    return "its threadlocker has been tightened already" if compound else ""


def torque_wet(moment: StepMoment) -> str:
    """A torque on compound without fresh compound."""
    torque = moment.step.torque
    dry = torque is not None and torque.state is ThreadState.COMPOUND and moment.step.fluid is None
    return "no fresh compound goes on with it" if dry else ""


# breaks


def tagged(moment: StepMoment) -> str:
    """An unfinished unit is left without its tag."""
    hung = moment.step.hold_point and any(record.key.startswith("not_rideable") for record in moment.step.records)
    return "" if hung else 'it does not hold for the tag "not rideable"'


def rechecked(moment: StepMoment) -> str:
    """Work goes on after a break before charge and torques are checked again, or one is proven by nothing."""
    to_recheck, step = moment.state.past.to_recheck, moment.step
    if not to_recheck:
        return ""
    if step.act is not Act.MEASURE or step.item not in to_recheck:
        return listing("not checked again since the break", sorted(to_recheck))
    if not step.hold_point or not step.records:
        return "it does not hold for what is seen"
    if moment.item.role in CHARGES:
        read = any(record.quantity is Quantity.PRESSURE for record in step.records)
        return "" if read else "it does not read the pressure"
    done = moment.state.past.torque_of(step.item)
    if done is None or done.state is ThreadState.COMPOUND or step.torque == done:
        return ""
    return "its torque is not the one it was tightened with"


# readings


def reading_state(moment: StepMoment) -> str:
    """A reading is taken on a unit in another state than it means."""
    if moment.item.role not in READINGS_OF or moment.state.past.to_recheck:
        return ""
    opened = moment.off(*HOLDS_GAS, Role.LOWERS)
    if opened:
        return listing("the unit is open", (item.key for item in opened))
    empty = moment.state.air.confirmed_empty
    if moment.item.role is Role.CHARGED_READING:
        return "the unit holds no charge" if empty else ""
    return "" if empty else "the unit is not confirmed empty"


def _pressing(moment: StepMoment) -> str:
    """It presses a charged unit further, or against a smaller gauge, than is safe, or unprepared."""
    asked = moment.work.press if moment.work else None
    press, step = moment.step.press, moment.step
    if press is None:
        return "it does not say how far and against which gauge it presses" if asked else ""
    if press.share > MOST_PRESSED or (asked is not None and press.share > asked.share):
        return "it presses further than is safe"
    peak = step.pressure_gauge
    if peak is None or not peak >= _held(moment):
        return "the peak is not predicted"
    if not peak < _MOST_OF_GAUGE * press.gauge_range.si:
        return "the peak is too near the end of the gauge"
    warned = any(one.signal in {Signal.DANGER, Signal.WARNING} for one in step.cautions)
    strapped = any(tool.name == _STRAP for tool in step.tools)
    return "" if warned and strapped and step.hold_point else "no rated strap, no warning of its line, or no hold point"


def _held(moment: StepMoment) -> float:
    """What the unit holds before it is pressed: as last set, as found, or all that the sheet permits [Pa]."""
    if moment.state.air.pressure_gauge is not None:
        return moment.state.air.pressure_gauge
    charge = moment.case.as_found.charge
    known = isinstance(charge, Charge)
    return charge.pressure_gauge.si if known else moment.case.sheet.air.pressure_gauge.high  # type: ignore[union-attr]


# rings and chambers


def retaining_ring(moment: StepMoment) -> str:
    """A ring is set or taken out with bare eyes."""
    on = moment.item.work(Act.ON)
    if on is not None and on.torque is not None:
        return ""
    return "" if any(tool.name == _GLASSES for tool in moment.step.tools) else "no safety glasses"


def gas_chamber(moment: StepMoment) -> str:
    """It opens gas that has a release of its own, or what that gas lies over."""
    over = {*moment.item.covered_by, moment.item.key}
    gas = (item.key for item in moment.case.sheet.having(Role.GAS_CHAMBER) if item.key in over)
    return listing("let out only by who has its release and its manual", gas)


def stuck_down(moment: StepMoment) -> str:
    """Work goes on at a unit that was not confirmed empty."""
    return "the unit was not confirmed empty" if moment.state.past.stuck_down else ""


# findings


def verdict(moment: StepMoment) -> str:
    """Work goes on over a finding that ends it, or ends without one."""
    past = moment.state.past
    if past.ended:
        return "the work has ended"
    if moment.step.act is Act.VERDICT:
        return "" if past.stopped or past.stuck_down else "nothing was found that ends the work"
    return listing("found and not decided", past.stopped)


def signed(moment: StepMoment) -> str:
    """Why a verdict is not binding: it lacks its photo or its signature."""
    missing = {"photo", "signature"} - {record.key for record in moment.step.records}
    if missing or not moment.step.hold_point:
        return listing("it does not hold for", sorted(missing) or ("its evidence",))
    return ""


def ended(case: Case, state: UnitState) -> str:
    """The sequence stops at a finding without a verdict."""
    del case
    past = state.past
    open_ = (past.stopped or past.stuck_down) and not past.ended
    return "something was found that ends the work, and no verdict is written" if open_ else ""


_GOES_ON: Final = frozenset(Act) - {Act.BREAK, Act.VERDICT}
_LOADS: Final = frozenset({Act.ON, Act.CHARGE, Act.CYCLE, Act.CHECK})

HAZARD_RULES: Final = (
    StepRule(
        "stuck-down",
        "No work is done on a unit that pulls itself in, will not extend or was not confirmed empty; it is sent out, "
        "because it holds pressure that no gauge shows and throws whatever is loosened.",
        _GOES_ON,
        stuck_down,
    ),
    StepRule(
        "verdict",
        "A finding on a part that carries the rider, or a hold point outside its limits, ends the work in a verdict: "
        "refuse, scrap or do not ride, because whatever is closed over it is ridden.",
        frozenset(Act) - {Act.BREAK},
        verdict,
    ),
    StepRule(
        "signed",
        "A verdict carries a photo and a signature, because a spoken one is forgotten and the unit is ridden.",
        frozenset({Act.VERDICT}),
        signed,
    ),
    StepRule(
        "tagged",
        'Whoever leaves an unfinished unit hangs the tag "not rideable" on it, because it looks finished to the next '
        "person who lifts it off the stand.",
        frozenset({Act.BREAK}),
        tagged,
    ),
    StepRule(
        "rechecked",
        "After a break, a night or a change of person the pressure, a preload and every torque are checked again "
        "before anything else, because nobody remembers what is only half written down.",
        _GOES_ON,
        rechecked,
    ),
    StepRule(
        "gas-chamber",
        "Gas behind a floating piston is a chamber of its own at high pressure and is never opened at an ordinary "
        "bench, because letting out the air of the spring does not touch it; the unit is sent out.",
        frozenset(Act) - {Act.BREAK, Act.VERDICT, Act.INSPECT, Act.MEASURE},
        gas_chamber,
    ),
    StepRule(
        "retaining-ring",
        "A retaining ring is taken out and set only with safety glasses on, with the shaft pushed in first and the "
        "ring's stamped edge away from the load, because a ring jumps, and a slip scars the shaft.",
        frozenset({Act.OFF, Act.ON}),
        retaining_ring,
        frozenset({Role.RETAINING_RING}),
    ),
    StepRule(
        "reading-state",
        "A reading is made in the state it belongs to, charged or confirmed empty, and on a closed unit, because "
        "otherwise it describes another unit and hands are near a charged end.",
        frozenset({Act.MEASURE}),
        reading_state,
        READINGS_OF,
    ),
    StepRule(
        "pressing",
        "A charged unit is pressed only with the peak predicted first, under four fifths of the gauge's range and "
        "three fifths of the travel, with a rated strap and nobody in line, because a gauge that bursts or a strap "
        "that lets go strikes like a shot.",
        frozenset({Act.MEASURE}),
        _pressing,
    ),
    StepRule(
        "cure-before-load",
        "Nothing loads threadlocker before it has cured, because loaded wet it creeps and holds nothing.",
        _LOADS,
        cure_before_load,
    ),
    StepRule(
        "torque-once",
        "A thread with threadlocker is never tightened again, because that breaks the cured threadlocker: it is taken "
        "apart, cleaned and begun anew.",
        frozenset(Act),
        torque_once,
    ),
    StepRule(
        "torque-wet",
        "Threadlocker goes on fresh in the step that tightens it, because the torque belongs to the wet thread.",
        frozenset({Act.ON, Act.CHANGE}),
        torque_wet,
    ),
)
HAZARD_END_RULES: Final = (
    EndRule(
        "ended",
        "Work that cannot go on ends in a written verdict, because a unit that is only put aside is taken and ridden.",
        ended,
    ),
)
