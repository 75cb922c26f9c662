"""Tasks: one thing to do on a unit, how the order of its steps is chosen, and how far the work has come."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Final


class TaskKind(StrEnum):
    """The kinds of task; the first nine take a value."""

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


@dataclass(frozen=True, slots=True)
class Task:
    """One thing to do on a unit.

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


@dataclass(frozen=True, slots=True)
class Ordering:
    """How one order is chosen among all that are allowed.

    Attributes
    ----------
    tool_price, position_price : float
        What taking up other tools, and turning the unit to another position, is priced at [s], not negative.
    earlier : tuple of str
        Keys of an earlier order, kept from its start as long as it costs nothing.
    stop : callable or None
        Asked now and then; true ends the search for a proof. The clock stays with the caller.
    """

    tool_price: float = 30.0
    position_price: float = 60.0
    earlier: tuple[str, ...] = ()
    stop: Callable[[], bool] | None = None


LEAST_WORK: Final = Ordering()


@dataclass(frozen=True, slots=True)
class Progress:
    """How far the work has come, and what was found on the way.

    Attributes
    ----------
    done : tuple of str
        Keys of the steps that were done, in their order, from the first; "break" stands where the work rested.
    found : tuple of (str, float or str)
        What was really there, by field, SI: ("travel_spacers", 2.0), ("pressure", 550e3), ("coil", "firm").
    failed : tuple of str
        Keys of criteria and records that were not met.
    after_break : bool
        Time has passed since the last step, or another person goes on: the same as a "break" at the end of `done`.
    tasks : tuple of Task
        Extras found, that the customer said yes to.
    """

    done: tuple[str, ...] = ()
    found: tuple[tuple[str, float | str], ...] = ()
    failed: tuple[str, ...] = ()
    after_break: bool = False
    tasks: tuple[Task, ...] = ()
