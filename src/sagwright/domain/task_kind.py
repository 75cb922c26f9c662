"""One thing that is asked of a unit."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from sagwright.domain.value import Quantity


class TaskKind(StrEnum):
    """What can be asked; the first nine want a value."""

    SET_PRESSURE = "set-pressure"  # gauge, topped out [Pa]
    SECOND_PRESSURE = "second-pressure"  # gauge, of a second positive chamber [Pa]
    NEGATIVE_PRESSURE = "negative-pressure"  # gauge, of a negative chamber with its own valve [Pa]
    VOLUME_SPACERS = "volume-spacers"  # a count
    CHANGE_TRAVEL = "change-travel"  # travel [m]
    INSPECT = "inspect"  # the key of an item with criteria
    CHANGE_COIL = "change-coil"  # the sheet's name of a coil
    PRELOAD_SPACERS = "preload-spacers"  # a count
    SET_PRELOAD = "set-preload"  # turns of the adjuster, from fully out

    LOWER_LEGS = "lower-legs"
    AIR_SPRING = "air-spring"
    COIL_SPRING = "coil-spring"  # taken out, cleaned, looked at and greased
    DAMPER = "damper"  # taken out and put back
    WIPERS = "wipers"  # wipers and foam rings, new
    MEASURE = "measure"  # what the bench can read without opening anything


QUANTITIES: Final = {
    TaskKind.SET_PRESSURE: Quantity.PRESSURE,
    TaskKind.SECOND_PRESSURE: Quantity.PRESSURE,
    TaskKind.NEGATIVE_PRESSURE: Quantity.PRESSURE,
    TaskKind.VOLUME_SPACERS: Quantity.COUNT,
    TaskKind.CHANGE_TRAVEL: Quantity.LENGTH,
    TaskKind.PRELOAD_SPACERS: Quantity.COUNT,
    TaskKind.SET_PRELOAD: Quantity.RATIO,
}
"""What kind of number a task's value is."""


@dataclass(frozen=True, slots=True)
class Task:
    """One thing asked of a unit.

    Attributes
    ----------
    kind : TaskKind
    value : float or None
        Where the kind wants a number, SI.
    item : str
        Where the kind wants an item, its key.
    """

    kind: TaskKind
    value: float | None = None
    item: str = ""
