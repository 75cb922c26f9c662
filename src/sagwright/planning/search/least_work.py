"""One order of least work, and the proof of it.

Orders are compared by three aims, one after the other:

1. least cost: the actions' seconds, and a price for every tool taken up and every position turned to;
2. least waiting (`idle`);
3. nearest to an earlier order: compare two orders place by place; where they first differ, the one whose action came
   earlier then is nearer. So the earlier order is kept from the start as long as the first two aims allow. Actions that
   were not in it come after those that were, in the order in which they are given. (To keep the most *pairs* of actions
   in their earlier order would be another measure, but finding that order is NP-hard even where cost is no matter:
   Brandenburg, Gleissner, Hofmeier 2013.)

No two orders are equal in the third, so exactly one is best, and it is found by a walk: at every place take the first
action, in the earlier order, after which the rest can still be done at the least cost and the least waiting.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sagwright.planning.search.changeovers import Changes, PricedPath, WorkState
from sagwright.planning.search.problem import (
    NONE,
    TICKS,
    Action,
    Effort,
    Network,
    Prices,
    SearchLimit,
    SearchResult,
    SpentError,
    StartState,
    bits,
)
from sagwright.planning.search.waiting import LeastWaiting, WaitState

SET_OUT = StartState()
NO_LIMIT = SearchLimit()
AS_PRICED = Prices()


def least_work(
    actions: Sequence[Action],
    *,
    prices: Prices = AS_PRICED,
    held: StartState = SET_OUT,
    earlier: Sequence[str] = (),
    limit: SearchLimit = NO_LIMIT,
) -> SearchResult:
    """The order of least cost, among these of least waiting, among these nearest to an earlier order.

    Parameters
    ----------
    actions : sequence of Action
        In the order that is preferred where nothing else decides.
    prices : Prices
        Not negative; whole milliseconds count.
    held : StartState
        What is at hand at the start.
    earlier : sequence of str
        Keys of an earlier order; keys that are no action are passed over.
    limit : SearchLimit
        When to give up the proof.

    Returns
    -------
    Found
        Proven, or the best found with what no order can be better than.

    Raises
    ------
    NoSolution
        If the actions wait for each other in a circle, or for something that is not there.
    """
    return _Search(Network(actions, prices, earlier), limit, held).found()


@dataclass(frozen=True, slots=True)
class _Order:
    """An order, with a bound of its idle time and whether all of it is proven."""

    numbers: tuple[int, ...]
    idle_bound: int
    optimal: bool


class _Search:
    """One search, from the start to an order."""

    def __init__(self, network: Network, limit: SearchLimit, held: StartState) -> None:
        self.network = network
        self.effort = Effort(limit)
        self.changes = Changes(network, self.effort)
        self.idle = LeastWaiting(network, self.changes)
        mode = (network.tool_names.get(held.tool, NONE), network.position_names.get(held.position, NONE))
        self.start: WorkState = (0, network.available(0), *mode)

    def found(self) -> SearchResult:
        path = self.changes.cheapest(self.start)
        order = self._settle(path)
        idle, tools, positions = self._tally(order.numbers)
        work = sum(self.network.ticks)
        return SearchResult(
            order=tuple(self.network.keys[i] for i in order.numbers),
            cost=(work + path.price) / TICKS,
            bound=(work + path.bound) / TICKS,
            idle=idle / TICKS,
            idle_bound=order.idle_bound / TICKS,
            tool_changes=tools,
            position_changes=positions,
            optimal=order.optimal,
            states=self.effort.states,
        )

    def _settle(self, path: PricedPath) -> _Order:
        """The best order, or one along a path where the effort is spent."""
        moment = self.idle.start(self.start)
        idle = self.idle.bound(moment)
        if path.price > path.bound:
            return _Order(tuple(self._along(path)), idle, optimal=False)
        try:
            idle = self.idle.least(moment, path.price)
            return _Order(tuple(self._walk(path.price, idle)), idle, optimal=True)
        except SpentError:
            return _Order(tuple(self._along(path)), idle, optimal=False)

    def _along(self, path: PricedPath) -> Iterator[int]:
        """The actions of a path, the preferred ones first between two changes."""
        moment = self.idle.start(self.start)
        for mode in path.modes:
            while able := list(bits(moment.state[1] & self.network.fitting(*mode))):
                # as much as can be done before it must wait
                action = min(able, key=lambda i: (self.idle.held(moment, i), i))
                yield action
                moment = self.idle.after(moment, action)

    def _walk(self, price: int, idle: int) -> Iterator[int]:
        moment = self.idle.start(self.start)
        while moment.state[1]:
            action = next(i for i in bits(moment.state[1]) if self._keeps(moment, i, price, idle))
            yield action
            price, idle, moment = self._spent(moment, action, price, idle)

    def _keeps(self, moment: WaitState, action: int, price: int, idle: int) -> bool:
        """Whether the rest after an action can be done for what is left of price and idle time."""
        price, idle, following = self._spent(moment, action, price, idle)
        return idle >= 0 and self.idle.needed(following, price, idle) <= idle

    def _spent(self, moment: WaitState, action: int, price: int, idle: int) -> tuple[int, int, WaitState]:
        following = self.idle.after(moment, action)
        paid = self.network.price(moment.state[2:], following.state[2:])
        return price - paid, idle - self.idle.held(moment, action), following

    def _tally(self, numbers: tuple[int, ...]) -> tuple[int, int, int]:
        """Idle ticks, tools taken up and positions turned to along an order."""
        moment, idle, tools, positions = self.idle.start(self.start), 0, 0, 0
        for action in numbers:
            idle += self.idle.held(moment, action)
            following = self.idle.after(moment, action)
            tools += moment.state[2] != following.state[2]
            positions += moment.state[3] != following.state[3]
            moment = following
        return idle, tools, positions
