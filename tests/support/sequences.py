"""Writes sequences by hand: an order of keys in, steps that carry what the sheet asks for out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cache
from itertools import pairwise, product
from typing import Any

from sagwright.domain.air_spring import FloatingPiston
from sagwright.domain.item import Act, ChargeStage, Fluid, Item, ItemWork, Record, Role
from sagwright.domain.setup import Change, Charge, Setup, ShaftSetting, StackSetting, TopOutSetting
from sagwright.domain.sheet import Sheet
from sagwright.domain.step import Step
from sagwright.domain.value import Quantity, Unknown
from sagwright.judge import Refusal, examine_sequence
from sagwright.judge.rule import Case
from sagwright.judge.run import first_refusal
from tests.support.forks import (
    HOLDING_GAUGE,
    RIDING_GAUGE,
    careless,
    charge,
    shaft_fork,
    shafted,
    sighting,
    stack_fork,
    stacked,
    value,
    work,
)

Keys = tuple[str, ...]
Steps = tuple[Step, ...]


def keys(text: str) -> Keys:
    return tuple(text.split())


OPENING = keys("""
    off:readings off:adjusters off:rebound_knob off:air_charge
    off:spring_foot_fastener off:damper_foot_fastener off:spring_foot_seat off:damper_foot_seat
    off:spring_lower_leg_oil off:damper_lower_leg_oil off:lowers
""")
CLOSING = keys("""
    on:lowers on:spring_lower_leg_oil on:damper_lower_leg_oil on:spring_foot_seat on:damper_foot_seat
    on:spring_foot_fastener on:damper_foot_fastener on:rebound_knob
""")
ENDING = keys("cycle:air_charge charge:final:air_charge on:adjusters on:readings")
RIDING, HOLDING = "charge:riding:air_charge", "charge:assembly:air_charge"
FINAL = "charge:final:air_charge"
STACK_WORK = keys("""
    off:air_cap change:volume_spacers off:air_retaining_ring off:air_shaft inspect:air_shaft
    change:travel_spacers change:transfer_port on:air_shaft on:air_retaining_ring check:air_retaining_ring on:air_cap
""")
SHAFT_WORK = keys("""
    off:air_cap change:volume_spacers off:seal_head off:air_shaft inspect:air_shaft change:air_shaft
    on:air_shaft on:air_cap on:seal_head check:seal_head
