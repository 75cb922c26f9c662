"""Charging: before the lowers, after the feet, through the transfer port, and for the last time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from sagwright.domain.item import Act, ChargeStage, Role
from sagwright.domain.step import Need, Step
from sagwright.planning.spring.valves import ValveCharge, pressure_as_left, valve_charges_of
from sagwright.planning.work.readings import AT_THE_BENCH, with_pressure
from sagwright.planning.work.scope import CLOSES, READINGS, TaskScope, charge_key, key_of


class ChargingSteps(TaskScope):
    """What is asked of a sheet's items, and the charges that follow from it."""

    def _charging(self) -> Iterator[Step]:
        """The charge before the lowers, the riding pressure, cycling, and the final setting."""
        if not self._airs:
            return
        before = self.sheet.charging.before_lowers if self._lowers_off else None
        owns = [own for own in valve_charges_of(self.sheet) if own.item.key in self.off or own in self.due]
        first = [Need(charge_key(ChargeStage.RIDING, own.item), "valve-order") for own in owns if own.first]
        riding = charge_key(ChargeStage.RIDING, self._air)
        if before is not None:
            vented = self._offs("charge-before-lowers", Role.AIR_CHARGE)
            early = first if before is ChargeStage.RIDING else []
            yield self._charge(before, [*self._closed(), *vented, *self._offs("feet-first", Role.LOWERS), *early])
        if before is not ChargeStage.RIDING:
            earlier = [Need(charge_key(before, self._air), "absent")] if before is not None else []
            vented = self._offs("cycled", Role.AIR_CHARGE)
            yield self._charge(ChargeStage.RIDING, [*self._closed(), *self._feet(), *vented, *earlier, *first])
        yield from (self._own_charge(own, before) for own in owns)
        pending = [Need(riding, "cycled"), *self._feet()]
        if self.sheet.air.negative_gauge is None:
            cycle = self._step(self._air, Act.CYCLE, needs=pending)
            yield replace(cycle, do=cycle.do.replace("{cycles}", str(self.sheet.charging.cycles)))
            pending = [Need(cycle.key, "cycled"), *self._feet()]
        pending += [Need(charge_key(ChargeStage.RIDING, own.item), "valve-order") for own in owns]
        yield self._charge(ChargeStage.FINAL, pending)

    @property
    def _lowers_off(self) -> bool:
        return any(item.key in self.off for item in self.sheet.having(Role.LOWERS))

    def _charge(self, stage: ChargeStage, needs: list[Need]) -> Step:
        holding = self.sheet.charging.assembly_gauge
        pressure = holding.si if stage is ChargeStage.ASSEMBLY and holding is not None else self.wanted.pressure_gauge
        step = self._step(self._air, Act.CHARGE, needs=needs)
        step = replace(step, key=charge_key(stage, self._air), stage=stage, pressure_gauge=pressure)
        return with_pressure(step, self.sheet)

    def _own_charge(self, own: ValveCharge, before: ChargeStage | None) -> Step:
        """The charge of a chamber with a valve of its own: before the main one's riding pressure, or after it."""
        needs = [*self._closed(), *(Need(key_of(Act.OFF, own.item), "absent") for _ in [0] if own.item.key in self.off)]
        if own.first and before is ChargeStage.RIDING:
            needs += self._offs("feet-first", Role.LOWERS)
        else:
            needs += self._feet()
        if own.first:
            needs += self._offs("valve-order", Role.AIR_CHARGE)
        else:
            needs.append(Need(charge_key(ChargeStage.RIDING, self._air), "valve-order"))
        step = self._step(own.item, Act.CHARGE, needs=needs)
        gauge = dict(self.wanted.own).get(own.field)
        key = charge_key(ChargeStage.RIDING, own.item)
        step = replace(step, key=key, stage=ChargeStage.RIDING, pressure_gauge=gauge, hold_point=True)
        if gauge is None:
            step = replace(step, do=step.do + AT_THE_BENCH)
        return replace(step, records=(*step.records, pressure_as_left(self.sheet, own, gauge)))

    def _closed(self) -> Iterator[Need]:
        """Before any charge: read as found, all off that comes off without air, closed again, the retaining ring
        checked."""
        yield from self._offs("readings-first", Role.READINGS)
        yield from self._reads(*READINGS)
        for item in self.sheet.items:
            if item.key in self.off and self._air.key in item.covered_by:
                yield Need(key_of(Act.OFF, item), "covered")
        yield from self._ons("closed", *CLOSES)
        yield from self._proven()

    def _proven(self) -> Iterator[Need]:
        for retaining_ring in self.sheet.having(Role.RETAINING_RING):
            if retaining_ring.key in self.off and retaining_ring.work(Act.CHECK) is not None:
                yield Need(key_of(Act.CHECK, retaining_ring), "retainer-checked")

    def _feet(self) -> Iterator[Need]:
        yield from self._ons("feet-first", Role.FOOT_FASTENER)
