"""The least price of changes of tool and position, proven, and what a rest of the work costs at least.

**What may always be done at once.** Let j be available and need neither another tool nor another position. In a
cheapest rest A j B, move j to the front: j A B. It is a valid order, because all that j waits for is done. Doing j
now costs nothing and leaves tool and position as they are, so A costs what it did. Where j stood, the work now passes
from what is at hand after A straight to B, instead of by way of j. Whether two things differ is a metric (0 or 1),
for tools and for positions each, so passing straight costs no more than going by way of j. Hence j A B is also a
cheapest rest, for any prices that are not negative. So every state is *settled* first, all such actions done; what is
left to choose is the next tool and position, and actions that ask for the same two lead to the same settled state.

This holds for the price of changes, not for waiting (`waiting`), and says nothing of which cheapest order is the
nearest.

**Search.** A* over settled states with a bound from below, the tools and positions that the rest still asks for. Once
it knows the least price C, a state that it reached at price g costs at least C - g from there, for else C were not the
least; `affordable` starts from these bounds and sharpens them as it looks deeper.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass

from sagwright.planning.search.problem import NONE, Effort, Network, SpentError, bits

WorkState = tuple[int, int, int, int]
"""Done and available actions as masks, tool and position at hand."""

BEAM = 64
"""States kept per change when the best order is sought without a proof."""


class Bound:
    """A lower bound on the changes still to be paid.

    Follow one path of the precedence graph. Between two of its actions with tool t that have an action with another
    tool between them, t must be taken up again. So along any path the take-ups of t can be counted, and the most over
    all paths is a number of times that t is taken up. Take-ups of different tools are different changes, so the
    numbers add up over the tools; a change of tool and a change of position are priced apart, so these add up too.
    What is taken up along the paths from an action does not hang on what was done before, so it is counted once, per
    action.

    `__call__` is the bound for a set of available actions and what is at hand.
    """

    def __init__(self, network: Network) -> None:
        self.network = network
        tools = _take_ups(network, network.tools, len(network.tool_names))
        positions = _take_ups(network, network.positions, len(network.position_names))
        self._fresh = [(*t[0], *p[0]) for t, p in zip(tools, positions, strict=True)]
        self._saved = [(*t[1], *p[1]) for t, p in zip(tools, positions, strict=True)]
        self._known: dict[int, tuple[int, list[int], list[int]]] = {}

    def __call__(self, available: int, tool: int, position: int) -> int:
        total, off_tool, off_position = self._known.get(available) or self._learn(available)
        return total - off_tool[tool] - off_position[position]

    def _learn(self, available: int) -> tuple[int, list[int], list[int]]:
        numbers = list(bits(available))
        fresh = _highest([self._fresh[i] for i in numbers])
        held = _highest([self._saved[i] for i in numbers])
        count = len(self.network.tool_names)
        prices = [self.network.tool_price] * count + [self.network.position_price] * (len(fresh) - count)
        off = [price * (f - h) for price, f, h in zip(prices, fresh, held, strict=True)]
        total = sum(price * f for price, f in zip(prices, fresh, strict=True))
        # index NONE is -1, the last entry: nothing at hand saves nothing
        self._known[available] = found = (total, [*off[:count], 0], [*off[count:], 0])
        return found


def _highest(rows: list[tuple[int, ...]]) -> list[int]:
    return list(map(max, *rows)) if len(rows) > 1 else [*rows[0]] if rows else []


def _take_ups(network: Network, needs: list[int], kinds: int) -> list[tuple[list[int], list[int]]]:
    """Per action and kind, the most take-ups along a path from it: when the kind is not at hand, and when it is."""
    found: list[tuple[list[int], list[int]]] = [([], []) for _ in needs]
    for i in reversed([network.number[key] for key in network.sequence]):
        rows = [found[k] for k in network.successors[i]]
        fresh = _highest([tuple(row[0]) for row in rows]) or [0] * kinds
        held = _highest([tuple(row[1]) for row in rows]) or [0] * kinds
        if needs[i] != NONE:
            own = needs[i]
            held, fresh = [*fresh[:own], held[own], *fresh[own + 1 :]], [*fresh[:own], 1 + held[own], *fresh[own + 1 :]]
        found[i] = (fresh, held)
    return found


@dataclass(frozen=True, slots=True)
class PricedPath:
    """A cheapest path that is known: its price, what no path is cheaper than, and its tools and positions in turn."""

    price: int
    bound: int
    modes: tuple[tuple[int, int], ...]


class Changes:
    """Prices of changes in one network."""

    def __init__(self, network: Network, effort: Effort) -> None:
        self.network = network
        self.effort = effort
        self.bound = Bound(network)
        self._reached: dict[WorkState, int] = {}
        self._parent: dict[WorkState, WorkState] = {}
        self._least: dict[WorkState, int] = {}
        self._enough: dict[WorkState, int] = {}
        self._total: int | None = None

    def settled(self, state: WorkState) -> WorkState:
        """The state after everything that needs no change is done."""
        done, available, tool, position = state
        fitting = self.network.fitting(tool, position)
        following = self.network.following
        free = available & fitting
        while free:
            low = free & -free
            done |= low
            available ^= low
            free ^= low
            for bit, needed in following[low.bit_length() - 1]:
                if needed & done == needed:
                    available |= bit
                    free |= bit & fitting
        return done, available, tool, position

    def next_states(self, state: WorkState) -> list[tuple[int, WorkState]]:
        """Every change that is worth making, with its price and the settled state it leads to."""
        done, available, tool, position = state
        network, settled = self.network, self.settled
        tools, positions = network.tools, network.positions
        modes: dict[tuple[int, int], None] = {}
        rest = available
        while rest:
            low = rest & -rest
            rest ^= low
            action = low.bit_length() - 1
            own_tool, own_position = tools[action], positions[action]
            modes[own_tool if own_tool >= 0 else tool, own_position if own_position >= 0 else position] = None
        return [
            (
                (mode[0] != tool) * network.tool_price + (mode[1] != position) * network.position_price,
                settled((done, available, *mode)),
            )
            for mode in modes
        ]

    # the least price from the start

    def cheapest(self, start: WorkState) -> PricedPath:
        """A cheapest path from a state, or the best one found when the effort is spent."""
        start = self.settled(start)
        self._reached = {start: 0}
        queue = [(self._left(start), 0, start)]
        try:
            while queue[0][2][0] != self.network.full:
                self._expand(queue)
        except SpentError:
            return self._best_found(start, lower=queue[0][0])
        self._total = queue[0][0]
        return PricedPath(self._total, self._total, self._modes(queue[0][2]))

    def _expand(self, queue: list[tuple[int, int, WorkState]]) -> None:
        """Look beyond the most promising state; of equals, the one that has paid most, then a fixed one."""
        self.effort.one_more()
        _, paid, state = heapq.heappop(queue)
        known = self._reached[state]
        if known < -paid:
            return
        for price, following in self.next_states(state):
            new = known + price
            if new < self._reached.get(following, new + 1):
                self._reached[following] = new
                self._parent[following] = state
                heapq.heappush(queue, (new + self._left(following), -new, following))

    def _left(self, state: WorkState) -> int:
        return self.bound(*state[1:]) if state[1] else 0

    def _modes(self, state: WorkState) -> tuple[tuple[int, int], ...]:
        found = [state[2:]]
        while state in self._parent:
            state = self._parent[state]
            found.append(state[2:])
        return tuple(reversed(found))

    def _best_found(self, start: WorkState, *, lower: int) -> PricedPath:
        """The best path of a beam of fixed width."""
        beam: list[tuple[int, int, WorkState, tuple[tuple[int, int], ...]]] = [(0, 0, start, (start[2:],))]
        while beam[0][2][0] != self.network.full:
            wider: dict[WorkState, tuple[int, int, WorkState, tuple[tuple[int, int], ...]]] = {}
            for _, paid, state, modes in beam:
                for price, following in self.next_states(state) or [(0, state)]:
                    new = paid + price
                    if following not in wider or new < wider[following][1]:
                        entry = (new + self._left(following), new, following, (*modes, following[2:]))
                        wider[following] = entry
            beam = sorted(wider.values())[:BEAM]
        return PricedPath(beam[0][1], lower, beam[0][3])

    # what a rest costs

    def affordable(self, state: WorkState, price: int) -> bool:
        """Whether the work can be finished from a state at no more than a price.

        Raises
        ------
        SpentError
            If the effort is spent before it is known.
        """
        return self._affordable(self.settled(state), price)

    def _affordable(self, state: WorkState, price: int) -> bool:
        if state[0] == self.network.full or self._enough.get(state, price + 1) <= price:
            return price >= 0
        if self._at_least(state) > price:
            return False
        self.effort.one_more()
        options = [(cost + self._at_least(following), cost, following) for cost, following in self.next_states(state)]
        options.sort(key=lambda option: (option[0], -option[2][0].bit_count(), option[2]))
        for least, cost, following in options:
            if least <= price and self._affordable(following, price - cost):
                self._enough[state] = price
                return True
        self._least[state] = max(
            self._at_least(state), min(cost + self._at_least(following) for _, cost, following in options)
        )
        return False

    def _at_least(self, state: WorkState) -> int:
        known = self._least.get(state)
        if known is None:
            known = self._left(state)
            if self._total is not None and state in self._reached:
                known = max(known, self._total - self._reached[state])
            self._least[state] = known
        return known
