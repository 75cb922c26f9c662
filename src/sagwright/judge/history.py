"""What has happened to the unit on the bench: time, what was tightened, what was found, what is in uncertainty."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from sagwright.domain.item import Act, Criterion, Item, Role, ThreadState, Torque, Verdict
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Step


@dataclass(frozen=True, slots=True)
class Tightened:
    """A torque that was done on an item by an act, and has not been undone since."""

    item: str
    act: Act
    torque: Torque


@dataclass(frozen=True, slots=True)
class Curing:
    """An item on which something cures, and until when [s]."""

    item: str
    until: float


@dataclass(frozen=True, slots=True)
class History:
    """What has happened so far.

    Attributes
    ----------
    now : float
        Time since the first step began [s]: the steps' own, and what they wait; a break adds none, for nobody knows
        how long it was.
    begun : bool
        Any step was done.
    tightened : tuple of Tightened
    curing : tuple of Curing
    to_recheck : frozenset of str
        Items whose charge, preload or torque has not been checked again since the last break.
    failed : frozenset of str
        Keys of criteria and records that were not met.
    stopped : tuple of str
        Those of them that end the work.
    stuck_down : bool
        The unit did not pass the proof that it is empty.
    ended : bool
        A verdict was written.
    """

    now: float = 0.0
    begun: bool = False
    tightened: tuple[Tightened, ...] = ()
    curing: tuple[Curing, ...] = ()
    to_recheck: frozenset[str] = frozenset()
    failed: frozenset[str] = frozenset()
    stopped: tuple[str, ...] = ()
    stuck_down: bool = False
    ended: bool = False

    def compound_on(self, item: str) -> bool:
        """Whether an item was tightened with threadlocker and not taken off since."""
        return any(one.item == item and one.torque.state is ThreadState.COMPOUND for one in self.tightened)

    def torque_of(self, item: str) -> Torque | None:
        """The torque an item was tightened with last."""
        return next((one.torque for one in reversed(self.tightened) if one.item == item), None)

    def wet(self, after: float) -> tuple[str, ...]:
        """Items on which something still cures, so long after now."""
        return tuple(one.item for one in self.curing if one.until > self.now + after + _SLACK)


_CHARGES: Final = (Role.AIR_CHARGE, Role.SECOND_CHARGE, Role.NEGATIVE_CHARGE)
"""All charges there are, each with its own proof."""

NOTHING: Final = History()

_SLACK: Final = 1e-3
"""Times that differ by less than this count as equal [s]."""


def advance_history(sheet: Sheet, past: History, step: Step) -> History:
    """What has happened once a step is over."""
    item = sheet.item(step.item)
    if step.act is Act.BREAK:
        return replace(past, to_recheck=_to_recheck(sheet, past))
    now = past.now + step.idle + step.minutes.si
    failed = past.failed | frozenset(step.failed)
    return replace(
        past,
        now=now,
        begun=True,
        tightened=_tightened(past, step),
        curing=_curing(past, step, now),
        to_recheck=past.to_recheck - {step.item} if step.act is Act.MEASURE else past.to_recheck,
        failed=failed,
        stopped=(*past.stopped, *_stopping(item, step)),
        stuck_down=past.stuck_down or (step.act is Act.OFF and item.role in _CHARGES and bool(step.failed)),
        ended=past.ended or step.act is Act.VERDICT,
    )


def _to_recheck(sheet: Sheet, past: History) -> frozenset[str]:
    """After a break: the air, a coil's preload, and every torque that was done."""
    pressed = {item.key for role in (*_CHARGES, Role.PRELOAD) for item in sheet.having(role)} if past.begun else set()
    return past.to_recheck | pressed | {one.item for one in past.tightened}


def _tightened(past: History, step: Step) -> tuple[Tightened, ...]:
    kept = past.tightened
    if step.act is Act.OFF:
        kept = tuple(one for one in kept if one.item != step.item)
    if step.torque is None or step.act not in {Act.ON, Act.CHANGE}:
        return kept
    return (*kept, Tightened(step.item, step.act, step.torque))


def _curing(past: History, step: Step, now: float) -> tuple[Curing, ...]:
    kept = past.curing
    if step.act is Act.OFF:
        kept = tuple(one for one in kept if one.item != step.item)
    return kept if step.waiting is None else (*kept, Curing(step.item, now + step.waiting.si))


def _stopping(item: Item, step: Step) -> tuple[str, ...]:
    """What of a step's findings ends the work: all but what a new part cures, and but the proof of empty."""
    criteria: dict[str, Criterion] = {one.key: one for one in item.inspect}
    cured = {key for key, one in criteria.items() if one.verdict is Verdict.RENEW}
    proof = step.act is Act.OFF and item.role in _CHARGES
    return () if proof else tuple(key for key in step.failed if key not in cured)
