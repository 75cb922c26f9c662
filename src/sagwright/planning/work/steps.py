"""The work: which items come off, what is done to them, and what must come before what.

Items cover each other; what comes off is the closure of what covers the items to change or to serve, and fitting
mirrors it. Several tasks at once ask for one closure, so what they share is done once. Every order between two steps is
a `Need` that names its rule: the sheet's cover relation, or an interlock. `sequence` puts the steps in order.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from sagwright.domain.item import Act, ChargeStage, Fluid, Item, Role
from sagwright.domain.step import Need, Step
from sagwright.planning.spring.valves import ROLES, emptied_before, found_at
from sagwright.planning.work.charging import ChargingSteps
from sagwright.planning.work.readings import exposed, found_inside
from sagwright.planning.work.scope import (
    HELD_IN,
    READINGS,
    ROLE_OF,
    UNDER_THE_COIL,
    Wanted,
    charge_key,
    key_of,
    preload_change,
)

__all__ = ["READINGS", "ROLE_OF", "Wanted", "preload_change", "steps_of"]


def steps_of(wanted: Wanted) -> tuple[Step, ...]:
    """The steps that are wanted, in the order of the sheet and not yet of the bench; none where nothing is wanted."""
    if not wanted.changes and not wanted.served:
        return ()
    return tuple(_Conversion(wanted).steps())


class _Conversion(ChargingSteps):
    """The steps of what is asked."""

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
        off = key_of(Act.OFF, item)
        if item.inspect:
            yield self._step(item, Act.INSPECT, needs=[Need(off, "inspected")], inspect=item.inspect)
        if item.work(Act.ON) is not None:
            step = self._step(item, Act.ON, needs=self._before_on(item), renew=item.renew)
            records = tuple(exposed(record, self.wanted.travel_change) for record in step.records)
            turned = (self.wanted.preload,) if item.role is Role.PRELOAD and self.wanted.preload else ()
            yield replace(step, records=records, fluid=self._filled(item, step.fluid), changes=turned)
        if item.work(Act.CHECK) is not None:
            yield self._step(item, Act.CHECK, needs=[Need(key_of(Act.ON, item), "retainer-checked")])

    def _before_off(self, item: Item) -> Iterator[Need]:
        yield from (Need(key_of(Act.OFF, cover), "covered") for cover in self._covers(item))
        if item.role is not Role.READINGS:
            yield from self._offs("readings-first", Role.READINGS)
        if item.role in HELD_IN:
            yield from self._offs("confirmed-empty", Role.AIR_CHARGE, *ROLES.values())
        yield from (Need(key_of(Act.OFF, one), "valve-order") for one in emptied_before(self.sheet, item, self.off))
        if item.role in (Role.FOOT_FASTENER, Role.FOOT_SEAT):
            yield from self._offs("feet-ready", Role.ADJUSTERS, Role.KNOB)
        if item.role is Role.LOWERS:
            yield from self._offs("seat-free", Role.FOOT_SEAT)
        yield from self._read_before(item)
        if item.role is Role.SPRING_CAP:
            yield from self._offs("spring-relaxed", Role.PRELOAD)
        if item.role in UNDER_THE_COIL and self.sheet.coil is not None:
            yield from self._offs("spring-out", Role.COIL)

    def _before_on(self, item: Item) -> Iterator[Need]:
        yield Need(key_of(Act.OFF, item), "absent")
        if item.inspect:
            yield Need(key_of(Act.INSPECT, item), "inspected")
        if item.key in self.changed:
            yield Need(key_of(Act.CHANGE, item), "uncovered")
        for under in self.sheet.items:
            if item.key in under.covered_by:
                yield from (Need(step, "uncovered") for step in self._last_steps(under))
            if under.key in self.read and item.key in under.covered_by:
                yield Need(self.read[under.key].key, "covered")
        yield from (Need(step, "extra-order") for key in item.after for step in self._last_steps(self.sheet.item(key)))
        yield from self._interlocks_on(item)

    def _interlocks_on(self, item: Item) -> Iterator[Need]:
        if item.role is Role.LOWER_LEG_OIL:
            yield from self._ons("oil-part-way", Role.LOWERS)
        if item.role is Role.FOOT_SEAT:
            yield from self._ons("oil-part-way", Role.LOWER_LEG_OIL)
        before = self.sheet.charging.before_lowers
        if item.role in (Role.LOWERS, Role.COIL):
            yield from self._proven()
        if item.role is Role.LOWERS and before is not None:
            yield Need(charge_key(before, self._air), "charge-before-lowers")
        if item.role is Role.READINGS:
            if self.charged:
                yield Need(charge_key(ChargeStage.FINAL, self._air), "final-readings-last")
            yield from self._ons("final-readings-last", Role.ADJUSTERS, Role.PRELOAD)

    def _last_steps(self, item: Item) -> Iterator[str]:
        """What finishes an item: fitted, charged, or changed where it only lies in the open."""
        if item.key in self.off and item.role in (Role.AIR_CHARGE, *ROLES.values()):
            yield charge_key(ChargeStage.RIDING, item)
        elif item.key in self.off and item.work(Act.ON) is not None:
            yield key_of(Act.ON, item)
        elif item.key in self.changed:
            yield key_of(Act.CHANGE, item)

    # one item brought to the target's setting

    def _change(self, item: Item) -> Step:
        needs = [Need(key_of(Act.OFF, cover), "covered") for cover in self._covers(item)]
        if item.key in self.off:
            needs = [Need(key_of(Act.OFF, item), "covered")]
        step = self._step(item, Act.CHANGE, needs=needs, changes=self.changes[item.key])
        found = tuple(found_inside(change) for change in step.changes)
        return replace(step, records=(*step.records, *found), hold_point=True)

    def _filled(self, item: Item, fluid: Fluid | None) -> Fluid | None:
        """A fluid with its amount; lower-leg oil takes it from its leg."""
        if item.role is not Role.LOWER_LEG_OIL or fluid is None:
            return fluid
        return replace(fluid, amount=next(leg.lower_leg_oil for leg in self.sheet.legs if leg.name == item.leg))


def _cured_at_the_end(steps: list[Step], proofs: set[str]) -> Iterator[Step]:
    """The steps; the last readings also wait for everything that cures."""
    cures = [Need(step.key, "cure-before-load") for step in steps if step.waiting is not None]
    for step in steps:
        last = step.act is Act.ON and step.item in proofs
        yield replace(step, needs=tuple(dict.fromkeys((*step.needs, *cures)))) if last else step
