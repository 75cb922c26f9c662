"""What is put in order, what an order costs, and what a search answers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Action:
    """One thing to do, as the search sees it.

    Attributes
    ----------
    key : str
    seconds : float
        How long it takes [s].
    tool : str
        Empty where none is needed: what is at hand stays at hand.
    position : str
        How the unit is held; empty where any position will do.
    after : tuple of str
        Keys of the actions that must be done before it.
    waiting : float
        Time [s] that must pass after it before anything that names it in `after` begins.
    """

    key: str
    seconds: float
    tool: str = ""
    position: str = ""
    after: tuple[str, ...] = ()
    waiting: float = 0.0


@dataclass(frozen=True, slots=True)
class Prices:
    """What taking up another tool, and turning the unit to another position, is priced at [s]."""

    tool: float = 30.0
    position: float = 60.0


@dataclass(frozen=True, slots=True)
class Held:
    """The tool at hand and the position of the unit at the start; empty for none yet."""

    tool: str = ""
    position: str = ""


@dataclass(frozen=True, slots=True)
class Limit:
    """When a search gives up its proof.

    Attributes
    ----------
    states : int
        After so many states; the same on every machine.
    stop : callable or None
        Asked every few hundred states; true ends the search. A limit in time is one: the clock stays with the caller,
        and then the answer may differ from one run to the next.
    """

    states: int = 1_000_000
    stop: Callable[[], bool] | None = None


@dataclass(frozen=True, slots=True)
class Found:
    """An order and how good it is.

    Attributes
    ----------
    order : tuple of str
        Keys of the actions.
    cost, bound : float
        What it costs, and what no order can cost less than [s]: all actions' seconds, and a price for every tool taken
        up and every position turned to, the first ones included.
    idle, idle_bound : float
        Time spent waiting, and what no order of that cost can wait less than [s].
    tool_changes, position_changes : int
    proven : bool
        Least cost, then least waiting, then nearest to the earlier order: all three proven.
    states : int
        How many the search looked at.
    """

    order: tuple[str, ...]
    cost: float
    bound: float
    idle: float
    idle_bound: float
    tool_changes: int
    position_changes: int
    proven: bool
    states: int
