"""The least time spent waiting among orders of least price.

The clock runs with the actions' own times. An action begins when the one before it is done and everything it directly
waits for is over; if that is later, the gap between is idle. Only such actions are held: any other may fill the time.

Doing at once what needs no change, as `changes` does, would waste what could fill a wait. It is right only while no
wait can still begin behind the action's back: let j be available, not held, and need no change, and let every action
that starts a wait and is not done be j itself or come after j. In a best rest A j B nothing in A starts a wait. Moved
to the front, j begins no later than before, so what waits for it is free no later; A ends no later than A j did; so B
begins no later, and the idle time is no more. The price is no more either, as proven there.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice

from sagwright.planning.search.changeovers import Changes, WorkState
from sagwright.planning.search.problem import Network, bits

_NEVER = 1 << 62
"""More ticks than any work has."""

MOST_CHAINS = 64
"""Sets of waits that the bound looks at; leaving some out only makes it lower."""


@dataclass(frozen=True, slots=True)
class WaitState:
    """A state of the work, with what is left of every wait [ticks]; 0 for a wait that is over or has not begun."""

    state: WorkState
    left: tuple[int, ...]


class LeastWaiting:
    """Waiting in one network."""

    def __init__(self, network: Network, changes: Changes) -> None:
        self.network = network
        self.changes = changes
        self.waiters = [i for i, wait in enumerate(network.waits) if wait]
        self._waiter_mask = sum(1 << i for i in self.waiters)
        self._failed: dict[WorkState, list[tuple[tuple[int, ...], int, int]]] = {}
        self._times: dict[int, int] = {}
        self._chains = tuple(islice(_chains(self.waiters, network.descendants), MOST_CHAINS))
        self._apart = {
            w: network.full & ~network.descendants[w] & ~network.ancestors[w] & ~(1 << w) for w in self.waiters
        }

    def start(self, state: WorkState) -> WaitState:
        """The moment before anything is done."""
        return WaitState(state, (0,) * len(self.waiters))

    def held(self, moment: WaitState, action: int) -> int:
        """How long an action must still wait [ticks]."""
        before = self.network.before[action]
        rows = zip(self.waiters, moment.left, strict=True)
        return max((left for waiter, left in rows if before >> waiter & 1), default=0)

    def after(self, moment: WaitState, action: int) -> WaitState:
        """The moment when an action is done, which began as soon as it could."""
        done, available, tool, position = moment.state
        done |= 1 << action
        state = (done, self.network.opened(action, done, available), *self.network.mode(action, tool, position))
        if not self.waiters:
            return WaitState(state, ())
        passed = self.held(moment, action) + self.network.ticks[action]
        rows = zip(self.waiters, moment.left, strict=True)
        waits = self.network.waits
        left = tuple(waits[w] if w == action else max(0, rest - passed) for w, rest in rows)
        return WaitState(state, left)

    def least(self, moment: WaitState, price: int) -> int:
        """Least idle time of a rest that costs no more than a price, which must be possible [ticks].

        Raises
        ------
        SpentError
            If the effort is spent before it is proven.
        """
        idle = self.bound(moment)
        while (needed := self.needed(moment, price, idle)) > idle:
            idle = needed
        return idle

    def needed(self, moment: WaitState, price: int, idle: int) -> int:
        """A number not above `idle` if a rest of that price and idle time exists, else what it needs at least."""
        state = moment.state
        if not self.changes.affordable(state, price):
            return _NEVER
        if not state[0] ^ self.network.full or not self._matters(moment):
            return 0
        least = max(self.bound(moment), self._known(moment, price))
        if least > idle:
            return least
        self.changes.effort.one_more()
        found = self._best_option(moment, price, idle)
        if found > idle:
            found = max(found, least)
            self._failed.setdefault(state, []).append((moment.left, price, found))
        return found

    def _best_option(self, moment: WaitState, price: int, idle: int) -> int:
        best = _NEVER
        for action in self._options(moment):
            held = self.held(moment, action)
            following = self.after(moment, action)
            cost = self.network.price(moment.state[2:], following.state[2:])
            if held <= idle and cost <= price:
                best = min(best, held + self.needed(following, price - cost, idle - held))
            elif cost <= price and self.changes.affordable(following.state, price - cost):
                best = min(best, held)
            if best <= idle:
                return best
        return best

    def _options(self, moment: WaitState) -> list[int]:
        """What may be next: one action where that is proven to be right, else all, the most promising first."""
        done, available, tool, position = moment.state
        free = available & self.network.fitting(tool, position)
        starts = self._waiter_mask & ~done
        for action in bits(free):
            if not starts & ~(self.network.descendants[action] | 1 << action) and not self.held(moment, action):
                return [action]
        return sorted(bits(available), key=lambda i: self._promise(moment, i, starts))

    def _promise(self, moment: WaitState, action: int, starts: int) -> tuple[int, int, bool, int]:
        toward = (self.network.descendants[action] | 1 << action) & starts
        mode = self.network.mode(action, *moment.state[2:])
        return (self.held(moment, action), self.network.price(moment.state[2:], mode), not toward, action)

    def _matters(self, moment: WaitState) -> bool:
        """Whether anything can still be held."""
        return bool(self._waiter_mask & ~moment.state[0]) or any(moment.left)

    def bound(self, moment: WaitState) -> int:
        """Idle time that no order avoids.

        Waits that follow one another cannot overlap: together, less all that could be done during any of them.
        """
        left = dict(zip(self.waiters, moment.left, strict=True))
        return max((self._idle_along(chain, left, moment.state[0]) for chain in self._chains), default=0)

    def _idle_along(self, chain: tuple[int, ...], left: dict[int, int], done: int) -> int:
        waiting, meanwhile = 0, 0
        for waiter in chain:
            wait = left[waiter] if done >> waiter & 1 else self.network.waits[waiter]
            if wait:
                waiting += wait
                meanwhile |= self._apart[waiter]
        return max(0, waiting - self._time_of(meanwhile & ~done)) if waiting else 0

    def _time_of(self, mask: int) -> int:
        found = self._times.get(mask)
        if found is None:
            found = self._times[mask] = sum(self.network.ticks[i] for i in bits(mask))
        return found

    def _known(self, moment: WaitState, price: int) -> int:
        """What failures say: with no less to wait for and no more to spend, it needs no less."""
        rows = self._failed.get(moment.state, ())
        return max((need for left, paid, need in rows if price <= paid and _no_less(moment.left, left)), default=0)


def _chains(waiters: list[int], descendants: list[int], under: tuple[int, ...] = ()) -> Iterator[tuple[int, ...]]:
    """Every set of actions that start a wait and follow one another, the first ones first."""
    for waiter in waiters:
        chain = (*under, waiter)
        yield chain
        yield from _chains([other for other in waiters if descendants[waiter] >> other & 1], descendants, chain)


def _no_less(left: tuple[int, ...], other: tuple[int, ...]) -> bool:
    return all(a >= b for a, b in zip(left, other, strict=True))
