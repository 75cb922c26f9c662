"""What every plan says, whatever the sheet."""

from __future__ import annotations

from typing import Final

from sagwright.domain.item import Caution, Signal

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
