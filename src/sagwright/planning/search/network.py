"""Actions as numbers and bit masks, so that a state of the work is one integer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from graphlib import CycleError, TopologicalSorter

from sagwright.errors import NoSolution
from sagwright.planning.search.actions import Action, Prices

TICKS = 1000
"""Ticks per second: sums of ticks are exact, sums of seconds are not."""

NONE = -1
"""No tool, or no position."""


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
