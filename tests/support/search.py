"""The search, asked with the plain numbers of the reference."""

from __future__ import annotations

from sagwright.planning.search.least_work import NO_LIMIT, least_work
from sagwright.planning.search.problem import Action, Prices, SearchLimit, SearchResult
from tests.reference.units import Work


def actions_of(work: Work) -> tuple[Action, ...]:
    return tuple(
        Action(
            key=str(step),
            seconds=work.seconds[step],
            tool=work.tools[step],
            position=work.positions[step],
            after=tuple(str(other) for other in sorted(work.before[step])),
            waiting=work.waits[step],
        )
        for step in range(len(work))
    )


def searched(work: Work, *, earlier: tuple[int, ...] = (), limit: SearchLimit = NO_LIMIT) -> SearchResult:
    return least_work(
        actions_of(work),
        prices=Prices(tool=work.tool_price, position=work.position_price),
        earlier=[str(step) for step in earlier],
        limit=limit,
    )


def numbers(found: SearchResult) -> tuple[int, ...]:
    return tuple(int(key) for key in found.order)
