"""The work: which items come off, what is done to them, and what must come before what.

Items cover each other; what comes off is the closure of what covers the items to change or to serve, and fitting
mirrors it. Several tasks at once ask for one closure, so what they share is done once. Every order between two steps is
a `Need` that names its rule: the sheet's cover relation, or an interlock. `sequence` puts the steps in order.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from sagwright.domain.build import Build, Change
from sagwright.domain.item import Act, ChargeStage, Fluid, Item, Role, Work
from sagwright.domain.plan import Need, Step
from sagwright.domain.sheet import Sheet
from sagwright.errors import Defect, MissingValue, OutOfRange
from sagwright.planning.kept import rules_of
from sagwright.planning.own_charge import OwnCharge, due_among, emptied_before, found_at, left_at, owns_of
from sagwright.planning.pressing import within_gauge
from sagwright.planning.recorded import exposed, found_inside, with_pressure
from sagwright.planning.valves import ROLES

ROLE_OF = {
    "travel_spacers": Role.TRAVEL_SPACERS,
    "equaliser_hole": Role.EQUALISER,
    "shaft_travel": Role.AIR_SHAFT,
    "volume_spacers": Role.VOLUME_SPACERS,
    "top_out_spacers": Role.TOP_OUT_SPACERS,
    "coil": Role.COIL,
    "preload_spacers": Role.PRELOAD_SPACERS,
    "adjuster": Role.PRELOAD,
    "legs": Role.BATH_OIL,
    "charge": Role.AIR_CHARGE,
}
"""Which items a change concerns."""

HELD_IN = (Role.AIR_CAP, Role.CLIP, Role.AIR_SHAFT, Role.FOOT_FASTENER, Role.FOOT_SEAT)
"""What may not come off before the unit is proven empty."""

UNDER_THE_COIL = (Role.CLIP, Role.SPRING_SHAFT)
"""What a coil in its place presses out of the stanchion."""

CLOSES = (Role.AIR_CAP, Role.AIR_SHAFT, Role.CLIP)
"""What must be on before any charge goes in."""

READINGS = (Role.CHARGED_READING, Role.EMPTY_READING)
"""What is measured for its own sake, on a unit that is still shut."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the tasks of one piece of work come to.

    Attributes
    ----------
    sheet : Sheet
    changes : tuple of Change
    pressure_gauge : float or None
        The riding charge [Pa]; None where it is decided at the bench.
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


def preload_change(before: Build, after: Build) -> Change | None:
    """Where the preload adjuster of a coil fork stands and is to stand, the same perhaps; None where there is none."""
    if before.fitting is None or after.fitting is None:
        return None
    return Change("adjuster", before.fitting.adjuster, after.fitting.adjuster)


def steps_of(wanted: Wanted) -> tuple[Step, ...]:
    """The steps that are wanted, in the order of the sheet and not yet of the bench; none where nothing is wanted."""
    if not wanted.changes and not wanted.served:
        return ()
    return tuple(_Conversion(wanted).steps())


