"""The making of findings: every code with its severity, the numbers a finding carries; cautions of every plan."""

from __future__ import annotations

from typing import Final

from sagwright.domain.finding import Finding, Severity
from sagwright.domain.item import Caution, Signal
from sagwright.domain.value import Figure, Quantity

NOT_ALLOWED, QUESTION, NOTE = Severity.NOT_ALLOWED, Severity.QUESTION, Severity.NOTE

FINDING_CODES: Final[dict[str, Severity]] = {
    "travel.not-permitted": NOT_ALLOWED,
    "travel.out-of-reach": NOT_ALLOWED,
    "travel.already": NOTE,
    "target.travel-spacers-contradict": NOT_ALLOWED,
    "target.travel-spacers-too-many": NOT_ALLOWED,
    "target.volume-spacers-too-many": NOT_ALLOWED,
    "target.pressure-over": NOT_ALLOWED,
    "target.pressure-under": NOT_ALLOWED,
    "found.travel-spacers-too-many": QUESTION,
    "found.volume-spacers-too-many": QUESTION,
    "found.travel-not-permitted": QUESTION,
    "found.travel-contradicts": QUESTION,
    "found.overlap-short": QUESTION,
    "found.damper-short": QUESTION,
    "found.pressure-over": QUESTION,
    "found.pressure-under": NOTE,
    "found.transfer-port-behind": QUESTION,
    "found.transfer-port-ahead": QUESTION,
    "found.own-pressure-unread": QUESTION,
    "found.own-pressure-outside": QUESTION,
    "target.own-pressure-outside": NOT_ALLOWED,
    "found.not-cycled": QUESTION,
    "found.top-out-spacers-too-many": QUESTION,
    "found.preload-spacers-too-many": QUESTION,
    "found.preload-over": QUESTION,
    "found.preload-unknown": QUESTION,
    "found.coil-loose": QUESTION,
    "found.coil-bound": QUESTION,
    "found.coil-presses-cap": NOTE,
    "found.unknown-until-open": NOTE,
    "charge.age-unknown": QUESTION,
    "charge.stale": QUESTION,
    "aim.as-it-rode-not-offered": NOTE,
    "aim.as-it-rode-not-allowed": NOT_ALLOWED,
    "aim.out-of-reach": QUESTION,
    "coil.none-fits": NOT_ALLOWED,
    "target.coil-unfit": NOT_ALLOWED,
    "coil.aim-out-of-reach": QUESTION,
    "coil.solid-unknown": QUESTION,
    "coil.near-solid": QUESTION,
    "coil.overstressed": QUESTION,
    "coil.bows-out": QUESTION,
    "coil.stack-gives": NOTE,
    "coil.stack-takes": NOTE,
    "load.share": NOTE,
    "load.assumed": QUESTION,
    "as-found-pressure.none": NOTE,
    "length.changes": NOTE,
    "bike.contradicts": QUESTION,
    "bike.radius-estimated": NOTE,
    "frame.too-long": NOT_ALLOWED,
    "frame.too-short": QUESTION,
    "frame.too-much-travel": NOT_ALLOWED,
    "frame.too-little-travel": QUESTION,
    "frame.unknown": NOTE,
    "frame.system-mass": QUESTION,
    "frame.rotor": QUESTION,
    "maker.asked": NOTE,
    "clearance.contact": NOT_ALLOWED,
    "clearance.small": QUESTION,
    "clearance.unknown": QUESTION,
    "clearance.unchanged": NOTE,
    "clearance.under-test": NOTE,
    "stance.other-changes": NOTE,
    "load.posture": NOTE,
    "load.scale": NOTE,
    "load.posture-unfit": QUESTION,
    "task.contradicts": NOT_ALLOWED,
    "task.included": NOTE,
    "torque.unknown": QUESTION,
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
        "A gauge at zero does not show that a chamber is empty. Confirm that every chamber is empty before you "
        "loosen what holds its gas in.",
    ),
    Caution(
        Signal.CAUTION,
        "After a break, overnight or on a change of person: check again every pressure and every torque.",
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


def length_figure(value: float, u: float | None = None) -> Figure:
    """A length as a figure [m]."""
    return Figure(value, Quantity.LENGTH, u)


def pressure_figure(value: float) -> Figure:
    """A gauge pressure as a figure [Pa]."""
    return Figure(value, Quantity.PRESSURE)


def count_figure(value: int) -> Figure:
    """A count as a figure."""
    return Figure(float(value), Quantity.COUNT)
