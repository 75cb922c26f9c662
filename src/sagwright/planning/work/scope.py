"""The scope of a piece of work: which items come off, change, are looked at or read; and what every step starts from.

What comes off is the closure of what covers the items to change, and what a task wants seen, renewed, filled anew or
read for its own sake. Interlocks that a step keeps by how it is done, not by what comes before it, are named here too.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Final

from sagwright.domain.item import Act, ChargeStage, Item, ItemWork, Role, ThreadState, Verdict
from sagwright.domain.setup import Change, Setup
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Need, Step
from sagwright.domain.task import Task, TaskKind
from sagwright.errors import Defect, OutOfRange
from sagwright.planning.spring.valves import due_among, valve_charges_of
from sagwright.planning.work.readings import within_gauge

ROLE_OF = {
    "travel_spacers": Role.TRAVEL_SPACERS,
    "port_position": Role.TRANSFER_PORT,
    "shaft_travel": Role.AIR_SHAFT,
    "volume_spacers": Role.VOLUME_SPACERS,
    "top_out_spacers": Role.TOP_OUT_SPACERS,
    "coil": Role.COIL,
    "preload_spacers": Role.PRELOAD_SPACERS,
    "adjuster": Role.PRELOAD,
    "legs": Role.LOWER_LEG_OIL,
    "charge": Role.AIR_CHARGE,
}
"""Which items a change concerns."""

HELD_IN = (Role.AIR_CAP, Role.RETAINING_RING, Role.AIR_SHAFT, Role.FOOT_FASTENER, Role.FOOT_SEAT)
"""What may not come off before the unit is confirmed empty."""

UNDER_THE_COIL = (Role.RETAINING_RING, Role.SPRING_SHAFT)
"""What a coil in its place presses out of the stanchion."""

CLOSES = (Role.AIR_CAP, Role.AIR_SHAFT, Role.RETAINING_RING)
"""What must be on before any charge goes in."""

CHARGED = tuple(f"{Act.CHARGE}:{stage}" for stage in (ChargeStage.RIDING, ChargeStage.FINAL))
"""Beginnings of the steps after which the charge to ride with is in."""

READINGS = (Role.CHARGED_READING, Role.EMPTY_READING)
"""What is measured for its own sake, on a unit that is still shut."""

SERVED_ROLES: Final = {
    TaskKind.LOWER_LEGS: (Role.LOWERS, Role.LOWER_LEG_OIL),
    TaskKind.AIR_SPRING: (Role.AIR_CAP, Role.AIR_SHAFT),
    TaskKind.MEASURE: READINGS,
    TaskKind.COIL_SPRING: (Role.SPRING_CAP, Role.COIL),
}
SERVED_KEYS: Final = {TaskKind.DAMPER: ("damper",), TaskKind.WIPERS: ("wipers", "foam_rings")}
"""What comes off for its own sake, by role or by the key that a sheet gives it."""


def rules_of(item: Item, act: Act) -> Iterator[str]:
    """The names of the rules that one act on an item keeps by how it is done."""
    work = item.work(act)
    if item.role is Role.AIR_CHARGE and act is Act.OFF:
        yield "stuck-down"
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
    return item.role is Role.RETAINING_RING and on is not None and on.torque is None


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the tasks of one piece of work come to.

    Attributes
    ----------
    sheet : Sheet
    changes : tuple of Change
    pressure_gauge : float or None
        The riding pressure [Pa]; None where it is decided at the bench.
    travel_change : float or None
        Target's travel less as found's [m]; None while nobody knows.
    served : tuple of str
        Keys of the items that come off for their own sake: to be looked at, renewed, or filled anew; and of readings.
    found_gauge : float or None
        The charge as found [Pa], where it is known.
    own : tuple of (str, float)
        What each chamber with a valve of its own is charged to, by its field in `Charge`, gauge [Pa].
    preload : Change or None
        Where a preload adjuster stands and is to stand; None where there is none.
    """

    sheet: Sheet
    changes: tuple[Change, ...]
    pressure_gauge: float | None
    travel_change: float | None
    served: tuple[str, ...] = ()
    found_gauge: float | None = None
    own: tuple[tuple[str, float], ...] = ()
    preload: Change | None = None


