"""The scope of a piece of work: which items come off, change, are looked at or read, and what is charged.

What comes off is the closure of what covers the items to change, and what a task wants seen, renewed, filled anew or
read for its own sake. `interlocks` says what of it comes before what; `steps` writes each operation out as a step.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from sagwright.domain.item import MEASURED_SHUT, Act, ChargeStage, Item, ItemWork, Press, Role
from sagwright.domain.settings import BY_KEY
from sagwright.domain.setup import Change, Setup
from sagwright.domain.sheet import Sheet
from sagwright.domain.task import Task, TaskKind
from sagwright.errors import Defect, OutOfRange
from sagwright.planning.spring.valves import ValveCharge, due_among, valve_charges_of
from sagwright.planning.work.readings import within_gauge

"""Which items a change concerns."""

HELD_IN = (Role.AIR_CAP, Role.RETAINING_RING, Role.AIR_SHAFT, Role.FOOT_FASTENER, Role.FOOT_SEAT)
"""What may not come off before the unit is confirmed empty."""

SERVED_ROLES: Final = {
    TaskKind.LOWER_LEGS: (Role.LOWERS, Role.LOWER_LEG_OIL),
    TaskKind.AIR_SPRING: (Role.AIR_CAP, Role.AIR_SHAFT),
    TaskKind.MEASURE: MEASURED_SHUT,
    TaskKind.COIL_SPRING: (Role.SPRING_CAP, Role.COIL),
}
SERVED_KEYS: Final = {TaskKind.DAMPER: ("damper",), TaskKind.WIPERS: ("wipers", "foam_rings")}
"""What comes off for its own sake, by role or by the key that a sheet gives it."""


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


@dataclass(frozen=True, slots=True)
class Operation:
    """What one step does to one item; `stage` where it charges."""

    act: Act
    item: Item
    stage: ChargeStage | None = None

    @property
    def key(self) -> str:
        """The key of its step: "off:lowers", "charge:final:air_charge"."""
        stage = () if self.stage is None else (self.stage,)
        return ":".join((self.act, *stage, self.item.key))

    @property
    def work(self) -> ItemWork:
        """How the sheet says it is done.

        Raises
        ------
        Defect
            If the sheet does not describe it.
        """
        work = self.item.work(self.act)
        if work is None:
            raise Defect(f"item {self.item.key} has no work for {self.act}")
        return work


@dataclass(frozen=True, slots=True)
class Scope:
    """What one piece of work concerns.

    Attributes
    ----------
    wanted : Wanted
    changes : mapping of str to tuple of Change
        What is brought to the target's setting, by the key of its item.
    off : frozenset of str
        Keys of the items that come off.
    read : mapping of str to (Press, float) or None
        Keys of the readings that are taken for their own sake; where the unit is pressed for one, how far, and the
        peak that is to be expected [Pa, gauge].
    own_charges : tuple of ValveCharge
        Chambers with a valve of their own that are charged.
    charged : bool
        Whether the main chamber is charged.
    """

    wanted: Wanted
    changes: Mapping[str, tuple[Change, ...]]
    off: frozenset[str]
    read: Mapping[str, tuple[Press, float] | None]
    own_charges: tuple[ValveCharge, ...]
    charged: bool

    @property
    def sheet(self) -> Sheet:
        """The sheet of the unit."""
        return self.wanted.sheet

    @property
    def main(self) -> Item:
        """The charge of the main chamber; only an air spring has one."""
        return self.sheet.having(Role.AIR_CHARGE)[0]

    @property
    def before_lowers(self) -> ChargeStage | None:
        """Which charge goes in before the lowers; None where they stay on, or go on over an empty unit."""
        return self.sheet.charging.before_lowers if any(self.coming_off(Role.LOWERS)) else None

    def own(self, item: Item) -> ValveCharge:
        """The chamber of a charge behind a valve of its own."""
        return next(own for own in self.own_charges if own.item.key == item.key)

    def coming_off(self, *roles: Role) -> Iterator[Item]:
        """The items of these roles that come off."""
        return (item for role in roles for item in self.sheet.having(role) if item.key in self.off)

    def covers(self, item: Item) -> Iterator[Item]:
        """What covers an item and comes off, through anything that has no step of its own."""
        for key in item.covered_by:
            cover = self.sheet.item(key)
            if key in self.off:
                yield cover
            else:
                yield from self.covers(cover)

    def under(self, item: Item) -> Iterator[Item]:
        """What an item lies over."""
        return (under for under in self.sheet.items if item.key in under.covered_by)


def scope_of(wanted: Wanted) -> Scope:
    """What is wanted as a scope.

    Raises
    ------
    OutOfRange
        If gas would have to be let out that has a release of its own.
    """
    sheet = wanted.sheet
    changes = {
        item.key: made
        for item in sheet.items
        if (made := tuple(one for one in wanted.changes if BY_KEY[one.field].role is item.role))
        and item.work(Act.CHANGE)
    }
    due = due_among(sheet, wanted.changes)
    off = _coming_off(wanted, changes, due)
    airs = sheet.having(Role.AIR_CHARGE)
    charge = any(change.field == "charge" for change in wanted.changes)
    return Scope(
        wanted=wanted,
        changes=changes,
        off=off,
        read=dict(_readings(wanted)),
        own_charges=tuple(own for own in valve_charges_of(sheet) if own.item.key in off or own in due),
        charged=bool(airs) and (charge or any(item.key in off for item in airs)),
    )


def _coming_off(wanted: Wanted, changed: Iterable[str], due: tuple[ValveCharge, ...]) -> frozenset[str]:
    """Keys of the items that come off: all that covers what changes or is served, oils renewed, a preload set."""
    sheet, roles = wanted.sheet, {BY_KEY[change.field].role for change in wanted.changes}
    anew = (role for role in (Role.LOWER_LEG_OIL, Role.PRELOAD) if role in roles)
    let_out = (Role.AIR_CHARGE,) if any(own.first for own in due) else ()
    renewed = [item.key for role in (*anew, *let_out) for item in sheet.having(role)]
    seen = _with_covers(sheet, [*renewed, *changed, *wanted.served])
    _refuse_sent_out(sheet, seen)
    seen |= set(_emptied_with(sheet, seen))
    seen |= {item.key for item in sheet.having(Role.READINGS)}
    return frozenset(key for key in seen if sheet.item(key).work(Act.OFF) is not None)


def _with_covers(sheet: Sheet, keys: Iterable[str]) -> set[str]:
    """The items of these keys, and all that covers them."""
    pending, seen = list(keys), set[str]()
    while pending:
        key = pending.pop()
        if key not in seen:
            seen.add(key)
            pending.extend(sheet.item(key).covered_by)
    return seen


def _refuse_sent_out(sheet: Sheet, keys: set[str]) -> None:
    """Gas with a release of its own is not let out here."""
    for item in sheet.having(Role.GAS_CHAMBER):
        if item.key in keys:
            remedy = "Send the unit out to who has its release and its manual."
            raise OutOfRange("must not be opened at an ordinary bench", value=item.name, field="task", remedy=remedy)


def _emptied_with(sheet: Sheet, off: set[str]) -> Iterator[str]:
    """Chambers with a valve of their own: all where what holds gas in is opened, and what is charged after the
    main one wherever that is let out."""
    opened = any(sheet.item(key).role in HELD_IN for key in off)
    let_out = any(sheet.item(key).role is Role.AIR_CHARGE for key in off)
    return (own.item.key for own in valve_charges_of(sheet) if opened or (let_out and not own.first))


def _readings(wanted: Wanted) -> Iterator[tuple[str, tuple[Press, float] | None]]:
    """Readings for their own sake; none where its gauge does not bear the press."""
    sheet, found = wanted.sheet, wanted.found_gauge
    for item in map(sheet.item, wanted.served):
        work = item.work(Act.MEASURE)
        if work is None or item.role not in MEASURED_SHUT:
            continue
        if work.press is None:
            yield item.key, None
            continue
        pressed = within_gauge(sheet, sheet.air.pressure_gauge.high if found is None else found, work.press)
        if pressed is not None:
            yield item.key, pressed


def operations_of(scope: Scope) -> Iterator[Operation]:
    """All that is done, in the order of the sheet and not yet of the bench; the charges come last."""
    for item in scope.sheet.items:
        if item.key in scope.off:
            yield from _off_and_on(item)
        if item.key in scope.changes:
            yield Operation(Act.CHANGE, item)
        if item.key in scope.read:
            yield Operation(Act.MEASURE, item)
    if scope.charged:
        yield from _charges(scope)


def _off_and_on(item: Item) -> Iterator[Operation]:
    """One item off, looked at, on again and proven."""
    yield Operation(Act.OFF, item)
    if item.inspect:
        yield Operation(Act.INSPECT, item)
    yield from (Operation(act, item) for act in (Act.ON, Act.CHECK) if item.work(act) is not None)


def _charges(scope: Scope) -> Iterator[Operation]:
    """The charge before the lowers, the riding charges, cycling, and the final setting."""
    if scope.before_lowers is not None:
        yield Operation(Act.CHARGE, scope.main, scope.before_lowers)
    if scope.before_lowers is not ChargeStage.RIDING:
        yield Operation(Act.CHARGE, scope.main, ChargeStage.RIDING)
    yield from (Operation(Act.CHARGE, own.item, ChargeStage.RIDING) for own in scope.own_charges)
    if scope.sheet.air.negative_gauge is None:
        yield Operation(Act.CYCLE, scope.main)
    yield Operation(Act.CHARGE, scope.main, ChargeStage.FINAL)


def base_of(key: str, known: Container[str]) -> str:
    """The key of the step that a numbered one repeats; itself where it is the first."""
    if key in known:
        return key
    base, _, number = key.rpartition(":")
    return base if number.isdigit() and base in known else key


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
    seen = _with_covers(sheet, served_keys(sheet, tasks))
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
