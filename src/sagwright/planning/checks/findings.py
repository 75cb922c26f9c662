"""The making of findings: every code with its severity, the numbers a finding carries; cautions of every plan."""

from __future__ import annotations

from typing import Final

from sagwright.domain.finding import Finding, Severity
from sagwright.domain.item import Caution, Signal
from sagwright.domain.value import Figure, Quantity

REFUSE, ASK, NOTE = Severity.REFUSE, Severity.ASK, Severity.NOTE

FINDING_CODES: Final[dict[str, Severity]] = {
    "travel.not-permitted": REFUSE,
    "travel.out-of-reach": REFUSE,
    "travel.already": NOTE,
    "target.travel-spacers-contradict": REFUSE,
    "target.travel-spacers-too-many": REFUSE,
    "target.volume-spacers-too-many": REFUSE,
    "target.pressure-over": REFUSE,
    "target.pressure-under": REFUSE,
    "found.travel-spacers-too-many": ASK,
    "found.volume-spacers-too-many": ASK,
    "found.travel-not-permitted": ASK,
    "found.travel-contradicts": ASK,
    "found.overlap-short": ASK,
    "found.damper-short": ASK,
    "found.pressure-over": ASK,
    "found.pressure-under": NOTE,
    "found.equaliser-behind": ASK,
    "found.equaliser-ahead": ASK,
    "found.own-charge-unread": ASK,
    "found.own-charge-outside": ASK,
    "target.own-charge-outside": REFUSE,
    "found.not-cycled": ASK,
    "found.top-out-spacers-too-many": ASK,
    "found.preload-spacers-too-many": ASK,
    "found.preload-over": ASK,
    "found.preload-unknown": ASK,
    "found.coil-loose": ASK,
    "found.coil-bound": ASK,
    "found.coil-presses-cap": NOTE,
    "found.unknown-until-open": NOTE,
    "charge.age-unknown": ASK,
    "charge.stale": ASK,
    "aim.as-it-rode-not-offered": NOTE,
    "aim.as-it-rode-refused": REFUSE,
    "aim.out-of-reach": ASK,
    "coil.none-fits": REFUSE,
    "target.coil-unfit": REFUSE,
    "coil.aim-out-of-reach": ASK,
    "coil.solid-unknown": ASK,
    "coil.near-solid": ASK,
    "coil.overstressed": ASK,
    "coil.bows-out": ASK,
    "coil.stack-gives": NOTE,
    "coil.stack-takes": NOTE,
    "load.share": NOTE,
    "load.assumed": ASK,
    "same-pressure.none": NOTE,
    "length.changes": NOTE,
    "bike.contradicts": ASK,
    "bike.radius-estimated": NOTE,
    "frame.too-long": REFUSE,
    "frame.too-short": ASK,
    "frame.too-much-travel": REFUSE,
    "frame.too-little-travel": ASK,
    "frame.unknown": NOTE,
    "frame.system-mass": ASK,
    "frame.rotor": ASK,
    "maker.asked": NOTE,
    "clearance.contact": REFUSE,
    "clearance.small": ASK,
    "clearance.unknown": ASK,
    "clearance.unchanged": NOTE,
    "clearance.under-test": NOTE,
    "stance.also-changes": NOTE,
    "load.posture": NOTE,
    "load.scale": NOTE,
    "load.posture-unfit": ASK,
    "task.contradicts": REFUSE,
    "task.within": NOTE,
    "torque.unknown": ASK,
    "values.typical": NOTE,
}
"""Every finding there is, with its severity."""

ALWAYS: Final = (
    Caution(
        Signal.WARNING,
        "The maker's manual for this unit and local rules come before this plan. Where they differ, follow them.",
    ),
    Caution(
        Signal.WARNING,
        "The rider's life hangs on this unit. Work on load-bearing parts belongs to someone trained for it.",
    ),
    Caution(
        Signal.WARNING,
        "A gauge at zero proves nothing. Prove every chamber empty before you loosen what holds its gas in.",
    ),
    Caution(
        Signal.CAUTION,
        "After a break, overnight or on a change of person: prove again what is charged and which torques are done.",
    ),
    Caution(
        Signal.NOTICE,
        "Values marked typical are usual for such units and not this one's. Confirm them before you rely on them.",
    ),
    Caution(
        Signal.WARNING,
        "Not rideable until wheel, axle, brake, hose and headset are fitted, tightened and tested by a brake pull.",
    ),
)
"""Cautions of every plan, in the order they are read."""


def finding(code: str, field: str, words: tuple[tuple[str, str], ...] = (), /, **figures: Figure) -> Finding:
    """A finding with the severity of its code."""
    return Finding(code, FINDING_CODES[code], field, tuple(figures.items()), words)


def length(value: float, u: float | None = None) -> Figure:
    """A length as a figure [m]."""
    return Figure(value, Quantity.LENGTH, u)


def pressure(value: float) -> Figure:
    """A gauge pressure as a figure [Pa]."""
    return Figure(value, Quantity.PRESSURE)


def count(value: int) -> Figure:
    """A count as a figure."""
    return Figure(float(value), Quantity.COUNT)
