"""Random work to put in order, drawn from a seed, as plain numbers."""

from __future__ import annotations

import random
from dataclasses import dataclass


@dataclass(frozen=True)
class Work:
    """Steps by number: seconds, tool and position ("" for none), direct predecessors, waits; and prices [s]."""

    seconds: tuple[int, ...]
    tools: tuple[str, ...]
    positions: tuple[str, ...]
    before: tuple[frozenset[int], ...]
    waits: tuple[int, ...]
    tool_price: int = 30
    position_price: int = 60

    def __len__(self) -> int:
        return len(self.seconds)


def chains(seed: int, *, size: int, width: int, tools: int = 6, positions: int = 3, waits: int = 0) -> Work:
    """So many steps on so many chains, with some ties between them."""
    draw = random.Random(seed)
    last: dict[int, int] = {}
    before: list[set[int]] = [set() for _ in range(size)]
    for step in range(size):
        chain = draw.randrange(width)
        if chain in last:
            before[step].add(last[chain])
        last[chain] = step
        if step and draw.random() < 0.3:
            before[step].add(draw.randrange(max(0, step - 12), step))
    return _furnished(draw, before, tools=tools, positions=positions, waits=waits)


def mirrored(seed: int, *, items: int, tools: int = 5, positions: int = 3, waits: int = 0) -> Work:
    """Items that cover each other, each taken off and fitted again in the mirrored order."""
    draw = random.Random(seed)
    before: list[set[int]] = [set() for _ in range(2 * items)]
    for item in range(items):
        on = 2 * items - 1 - item
        before[on].add(item)
        for _ in range(draw.choice([1, 1, 2]) if item else 0):
            cover = draw.randrange(max(0, item - 5), item)
            before[item].add(cover)
            before[2 * items - 1 - cover].add(on)
    work = _furnished(draw, before, tools=tools, positions=positions, waits=waits)
    halves = [*range(items), *reversed(range(items))]
    return Work(
        work.seconds,
        tuple(work.tools[half] for half in halves),
        tuple(work.positions[half] for half in halves),
        work.before,
        work.waits,
    )


def _furnished(draw: random.Random, before: list[set[int]], *, tools: int, positions: int, waits: int) -> Work:
    size = len(before)
    waiting = set(draw.sample(range(size), waits))
    return Work(
        seconds=tuple(draw.randrange(1, 9) * 30 for _ in range(size)),
        tools=tuple(draw.choice(["", *(f"t{n}" for n in range(tools))]) for _ in range(size)),
        positions=tuple(draw.choice(["", *(f"p{n}" for n in range(positions))]) for _ in range(size)),
        before=tuple(frozenset(found) for found in before),
        waits=tuple(draw.randrange(1, 12) * 60 if step in waiting else 0 for step in range(size)),
    )