def preload_change(before: Setup, after: Setup) -> Change | None:
    """Where the preload adjuster of a coil fork stands and is to stand, the same perhaps; None where there is none."""
    if before.fitting is None or after.fitting is None:
        return None
    return Change("adjuster", before.fitting.adjuster, after.fitting.adjuster)


class TaskScope:
    """What is asked of a sheet's items."""

    def __init__(self, wanted: Wanted) -> None:
        self.wanted = wanted
        self.sheet = wanted.sheet
        self.changes = {
            item.key: tuple(change for change in wanted.changes if ROLE_OF[change.field] is item.role)
            for item in self.sheet.items
            if item.work(Act.CHANGE) is not None
        }
        self.changed = {key for key, changes in self.changes.items() if changes}
        self.due = due_among(wanted.sheet, wanted.changes)
        self.off = self._closure()
        self.read = {key: step for key in wanted.served if (step := self._reading(self.sheet.item(key))) is not None}
        charged = any(change.field == "charge" for change in wanted.changes)
        self.charged = charged or any(item.key in self.off for item in self.sheet.having(Role.AIR_CHARGE))

    def _closure(self) -> set[str]:
        """Keys of the items that come off: all that covers what changes or is served, oils renewed, a preload set."""
        roles = {ROLE_OF[change.field] for change in self.wanted.changes}
        anew = (Role.LOWER_LEG_OIL, Role.PRELOAD)
        renewed = [item.key for role in anew if role in roles for item in self.sheet.having(role)]
        pending = [*renewed, *self.changed, *self.wanted.served]
        pending += [self._air.key for own in self.due if own.first]
        seen: set[str] = set()
        while pending:
            key = pending.pop()
            if key not in seen:
                seen.add(key)
                pending.extend(self.sheet.item(key).covered_by)
        _sent_out(self.sheet, seen)
        seen |= set(self._emptied_with(seen))
        seen |= {item.key for item in self.sheet.having(Role.READINGS)}
        return {key for key in seen if self.sheet.item(key).work(Act.OFF) is not None}

    def _emptied_with(self, off: set[str]) -> Iterator[str]:
        """Chambers with a valve of their own: all where what holds gas in is opened, and what is charged after the
        main one wherever that is let out."""
        opened = any(self.sheet.item(key).role in HELD_IN for key in off)
        let_out = any(self.sheet.item(key).role is Role.AIR_CHARGE for key in off)
        yield from (own.item.key for own in valve_charges_of(self.sheet) if opened or (let_out and not own.first))

    def _covers(self, item: Item) -> Iterator[Item]:
        """What covers an item and comes off, through anything that has no step of its own."""
        for key in item.covered_by:
            cover = self.sheet.item(key)
            if key in self.off:
                yield cover
            else:
                yield from self._covers(cover)

    # readings that are taken for their own sake

    def _reading(self, item: Item) -> Step | None:
        """The step that takes a reading; None for other items, and where its gauge does not bear the press."""
        work = item.work(Act.MEASURE)
        if work is None or item.role not in READINGS:
            return None
        step = self._step(item, Act.MEASURE, needs=())
        if work.press is None:
            return step
        found = self.wanted.found_gauge
        highest = self.sheet.air.pressure_gauge.high
        pressed = within_gauge(self.sheet, highest if found is None else found, work.press)
        if pressed is None:
            return None
        press, peak = pressed
        return replace(step, press=press, pressure_gauge=peak, do=step.do.replace("{share}", f"{press.share:.0%}"))

    def _measured(self, item: Item) -> Step:
        needs = [Need(key_of(Act.OFF, cover), "covered") for cover in self._covers(item)]
        needs += [Need(self.read[key].key, "extra-order") for key in item.after if key in self.read]
        return replace(self.read[item.key], needs=tuple(dict.fromkeys(needs)))

    def _read_before(self, item: Item) -> Iterator[Need]:
        """Readings that this would spoil when it comes off."""
        if item.role is Role.AIR_CHARGE:
            yield from self._reads(Role.CHARGED_READING)
        if item.role in (*HELD_IN, Role.LOWERS):
            yield from self._reads(Role.EMPTY_READING)

    def _reads(self, *roles: Role) -> Iterator[Need]:
        for key, step in self.read.items():
            if self.sheet.item(key).role in roles:
                yield Need(step.key, "reading-state")

    # charging

    @property
    def _airs(self) -> tuple[Item, ...]:
        """The charge; nothing in a coil fork."""
        return self.sheet.having(Role.AIR_CHARGE)[:1]

    @property
    def _air(self) -> Item:
        return self._airs[0]

    # what all steps share

    def _offs(self, rule: str, *roles: Role) -> Iterator[Need]:
        yield from (Need(key_of(Act.OFF, item), rule) for item in self._in_work(roles))

    def _ons(self, rule: str, *roles: Role) -> Iterator[Need]:
        yield from (Need(key_of(Act.ON, item), rule) for item in self._in_work(roles) if item.work(Act.ON) is not None)

    def _in_work(self, roles: Iterable[Role]) -> Iterator[Item]:
        yield from (item for role in roles for item in self.sheet.having(role) if item.key in self.off)

    def _step(self, item: Item, act: Act, *, needs: Iterable[Need], **more: object) -> Step:
        work = item.work(act) or _missing(item, act)
        return Step(
            key=key_of(act, item),
            act=act,
            item=item.key,
            name=item.name,
            do=work.do,
            position=work.position,
            minutes=work.minutes,
            needs=tuple(dict.fromkeys(needs)),
            tools=work.tools,
            torque=work.torque,
            fluid=work.fluid,
            cautions=work.cautions,
            hold_point=work.hold_point,
            records=work.records,
            waiting=work.waiting,
            rules=tuple(rules_of(item, act)),
            **more,  # type: ignore[arg-type]
        )


