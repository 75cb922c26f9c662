"""Steps in the order of least work, what is known of that order, and when each step can begin while something cures."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import lru_cache
from typing import Final

from sagwright.domain.item import Act
from sagwright.domain.step import Sequence, Step
from sagwright.domain.task import LEAST_WORK, Ordering
from sagwright.planning.search.least_work import least_work
from sagwright.planning.search.problem import Action, Prices, SearchLimit, SearchResult, StartState

MOST_STATES: Final = 20_000
"""States after which a plan goes without its whole proof: about two seconds of search."""

MOST_STATES_UNTIL_STOPPED: Final = 150_000
"""States after which a plan goes without its whole proof where the caller stops the search."""

REMEMBERED: Final = 32
"""Orders that need not be searched again: what a wish chooses seldom changes what comes before what."""


def timed(steps: Iterable[Step]) -> tuple[Step, ...]:
    """The steps in their order, each with how long it has to wait for what it needs [s]."""
    return tuple(step for step, _ in _clock(steps))


def curing(done: Iterable[Step]) -> tuple[tuple[str, float], ...]:
    """Steps whose waiting is not over when the last one ends, and how long it still lasts [s]."""
    clock = list(_clock(done))
    if not clock:
        return ()
    now = clock[-1][1]
    ends = ((step, end + step.waiting.si - now) for step, end in clock if step.waiting is not None)
    return tuple((step.key, left) for step, left in ends if left > 0.0)


def _clock(steps: Iterable[Step]) -> Iterator[tuple[Step, float]]:
    """Each step with its wait, and when it ends [s]; a break counts for nothing, nobody knows how long it was."""
    ready: dict[str, float] = {}
    now = 0.0
    for step in steps:
        begin = max([now, *(ready[need.step] for need in step.needs if need.step in ready)])
        end = begin + (0.0 if step.act is Act.BREAK else step.minutes.si)
        yield replace(step, idle=begin - now), end
        now = end
        if step.waiting is not None:
            ready[step.key] = now + step.waiting.si


def sequenced(
    steps: tuple[Step, ...], ordering: Ordering = LEAST_WORK, *, done: tuple[Step, ...] = (), last: Step | None = None
) -> tuple[tuple[Step, ...], Sequence | None]:
    """The steps in the order of least work, and how good that order is; None where there are no steps.

    Parameters
    ----------
    steps : tuple of Step
        In the order that is preferred where nothing else decides.
    ordering : Ordering
    done : tuple of Step
        What was done before; what of it still cures is waited for.
    last : Step or None
        What was done last, if nobody has put down its tools and turned the unit since.

    Raises
    ------
    NoSolution
        If the sheet's order goes in a circle.
    """
    if not steps:
        return (), None
    held = StartState() if last is None else StartState(_tools(last), last.position)
    wet = [Action(key, 0.0, held.tool, held.position, waiting=left) for key, left in curing(done)]
    keys = {step.key for step in steps} | {action.key for action in wet}
    found = _searched((*wet, *(_action(step, keys) for step in steps)), held, ordering)
    by_key = {step.key: step for step in steps}
    sequence = Sequence(
        cost=found.cost,
        bound=found.bound,
        idle=found.idle,
        idle_bound=found.idle_bound,
        tool_changes=found.tool_changes,
        position_changes=found.position_changes,
        tool_price=ordering.tool_price,
        position_price=ordering.position_price,
        optimal=found.optimal,
    )
    order = tuple(by_key[key] for key in found.order if key in by_key)
    return timed((*done, *order))[len(done) :], sequence


def _searched(actions: tuple[Action, ...], held: StartState, ordering: Ordering) -> SearchResult:
    prices = Prices(ordering.tool_price, ordering.position_price)
    if ordering.stop is None:
        return least_work_from(actions, prices, held, ordering.earlier)
    limit = SearchLimit(MOST_STATES_UNTIL_STOPPED, ordering.stop)
    return least_work(actions, prices=prices, held=held, earlier=ordering.earlier, limit=limit)


@lru_cache(maxsize=REMEMBERED)
def least_work_from(
    actions: tuple[Action, ...], prices: Prices, held: StartState, earlier: tuple[str, ...]
) -> SearchResult:
    """The order of least work, remembered: the same actions have the same."""
    return least_work(actions, prices=prices, held=held, earlier=earlier, limit=SearchLimit(MOST_STATES))


def _action(step: Step, keys: set[str]) -> Action:
    """A step as the search sees it; all tools of a step are taken up as one set."""
    return Action(
        key=step.key,
        seconds=step.minutes.si,
        tool=_tools(step),
        position=step.position,
        after=tuple(dict.fromkeys(need.step for need in step.needs if need.step in keys)),
        waiting=step.waiting.si if step.waiting else 0.0,
    )


def _tools(step: Step) -> str:
    return " + ".join(sorted(f"{tool.name} {tool.size}" for tool in step.tools))
