"""When each step can begin, so that nothing loads what still cures."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from sagwright.domain.item import Act
from sagwright.domain.step import Step


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
