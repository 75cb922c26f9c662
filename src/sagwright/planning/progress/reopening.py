"""Work that came to a closed place: what was closed in already is opened once more, and closed again after.

An extra found late may lie under what is on again. Nothing that is done is undone for its own sake: an item is opened
again only where a step that is left needs it off, and then all that was done to close it, and the charge over it, is
left to do once more. A step that is done a second time has its number at the end of its key: "off:lowers:2".
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from sagwright.domain.item import Act, ChargeStage, Role
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Need, Step
from sagwright.errors import OutOfRange
from sagwright.planning.work.scope import base_of


class Reopened:
    """A piece of work with what of it was done, repeats too, and what is left for its unit as it stands.

    Parameters
    ----------
    sheet : Sheet
    by_key : mapping
        Every step of the work, by its key.
    done : sequence of str
        What was done, in its order.
    """

    def __init__(self, sheet: Sheet, by_key: Mapping[str, Step], done: Sequence[str]) -> None:
        self.sheet = sheet
        self.by_key = by_key
        self.times: dict[str, list[tuple[int, str]]] = {}
        for place, key in enumerate(done):
            self.times.setdefault(base_of(key, by_key), []).append((place, key))
        self.holding = {key for key in by_key if self._holds(key)}
        self.closed = {step.item for key, step in by_key.items() if key in self.holding and _closes(step)}
        self.closed &= {step.item for key, step in by_key.items() if key in self.holding and step.act is Act.OFF}
        self.again = self._again()

    def left(self) -> tuple[Step, ...]:
        """The steps that are left, those that were done before under a number, each with its needs.

        Raises
        ------
        OutOfRange
            If one had to come before what is done.
        """
        self._refuse_late()
        pending = {key for key in self.by_key if key in self.again or key not in self.holding}
        if self._lowers_stay:
            pending -= {key for key in self.again if self.by_key[key].stage is ChargeStage.ASSEMBLY}
        names = {key: self._name(key, left=key in pending) for key in self.by_key}
        return tuple(
            replace(step, key=names[key], needs=tuple(self._needs(key, names)))
            for key, step in self.by_key.items()
            if key in pending
        )

    def _last(self, key: str) -> int:
        """Where in the order a step was done last; -1 if it never was."""
        return self.times[key][-1][0] if key in self.times else -1

    def _holds(self, key: str) -> bool:
        """Whether a step was done, and its item did not come off again since."""
        step, last = self.by_key[key], self._last(key)
        undone = step.act is Act.INSPECT or _closes(step)
        return last >= 0 and not (undone and last < self._last(f"{Act.OFF}:{step.item}"))

    def _again(self) -> set[str]:
        """Keys of steps that hold and are to be done once more, so that what is left can be reached."""
        again: set[str] = set()
        pending = [key for key in self.by_key if key not in self.holding]
        while pending:
            step = self.by_key[pending.pop()]
            if step.act in _OPENING:
                covers = [need.step for need in step.needs if self._shut(need.step) and need.step not in again]
                again |= {key for cover in covers for key in (cover, *self._closing(self.by_key[cover].item))}
                pending += covers
        return again

    def _shut(self, key: str) -> bool:
        """Whether a step took off what is closed again."""
        step = self.by_key.get(key)
        return step is not None and step.act is Act.OFF and key in self.holding and step.item in self.closed

    def _closing(self, item: str) -> Iterator[str]:
        """What is done to an item once it is off, until it is on, proven and charged."""
        yield from (key for key, step in self.by_key.items() if step.item == item and _closes(step))
        yield from (key for key, step in self.by_key.items() if step.item == item and step.act is Act.INSPECT)

    def _refuse_late(self) -> None:
        for key, step in self.by_key.items():
            if key not in self.holding or key in self.again:
                continue
            late = [one for one in step.needs if one.step in self.by_key and one.step not in self.holding]
            if late and step.act in (Act.OFF, Act.CHANGE):
                rule = f"comes too late: it had to be done before {key}, by the rule {late[0].rule}"
                remedy = "Leave it out of this work; ask for it when the unit is shut again."
                raise OutOfRange(rule, value=late[0].step, field="task", remedy=remedy)

    @property
    def _lowers_stay(self) -> bool:
        """Whether the lowers were off, are on, and stay on."""
        lowers = [item.key for item in self.sheet.having(Role.LOWERS)]
        return any(key in self.closed and f"{Act.OFF}:{key}" not in self.again for key in lowers)

    def _name(self, key: str, *, left: bool) -> str:
        """What a step is called: numbered where it is done again, as it was done last where it is not."""
        times = self.times.get(key, [])
        if not times:
            return key
        return f"{key}:{len(times) + 1}" if left else times[-1][1]

    def _needs(self, key: str, names: Mapping[str, str]) -> Iterator[Need]:
        """What a step needs; over lowers that stay on, air is let out once more only with every foot fastened."""
        step = self.by_key[key]
        yield from (replace(need, step=names.get(need.step, need.step)) for need in step.needs)
        air = self.sheet.item(step.item).role is Role.AIR_CHARGE
        if air and self._lowers_stay and f"{Act.OFF}:{step.item}" in self.again:
            feet = (f"{Act.ON}:{item.key}" for item in self.sheet.having(Role.FOOT_FASTENER))
            yield from (Need(names[foot], "feet-first") for foot in feet if foot in names)


_OPENING: Final = (Act.OFF, Act.CHANGE, Act.MEASURE)


def _closes(step: Step) -> bool:
    """Whether a step puts its item on, proves it, or charges it."""
    return step.act in (Act.ON, Act.CHECK, Act.CYCLE) or step.stage is not None
