"""The least cost against the optimum of OR-Tools' CP-SAT."""

from __future__ import annotations

import random
from itertools import count

import pytest

from tests.reference import cp_sat
from tests.reference.units import Work, chains, mirrored
from tests.support.search import searched

PROOF_SECONDS = 5.0
LARGE = 25


def unit(seed: int) -> Work:
    """Work of 10 to 40 steps."""
    draw = random.Random(seed)
    if seed % 3 == 0:
        return chains(
            seed,
            size=draw.randrange(10, 41),
            width=draw.randrange(2, 7),
            tools=draw.randrange(2, 7),
            positions=draw.randrange(2, 4),
        )
    return mirrored(seed, items=draw.randrange(6, 20), tools=draw.randrange(2, 6), positions=draw.randrange(2, 4))


def compared(seed: int) -> int:
    """Steps of the unit if CP-SAT proves it in time and the search agrees; 0 where CP-SAT does not."""
    work = unit(seed)
    optimum = cp_sat.proven_cost(work, seconds=PROOF_SECONDS)
    if optimum is None:
        return 0
    found = searched(work)
    assert found.optimal
    assert found.cost == optimum
    return len(work)


def test_cost_equals_cp_sat_on_a_few_units() -> None:
    sizes = [compared(seed) for seed in range(1, 5)]
    assert sum(size > 0 for size in sizes) >= 3


@pytest.mark.long
def test_cost_equals_cp_sat_on_300_units_100_of_them_large(capsys: pytest.CaptureFixture[str]) -> None:
    kept: list[int] = []
    dropped = 0
    for seed in count(100):
        size = compared(seed)
        dropped += size == 0
        kept += [size] if size else []
        if len(kept) >= 300 and sum(size >= LARGE for size in kept) >= 100:
            break
    large = sum(size >= LARGE for size in kept)
    with capsys.disabled():
        print(f"\n{len(kept) + dropped} drawn, {dropped} dropped, {len(kept)} equal, {large} of {LARGE} or more")  # noqa: T201
