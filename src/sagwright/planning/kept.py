"""Interlocks that a step keeps by how it is done, not by what comes before it."""

from __future__ import annotations

from collections.abc import Iterator

from sagwright.domain.item import Act, Item, Role, ThreadState, Verdict


def rules_of(item: Item, act: Act) -> Iterator[str]:
    """The names of the rules that one act on an item keeps by how it is done."""
    work = item.work(act)
    if item.role is Role.AIR_CHARGE and act is Act.OFF:
        yield "drawn-in"
    if act is Act.INSPECT and any(one.verdict is not Verdict.RENEW for one in item.inspect):
        yield "verdict"
    if act in {Act.OFF, Act.ON} and _is_ring(item):
        yield "retaining-ring"
    if work is not None and work.press is not None:
        yield "pressing"
    if work is not None and work.torque is not None and work.torque.state is ThreadState.COMPOUND:
        yield from ("torque-wet", "torque-once")


def _is_ring(item: Item) -> bool:
    """What holds the spring in without a thread."""
    on = item.work(Act.ON)
    return item.role is Role.CLIP and on is not None and on.torque is None
