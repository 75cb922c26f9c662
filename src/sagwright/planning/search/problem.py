"""What is put in order, what an order costs, and what a search answers; and the same as numbers and bit masks.

A state of the work is one integer, a bit for each action that is done. How much a search has looked at, and when that
is enough, is counted here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter

from sagwright.errors import NoSolution

TICKS = 1000
"""Ticks per second: sums of ticks are exact, sums of seconds are not."""

NONE = -1
"""No tool, or no position."""

ASK_EVERY = 256


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
class StartState:
    """The tool at hand and the position of the unit at the start; empty for none yet."""

    tool: str = ""
    position: str = ""


@dataclass(frozen=True, slots=True)
class SearchLimit:
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
class SearchResult:
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
    optimal : bool
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
    optimal: bool
    states: int


class Network:
    """A set of actions, numbered in the order they are to be preferred in.

    Attributes
    ----------
    keys : tuple of str
    ticks, waits : list of int
    tools, positions : list of int
        Numbers of tools and positions; `NONE` where an action needs none.
    before : list of int
        Mask of the actions directly before each.
    following : list of list of (int, int)
        For each action, those that name it: their own bit, and the mask of all that they wait for.

    Raises
    ------
    NoSolution
        If actions wait for each other in a circle, or one waits for an action that is not there.
    """

    def __init__(self, actions: Sequence[Action], prices: Prices, earlier: Sequence[str] = ()) -> None:
        self.actions = _ranked(actions, earlier)
        self.keys = tuple(action.key for action in self.actions)
        self.number = {key: number for number, key in enumerate(self.keys)}
        self.ticks = [round(action.seconds * TICKS) for action in self.actions]
        self.tool_names = _names(action.tool for action in self.actions)
        self.position_names = _names(action.position for action in self.actions)
        self.tools = [self.tool_names.get(action.tool, NONE) for action in self.actions]
        self.positions = [self.position_names.get(action.position, NONE) for action in self.actions]
        self.tool_price = round(prices.tool * TICKS)
        self.position_price = round(prices.position * TICKS)
        self.full = (1 << len(self.keys)) - 1
        self._link()
        self._fitting: dict[tuple[int, int], int] = {}

    def _link(self) -> None:
        self.before = [self._mask(action) for action in self.actions]
        self.sequence = _valid_sequence(self.actions)
        self.successors = [[k for k, mask in enumerate(self.before) if mask >> i & 1] for i in range(len(self.keys))]
        self.following = [[(1 << k, self.before[k]) for k in found] for found in self.successors]
        self.descendants = [0] * len(self.keys)
        self.ancestors = [0] * len(self.keys)
        for i in reversed([self.number[key] for key in self.sequence]):
            for k in self.successors[i]:
                self.descendants[i] |= 1 << k | self.descendants[k]
        for i in range(len(self.keys)):
            self.ancestors[i] = sum(1 << k for k, mask in enumerate(self.descendants) if mask >> i & 1)
        self.waits = [
            round(action.waiting * TICKS) if self.successors[i] else 0 for i, action in enumerate(self.actions)
        ]

    def _mask(self, action: Action) -> int:
        missing = [key for key in action.after if key not in self.number]
        if missing:
            raise NoSolution(f"{action.key} waits for {missing[0]}, which is not among the actions")
        return sum({1 << self.number[key] for key in action.after})

    def available(self, done: int) -> int:
        """Mask of the actions that are not done and wait for nothing undone."""
        return sum(1 << i for i, mask in enumerate(self.before) if not done >> i & 1 and mask & done == mask)

    def fitting(self, tool: int, position: int) -> int:
        """Mask of the actions that need neither another tool nor another position."""
        found = self._fitting.get((tool, position))
        if found is None:
            pairs = enumerate(zip(self.tools, self.positions, strict=True))
            found = sum(1 << i for i, (t, p) in pairs if t in {NONE, tool} and p in {NONE, position})
            self._fitting[tool, position] = found
        return found

    def mode(self, action: int, tool: int, position: int) -> tuple[int, int]:
        """Tool and position during an action that begins with these at hand."""
        own_tool, own_position = self.tools[action], self.positions[action]
        return (tool if own_tool == NONE else own_tool, position if own_position == NONE else own_position)

    def price(self, before: tuple[int, int], after: tuple[int, int]) -> int:
        """Price of going from one tool and position to another [ticks]."""
        return (before[0] != after[0]) * self.tool_price + (before[1] != after[1]) * self.position_price

    def opened(self, action: int, done: int, available: int) -> int:
        """What is available once an available action is done, `done` holding it already."""
        available &= ~(1 << action)
        for bit, needed in self.following[action]:
            if needed & done == needed:
                available |= bit
        return available


def bits(mask: int) -> Iterator[int]:
    """Numbers of the bits that are set, ascending."""
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low


def _ranked(actions: Sequence[Action], earlier: Sequence[str]) -> list[Action]:
    """Actions of the earlier order as they stood there, then the others as they are given."""
    place = {key: number for number, key in enumerate(earlier)}
    return sorted(actions, key=lambda action: place.get(action.key, len(place)))


def _names(words: Iterable[str]) -> dict[str, int]:
    return {word: number for number, word in enumerate(sorted({word for word in words if word}))}


def _valid_sequence(actions: Sequence[Action]) -> tuple[str, ...]:
    sorter = TopologicalSorter({action.key: action.after for action in actions})
    try:
        return tuple(sorter.static_order())
    except CycleError as error:
        circle = ", ".join(error.args[1])
        raise NoSolution(f"the order goes in a circle: {circle}") from error


class SpentError(Exception):
    """The limit of a search is reached; never leaves this package."""


class Effort:
    """Counts states against a limit."""

    def __init__(self, limit: SearchLimit) -> None:
        self.limit = limit
        self.states = 0

    def one_more(self) -> None:
        """Count a state.

        Raises
        ------
        SpentError
            If the limit is reached.
        """
        self.states += 1
        if self.states > self.limit.states:
            raise SpentError
        if self.limit.stop is not None and self.states % ASK_EVERY == 0 and self.limit.stop():
            raise SpentError