""")


def whole(inner_work: Keys, before_lowers: ChargeStage | None) -> Keys:
    """A conversion from the first reading to the last, with its charges where the sheet wants them."""
    first = {None: (), ChargeStage.ASSEMBLY: (HOLDING,), ChargeStage.RIDING: (RIDING,)}[before_lowers]
    then = () if RIDING in first else (RIDING,)
    return (*OPENING, *inner_work, *first, *CLOSING, *then, *ENDING)


STACK = whole(STACK_WORK, ChargeStage.RIDING)
SHAFT = whole(SHAFT_WORK, ChargeStage.ASSEMBLY)
SECOND = "charge:riding:second_charge"
PRESSURE_ONLY = keys("off:readings charge:riding:air_charge cycle:air_charge charge:final:air_charge on:readings")


def without(order: Keys, *dropped: str) -> Keys:
    return tuple(key for key in order if key not in dropped)


def before(order: Keys, later: str, *keys: str) -> Keys:
    """An order with some keys put, or moved, straight before another."""
    rest = without(order, *keys)
    place = rest.index(later)
    return (*rest[:place], *keys, *rest[place:])


def after(order: Keys, earlier: str, *keys: str) -> Keys:
    """An order with some keys put, or moved, straight after another."""
    rest = without(order, *keys)
    place = rest.index(earlier) + 1
    return (*rest[:place], *keys, *rest[place:])


def two_valves_order() -> Keys:
    """A conversion of a fork whose second chamber is charged first and emptied last."""
    emptied = after(whole(STACK_WORK, None), "off:air_charge", "off:second_charge")
    return before(emptied, RIDING, SECOND)


def twice(order: Keys, key: str) -> Keys:
    place = order.index(key)
    return (*order[:place], key, *order[place:])


@dataclass(frozen=True)
class Bench:
    """A fork, what it was, and what it is to be."""

    sheet: Sheet
    as_found: Setup
    target: Setup

    def steps(self, order: Iterable[str], **tampered: dict[str, Any]) -> Steps:
        """The steps of an order of keys; `on__lowers={"hold_point": True}` puts something else into one of them."""
        others = {key.replace("__", ":"): fields for key, fields in tampered.items()}
        return tuple(replace(self.step(key), **others.get(key, {})) for key in order)

    def step(self, key: str) -> Step:
        """One step with all that the sheet asks of it."""
        act, *stage, item_key = key.split(":")
        item = self.sheet.item(item_key)
        step = plain(key, Act(act), item, item.work(Act(act)) or work())
        if step.act is Act.CHARGE:
            return self._charging(step, ChargeStage(stage[0]))
        if step.act is Act.CHANGE:
            return self._changing(step, item)
        if step.act is Act.INSPECT:
            return replace(step, inspect=item.inspect)
        return self._fitting(step, item) if step.act is Act.ON else step

    def _charging(self, step: Step, stage: ChargeStage) -> Step:
        if stage is ChargeStage.ASSEMBLY:
            return replace(step, stage=stage, pressure_gauge=HOLDING_GAUGE)
        wanted = self.target.charge
        gauge = wanted.pressure_gauge.si if isinstance(wanted, Charge) else None
        if isinstance(wanted, Charge) and wanted.second_gauge and step.item == "second_charge":
            gauge = wanted.second_gauge.si
        return replace(step, stage=stage, pressure_gauge=gauge)

    def _changing(self, step: Step, item: Item) -> Step:
        change = Change(FIELD[item.role], setting(self.as_found, item.role), setting(self.target, item.role))
        return replace(step, changes=(change,), records=(found_record(change),), hold_point=True)

    def _fitting(self, step: Step, item: Item) -> Step:
        if item.role is Role.LOWER_LEG_OIL and step.fluid:
            takes = {leg.name: leg.lower_leg_oil for leg in self.sheet.legs}
            return replace(step, fluid=Fluid(step.fluid.name, takes.get(item.leg)))
        return replace(step, renew=item.renew)

    def verdict(self, steps: Steps) -> Refusal | None:
        return examine_sequence(self.sheet, self.as_found, self.target, steps)

    def reported(self, order: Keys) -> tuple[str, str | None] | None:
        """Rule and step of the refusal of an order of keys; None if it is accepted."""
        refusal = self.verdict(self.steps(order))
        return None if refusal is None else (refusal.rule, refusal.step)

    def verdict_without(self, steps: Steps, *left_out: str) -> Refusal | None:
        """The verdict of a judge that has forgotten some rules."""
        case = Case(self.sheet, self.as_found, self.target)
        return first_refusal(case, steps, left_out=frozenset(left_out))

    def only(self, rule: str, step: str | None, steps: Steps, *, backed_by: Keys = ()) -> None:
        """Exactly this rule stands between these steps and the bench.

        `backed_by` names rules that would refuse it too, later or earlier, if this one did not.
        """
        refusal = self.verdict_without(steps, *backed_by)
        assert refusal is not None
        assert (refusal.rule, refusal.step) == (rule, step)
        assert self.verdict_without(steps, *backed_by, rule) is None
        assert self.verdict(steps) is not None


FIELD: dict[Role | None, str] = {
    Role.TRAVEL_SPACERS: "travel_spacers",
    Role.TRANSFER_PORT: "port_position",
    Role.AIR_SHAFT: "shaft_travel",
    Role.VOLUME_SPACERS: "volume_spacers",
}


def setting(setup: Setup, role: Role | None) -> int | float | Unknown:
    if role is Role.VOLUME_SPACERS:
        return setup.volume_spacers
    if isinstance(setup.setting, ShaftSetting):
        return setup.setting.shaft_travel
    if isinstance(setup.setting, TopOutSetting):
        return setup.setting.top_out_spacers
    stack: StackSetting = setup.setting
    return stack.port_position if role is Role.TRANSFER_PORT else stack.travel_spacers


def found_record(change: Change) -> Record:
    """What a change asks to be written down first: what was found, and, if it is known, that it is that."""
    quantity = Quantity.LENGTH if change.field == "shaft_travel" else Quantity.COUNT
    limit = change.before if isinstance(change.before, int | float) else None
    return Record(f"found_{change.field}", change.field, quantity, low=limit, high=limit)


def plain(key: str, act: Act, item: Item, how: ItemWork) -> Step:
    return Step(
        key=key,
        act=act,
        item=item.key,
        name=item.name,
        do=how.do,
        position=how.position,
        minutes=how.minutes,
        tools=how.tools,
        torque=how.torque,
        fluid=how.fluid,
        hold_point=how.hold_point,
        records=how.records,
        waiting=how.waiting,
    )


def stack_bench(before_lowers: ChargeStage | None = ChargeStage.RIDING) -> Bench:
    """From 160 to 140 mm: two travel spacers, the transfer port two holes on, one volume spacer less."""
    return Bench(stack_fork(before_lowers), stacked(0), stacked(2, volume_spacers=0))


def shaft_bench(before_lowers: ChargeStage | None = ChargeStage.ASSEMBLY) -> Bench:
    """From 160 to 140 mm by the shorter air shaft, with one volume spacer more."""
    return Bench(shaft_fork(before_lowers), shafted(0.160), shafted(0.140, volume_spacers=2))


def forgetful(before_lowers: ChargeStage | None = ChargeStage.RIDING) -> Bench:
    """The stack fork by a sheet that says nothing about order."""
    bench = stack_bench(before_lowers)
    return replace(bench, sheet=careless(bench.sheet))


def two_valves() -> Bench:
    """The stack fork with a second chamber behind a floating piston, charged before the main one."""
    bench = stack_bench(None)
    works = ((Act.OFF, work(records=sighting("second_empty"))), (Act.CHARGE, work()))
    second = Item("second_charge", "second charge", ("readings",), works, Role.SECOND_CHARGE)
    spring = replace(bench.sheet.air, second=FloatingPiston(value(60e-6), value(1e6)))
    sheet = replace(bench.sheet, items=(*bench.sheet.items, second), spring=spring)
    as_found, target = (
        replace(setup, charge=replace(charge(RIDING_GAUGE), second_gauge=value(gauge)))
        for setup, gauge in ((bench.as_found, 0.9e6), (bench.target, 1e6))
    )
    return Bench(sheet, as_found, target)


def untouched() -> Bench:
    """A stack fork that is to stay as it is."""
    return Bench(stack_fork(), stacked(0), stacked(0))


Pairs = frozenset[tuple[str, str]]


@cache
def ordered_pairs(text: str) -> Pairs:
    """Every pair that the text orders, directly or through others."""
    known: set[tuple[str, str]] = set()
    for line in filter(str.strip, text.splitlines()):
        for left, right in pairwise(line.split("<")):
            known.update(product(keys(left), keys(right)))
    while more := {(a, d) for a, b in known for c, d in known if b == c} - known:
        known |= more
    return frozenset(known)


def in_order(preferred: Keys, pairs: Pairs) -> Keys:
    """The order nearest to a preferred one in which every pair is kept."""
    waiting, order = list(preferred), list[str]()
    while waiting:
        free = next(key for key in waiting if not any((other, key) in pairs for other in waiting))
        waiting.remove(free)
        order.append(free)
    return tuple(order)
