"""The search against every valid order, all three aims, on work small enough to try them all."""

from __future__ import annotations

import random

import pytest

from tests.reference import brute_force
from tests.reference.units import Work, chains, mirrored
from tests.support.search import numbers, searched

MOST_ORDERS = 5000


def small(seed: int) -> Work:
    """Work of 2 to 12 steps, about half of it with one or two waits."""
    draw = random.Random(seed)
    size = draw.randrange(2, 13)
    waits = min(draw.choice([0, 1, 1, 2]), size)
    if seed % 2:
        return chains(
            seed,
            size=size,
            width=draw.randrange(1, 5),
            tools=draw.randrange(1, 5),
            positions=draw.randrange(1, 4),
            waits=waits,
        )
    return mirrored(seed, items=size // 2, tools=3, positions=2, waits=min(waits, size // 2 * 2))


def part_of_an_order(work: Work, seed: int) -> tuple[int, ...]:
    """Some steps in an order that need not be valid any more."""
    draw = random.Random(-seed)
    steps = list(range(len(work)))
    draw.shuffle(steps)
    return tuple(steps[: draw.randrange(len(work) + 1)])


def agrees(seed: int) -> bool:
    """Compare one unit; false where it has too many orders to try."""
    work = small(seed)
    if brute_force.count(work) > MOST_ORDERS:
        return False
    earlier = part_of_an_order(work, seed)
    found = searched(work, earlier=earlier)
    assert found.optimal
    assert (found.cost, found.idle, numbers(found)) == brute_force.best(work, earlier)
    assert (found.bound, found.idle_bound) == (found.cost, found.idle)
    return True


def test_cost_waiting_and_nearness_equal_brute_force() -> None:
    compared = [agrees(seed) for seed in range(200)]
    assert sum(compared) >= 190


@pytest.mark.long
def test_many_more_equal_brute_force() -> None:
    compared = [agrees(seed) for seed in range(1000, 6000)]
    assert sum(compared) >= 4700


def test_the_small_units_are_worth_comparing() -> None:
    units = [small(seed) for seed in range(200)]
    bests = [brute_force.best(work, ()) for work in units if brute_force.count(work) <= 500]
    assert sum(idle > 0 for _, idle, _ in bests) >= 30
    assert sum(len(work) >= 10 for work in units) >= 40
