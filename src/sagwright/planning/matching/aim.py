"""What the choice of a target starts from: what may be set, how as found rode, and whether that can be the aim."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

import numpy as np

from sagwright.domain.behaviour import Noticeable
from sagwright.domain.intake import Intake
from sagwright.domain.setup import Setup
from sagwright.planning.checks.intake import port_offset
from sagwright.planning.spring.behaviour import STROKE, Five
from sagwright.planning.spring.kind import spring_kind
from sagwright.planning.spring.setups import charge_of, possible

UNKNOWN_UNTIL_OPEN: Final = Five(np.nan, np.nan, np.nan, np.nan, np.nan)
"""How a unit rode where that is not known."""


@dataclass(frozen=True, slots=True)
class Settings:
    """What may be set: exponent of a stroke, and what a rider just notices."""

    exponent: float = STROKE
    noticeable: Noticeable = field(default_factory=Noticeable)


def no_as_it_rode(intake: Intake) -> str:
    """Why how it rode cannot be the aim, or nothing if it can."""
    found, charge = charged_as_found(intake), charge_of(intake.as_found.setup)
    if not found:
        return spring_kind(intake.sheet).unset
    if intake.as_found.leaked:
        return "leaked"
    if charge is not None and not charge.cycled:
        return "not-cycled"
    if any(port_offset(intake, setup) for setup in found):
        return "transfer-port-wrong"
    return ""


def charged_as_found(intake: Intake) -> tuple[Setup, ...]:
    """What as found may turn out to be, with its charge or preload; none if that is unknown."""
    return possible(intake) if spring_kind(intake.sheet).set_up(intake.as_found.setup) else ()