def _sent_out(sheet: Sheet, keys: set[str]) -> None:
    """Gas with a release of its own is not let out here."""
    for item in sheet.having(Role.GAS_CHAMBER):
        if item.key in keys:
            remedy = "Send the unit out to who has its release and its manual."
            raise OutOfRange("must not be opened at an ordinary bench", value=item.name, field="task", remedy=remedy)


def _missing(item: Item, act: Act) -> ItemWork:
    raise Defect(f"item {item.key} has no work for {act}")


def key_of(act: Act, item: Item) -> str:
    """The key of a step."""
    return f"{act}:{item.key}"


def charge_key(stage: ChargeStage, item: Item) -> str:
    """The key of a charging step."""
    return f"{Act.CHARGE}:{stage}:{item.key}"


def served_keys(sheet: Sheet, tasks: Iterable[Task]) -> tuple[str, ...]:
    """Keys of the items that come off for the tasks' own sake, each once.

    Raises
    ------
    OutOfRange
        As `served_by`.
    """
    return tuple(dict.fromkeys(item.key for task in tasks for item in served_by(sheet, task)))


def is_opened(sheet: Sheet, tasks: Iterable[Task], role: Role) -> bool:
    """Whether anything of a role comes off for the tasks: served itself, or over what is."""
    pending, seen = [*served_keys(sheet, tasks)], set()
    while pending:
        key = pending.pop()
        if key not in seen:
            seen.add(key)
            pending.extend(sheet.item(key).covered_by)
    return any(item.key in seen for item in sheet.having(role))


def served_by(sheet: Sheet, task: Task) -> Iterator[Item]:
    """The items that come off for a task's own sake.

    Raises
    ------
    OutOfRange
        If the sheet has nothing for a task that needs something.
    """
    roles, keys = SERVED_ROLES.get(task.kind, ()), SERVED_KEYS.get(task.kind, ())
    if task.kind is TaskKind.INSPECT:
        keys = (task.item,)
    items = [item for role in roles for item in sheet.having(role)]
    items += [item for item in sheet.items if item.key in keys and (task.kind is not TaskKind.INSPECT or item.inspect)]
    if not items and (roles or keys):
        offered = ", ".join(item.key for item in sheet.items if item.inspect)
        remedy = f"The sheet has criteria for: {offered}." if task.kind is TaskKind.INSPECT else ""
        raise OutOfRange(
            "must have something to do on this unit", value=task.item or None, field=str(task.kind), remedy=remedy
        )
    yield from items
    if task.kind in {TaskKind.AIR_SPRING, TaskKind.COIL_SPRING}:
        inside = {item.key for item in items}
        yield from (item for item in sheet.items if item.renew and inside.intersection(item.covered_by))