class _Conversion:
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
        anew = (Role.BATH_OIL, Role.PRELOAD)
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
        if any(self.sheet.item(key).role in HELD_IN for key in seen):
            seen |= {own.item.key for own in owns_of(self.sheet)}
        seen |= {item.key for item in self.sheet.having(Role.READINGS)}
        return {key for key in seen if self.sheet.item(key).work(Act.OFF) is not None}

    def steps(self) -> list[Step]:
        """Every step with its needs, in no order yet."""
        found: list[Step] = []
        for item in self.sheet.items:
            if item.key in self.off:
                found += self._off(item)
            if item.key in self.changed:
                found.append(self._change(item))
            if item.key in self.read:
                found.append(self._measured(item))
        proofs = {item.key for item in self.sheet.having(Role.READINGS)}
        return list(_cured_at_the_end([*found, *(self._charging() if self.charged else ())], proofs))

    # one item off, looked at, on again and proven

    def _off(self, item: Item) -> Iterator[Step]:
        step = self._step(item, Act.OFF, needs=self._before_off(item))
        yield replace(step, records=(*step.records, *found_at(self.sheet, item)))
        off = _key(Act.OFF, item)
        if item.inspect:
            yield self._step(item, Act.INSPECT, needs=[Need(off, "inspected")], inspect=item.inspect)
        if item.work(Act.ON) is not None:
            step = self._step(item, Act.ON, needs=self._before_on(item), renew=item.renew)
            records = tuple(exposed(record, self.wanted.travel_change) for record in step.records)
            turned = (self.wanted.preload,) if item.role is Role.PRELOAD and self.wanted.preload else ()
            yield replace(step, records=records, fluid=self._filled(item, step.fluid), changes=turned)
        if item.work(Act.PROVE) is not None:
            yield self._step(item, Act.PROVE, needs=[Need(_key(Act.ON, item), "clip-proven")])

    def _before_off(self, item: Item) -> Iterator[Need]:
        yield from (Need(_key(Act.OFF, cover), "covered") for cover in self._covers(item))
        if item.role is not Role.READINGS:
            yield from self._offs("readings-first", Role.READINGS)
        yield from self._holding_back(item)
        if item.role in (Role.FOOT_FASTENER, Role.FOOT_SEAT):
            yield from self._offs("feet-ready", Role.ADJUSTERS, Role.KNOB)
        if item.role is Role.LOWERS:
            yield from self._offs("seat-free", Role.FOOT_SEAT)
        if item.role is Role.AIR_CHARGE:
            yield from self._reads(Role.CHARGED_READING)
        if item.role in (*HELD_IN, Role.LOWERS):
            yield from self._reads(Role.EMPTY_READING)

    def _holding_back(self, item: Item) -> Iterator[Need]:
        """What must have let go of its air or its spring before the item comes off."""
        if item.role in HELD_IN:
            yield from self._offs("proven-empty", Role.AIR_CHARGE, *ROLES.values())
        yield from (Need(_key(Act.OFF, one), "valve-order") for one in emptied_before(self.sheet, item, self.off))
        if item.role is Role.SPRING_CAP:
            yield from self._offs("spring-relaxed", Role.PRELOAD)
        if item.role in UNDER_THE_COIL and self.sheet.coil is not None:
            yield from self._offs("spring-out", Role.COIL)

    def _before_on(self, item: Item) -> Iterator[Need]:
        yield Need(_key(Act.OFF, item), "absent")
        if item.inspect:
            yield Need(_key(Act.INSPECT, item), "inspected")
        if item.key in self.changed:
            yield Need(_key(Act.CHANGE, item), "uncovered")
        for under in self.sheet.items:
            if item.key in under.covered_by:
                yield from (Need(step, "uncovered") for step in self._last_steps(under))
            if under.key in self.read and item.key in under.covered_by:
                yield Need(self.read[under.key].key, "covered")
        yield from (Need(step, "extra-order") for key in item.after for step in self._last_steps(self.sheet.item(key)))
        yield from self._interlocks_on(item)

    def _interlocks_on(self, item: Item) -> Iterator[Need]:
        if item.role is Role.BATH_OIL:
            yield from self._ons("oil-part-way", Role.LOWERS)
        if item.role is Role.FOOT_SEAT:
            yield from self._ons("oil-part-way", Role.BATH_OIL)
        before = self.sheet.charging.before_lowers
        if item.role in (Role.LOWERS, Role.COIL):
            yield from self._proven()
        if item.role is Role.LOWERS and before is not None:
            yield Need(_charge_key(before, self._air), "charge-before-lowers")
        if item.role is Role.READINGS:
            if self.charged:
                yield from (Need(_charge_key(ChargeStage.FINAL, air), "proof-last") for air in self._airs)
            yield from self._ons("proof-last", Role.ADJUSTERS, Role.PRELOAD)

    def _last_steps(self, item: Item) -> Iterator[str]:
        """What finishes an item: fitted, charged, or changed where it only lies in the open."""
        if item.key in self.off and item.role in (Role.AIR_CHARGE, *ROLES.values()):
            yield _charge_key(ChargeStage.RIDING, item)
        elif item.key in self.off and item.work(Act.ON) is not None:
            yield _key(Act.ON, item)
        elif item.key in self.changed:
            yield _key(Act.CHANGE, item)

    def _covers(self, item: Item) -> Iterator[Item]:
        """What covers an item and comes off, through anything that has no step of its own."""
        for key in item.covered_by:
            cover = self.sheet.item(key)
            if key in self.off:
                yield cover
            else:
                yield from self._covers(cover)

    # one item brought to the target's setting

    def _change(self, item: Item) -> Step:
        needs = [Need(_key(Act.OFF, cover), "covered") for cover in self._covers(item)]
        if item.key in self.off:
            needs = [Need(_key(Act.OFF, item), "covered")]
        step = self._step(item, Act.CHANGE, needs=needs, changes=self.changes[item.key])
        found = tuple(found_inside(change) for change in step.changes)
        return replace(step, records=(*step.records, *found), gate=True)

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
        needs = [Need(_key(Act.OFF, cover), "covered") for cover in self._covers(item)]
        needs += [Need(self.read[key].key, "extra-order") for key in item.after if key in self.read]
        return replace(self.read[item.key], needs=tuple(dict.fromkeys(needs)))

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

    def _charging(self) -> Iterator[Step]:
        """The charge before the lowers, the riding charge, cycling, and the final setting."""
        if not self._airs:
            return
        before = self.sheet.charging.before_lowers if self._lowers_off else None
        owns = [own for own in owns_of(self.sheet) if own.item.key in self.off or own in self.due]
        first = [Need(_charge_key(ChargeStage.RIDING, own.item), "valve-order") for own in owns if own.first]
        riding = _charge_key(ChargeStage.RIDING, self._air)
        if before is not None:
            vented = self._offs("charge-before-lowers", Role.AIR_CHARGE)
            early = first if before is ChargeStage.RIDING else []
            yield self._charge(before, [*self._closed(), *vented, *self._offs("feet-first", Role.LOWERS), *early])
        if before is not ChargeStage.RIDING:
            earlier = [Need(_charge_key(before, self._air), "absent")] if before is not None else []
            vented = self._offs("cycled", Role.AIR_CHARGE)
            yield self._charge(ChargeStage.RIDING, [*self._closed(), *self._feet(), *vented, *earlier, *first])
        yield from (self._own_charge(own, before) for own in owns)
        pending = [Need(riding, "cycled"), *self._feet()]
        if self.sheet.air.negative_gauge is None:
            cycle = self._step(self._air, Act.CYCLE, needs=pending)
            yield replace(cycle, do=cycle.do.replace("{cycles}", str(self.sheet.charging.cycles)))
            pending = [Need(cycle.key, "cycled"), *self._feet()]
        pending += [Need(_charge_key(ChargeStage.RIDING, own.item), "valve-order") for own in owns]
        yield self._charge(ChargeStage.FINAL, pending)

    @property
    def _lowers_off(self) -> bool:
        return any(item.key in self.off for item in self.sheet.having(Role.LOWERS))

    def _charge(self, stage: ChargeStage, needs: list[Need]) -> Step:
        holding = self.sheet.charging.holding_gauge
        pressure = holding.si if stage is ChargeStage.HOLDING and holding is not None else self.wanted.pressure_gauge
        step = self._step(self._air, Act.CHARGE, needs=needs)
        step = replace(step, key=_charge_key(stage, self._air), stage=stage, pressure_gauge=pressure)
        return with_pressure(step, self.sheet)

    def _own_charge(self, own: OwnCharge, before: ChargeStage | None) -> Step:
        """The charge of a chamber with a valve of its own: before the main one's riding charge, or after it."""
        needs = [*self._closed(), *(Need(_key(Act.OFF, own.item), "absent") for _ in [0] if own.item.key in self.off)]
        if own.first and before is ChargeStage.RIDING:
            needs += self._offs("feet-first", Role.LOWERS)
        else:
            needs += self._feet()
        if own.first:
            needs += self._offs("valve-order", Role.AIR_CHARGE)
        else:
            needs.append(Need(_charge_key(ChargeStage.RIDING, self._air), "valve-order"))
        step = self._step(own.item, Act.CHARGE, needs=needs)
        gauge = dict(self.wanted.own).get(own.field) or _nobody_said(own)
        key = _charge_key(ChargeStage.RIDING, own.item)
        step = replace(step, key=key, stage=ChargeStage.RIDING, pressure_gauge=gauge, gate=True)
        return replace(step, records=(*step.records, left_at(own, gauge)))

    def _closed(self) -> Iterator[Need]:
        """Before any charge: read as found, all off that comes off without air, closed again, the clip proven."""
        yield from self._offs("readings-first", Role.READINGS)
        yield from self._reads(*READINGS)
        for item in self.sheet.items:
            if item.key in self.off and self._air.key in item.covered_by:
                yield Need(_key(Act.OFF, item), "covered")
        yield from self._ons("closed", *CLOSES)
        yield from self._proven()

    def _proven(self) -> Iterator[Need]:
        for clip in self.sheet.having(Role.CLIP):
            if clip.key in self.off and clip.work(Act.PROVE) is not None:
                yield Need(_key(Act.PROVE, clip), "clip-proven")

    def _feet(self) -> Iterator[Need]:
        yield from self._ons("feet-first", Role.FOOT_FASTENER)

    # what all steps share

    def _offs(self, rule: str, *roles: Role) -> Iterator[Need]:
        yield from (Need(_key(Act.OFF, item), rule) for item in self._in_work(roles))

    def _ons(self, rule: str, *roles: Role) -> Iterator[Need]:
        yield from (Need(_key(Act.ON, item), rule) for item in self._in_work(roles) if item.work(Act.ON) is not None)

    def _in_work(self, roles: Iterable[Role]) -> Iterator[Item]:
        yield from (item for role in roles for item in self.sheet.having(role) if item.key in self.off)

    def _filled(self, item: Item, fluid: Fluid | None) -> Fluid | None:
        """A fluid with its amount; bath oil takes it from its leg."""
        if item.role is not Role.BATH_OIL or fluid is None:
            return fluid
        return replace(fluid, amount=next(leg.bath_oil for leg in self.sheet.legs if leg.name == item.leg))

    def _step(self, item: Item, act: Act, *, needs: Iterable[Need], **more: object) -> Step:
        work = item.work(act) or _missing(item, act)
        return Step(
            key=_key(act, item),
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
            gate=work.gate,
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


def _nobody_said(own: OwnCharge) -> float:
    """A chamber with a valve of its own is not charged by guessing."""
    remedy = "Add it and the main one, like --task set-pressure=80psi."
    raise MissingValue(
        "must be known where a chamber with a valve of its own is charged", field=own.field, remedy=remedy
    )


def _missing(item: Item, act: Act) -> Work:
    raise Defect(f"item {item.key} has no work for {act}")


def _key(act: Act, item: Item) -> str:
    return f"{act}:{item.key}"


def _charge_key(stage: ChargeStage, item: Item) -> str:
    return f"{Act.CHARGE}:{stage}:{item.key}"


def _cured_at_the_end(steps: list[Step], proofs: set[str]) -> Iterator[Step]:
    """The steps; the last readings also wait for everything that cures."""
    cures = [Need(step.key, "cure-before-load") for step in steps if step.waiting is not None]
    for step in steps:
        last = step.act is Act.ON and step.item in proofs
        yield replace(step, needs=tuple(dict.fromkeys((*step.needs, *cures)))) if last else step
