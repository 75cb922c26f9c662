"""Steps put in the order of least work, by the search, and what is known of that order."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from sagwright.domain.step import Sequence, Step
from sagwright.domain.task import LEAST_WORK, Ordering
from sagwright.planning.search.actions import Action, Found, Held, Limit, Prices
from sagwright.planning.search.least_work import least_work
from sagwright.planning.timing import curing, timed

MOST_STATES: Final = 20_000
"""States after which a plan goes without its whole proof: about two seconds of search."""

MOST_ASKED: Final = 150_000
"""The same where the caller says when it is enough."""

REMEMBERED: Final = 32
"""Orders that need not be searched again: what a wish chooses seldom changes what comes before what."""


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
    held = Held() if last is None else Held(_tools(last), last.position)
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
        proven=found.proven,
    )
    order = tuple(by_key[key] for key in found.order if key in by_key)
    return timed((*done, *order))[len(done) :], sequence


def _searched(actions: tuple[Action, ...], held: Held, ordering: Ordering) -> Found:
    prices = Prices(ordering.tool_price, ordering.position_price)
    if ordering.stop is None:
        return least_work_again(actions, prices, held, ordering.earlier)
    limit = Limit(MOST_ASKED, ordering.stop)
    return least_work(actions, prices=prices, held=held, earlier=ordering.earlier, limit=limit)


@lru_cache(maxsize=REMEMBERED)
def least_work_again(actions: tuple[Action, ...], prices: Prices, held: Held, earlier: tuple[str, ...]) -> Found:
    """The order of least work, remembered: the same actions have the same."""
    return least_work(actions, prices=prices, held=held, earlier=earlier, limit=Limit(MOST_STATES))


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
