"""The best order by trying every valid one: cost, then waiting, then the earlier order place by place."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from tests.reference.units import Work


def orders(work: Work, done: tuple[int, ...] = ()) -> Iterator[tuple[int, ...]]:
    """Every valid order."""
    if len(done) == len(work):
        yield done
        return
    for step in range(len(work)):
        if step not in done and work.before[step] <= set(done):
            yield from orders(work, (*done, step))


def count(work: Work) -> int:
    """How many valid orders there are."""

    @cache
    def ways(done: frozenset[int]) -> int:
        able = [step for step in range(len(work)) if step not in done and work.before[step] <= done]
        return sum(ways(done | {step}) for step in able) if able else 1

    return ways(frozenset())


def cost(work: Work, order: tuple[int, ...]) -> int:
    """Seconds of all steps, and the prices of every tool taken up and position turned to."""
    total, tool, position = sum(work.seconds), "", ""
    for step in order:
        if work.tools[step] and work.tools[step] != tool:
            total += work.tool_price
            tool = work.tools[step]
        if work.positions[step] and work.positions[step] != position:
            total += work.position_price
            position = work.positions[step]
    return total


def idle(work: Work, order: tuple[int, ...]) -> int:
    """Seconds between steps in which nothing is done, each step starting as soon as it can."""
    clock, total = 0, 0
    ends: dict[int, int] = {}
    for step in order:
        start = max([clock, *(ends[other] + work.waits[other] for other in work.before[step])])
        total += start - clock
        clock = ends[step] = start + work.seconds[step]
    return total


def best(work: Work, earlier: tuple[int, ...]) -> tuple[int, int, tuple[int, ...]]:
    """Least cost, least idle time at that cost, and the order that keeps the earlier one longest."""
    rank = {step: place for place, step in enumerate(earlier)}
    ranked = [rank.get(step, len(earlier) + step) for step in range(len(work))]

    def aims(order: tuple[int, ...]) -> tuple[int, int, tuple[int, ...]]:
        return cost(work, order), idle(work, order), tuple(ranked[step] for step in order)

    order = min(orders(work), key=aims)
    return cost(work, order), idle(work, order), order
