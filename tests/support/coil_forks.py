"""A small but complete coil fork of an invented maker, and sequences on it written by hand.

Every number is made up for these tests and none is a maker's. The order of the work is common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from sagwright.domain.coil_spring import CoilOnOffer, CoilSpring, PreloadStack
from sagwright.domain.item import Act, Item, Record, Role, Tool
from sagwright.domain.setup import Change, CoilFitting, Setup, TopOutSetting, coil_setup
from sagwright.domain.sheet import ChargingOrder, Sheet, TopOutSpacers
from sagwright.domain.step import Step
from sagwright.domain.value import Quantity
from tests.support.forks import (
    GREASED_CAP,
    SCORES,
    adjusters_and_knob,
    careless,
    foot,
    lowers_and_wipers,
    off_and_on,
    only,
    readings,
    sheet,
    sighting,
    value,
    work,
)
from tests.support.sequences import Bench, Keys, keys

COIL_WORK = keys("""
    off:preload off:spring_cap change:preload_spacers off:coil change:coil off:spring_retaining_ring off:spring_shaft
    inspect:spring_shaft change:top_out_spacers on:spring_shaft on:spring_retaining_ring check:spring_retaining_ring
    on:coil on:spring_cap
""")
GLASSES = Tool("safety glasses")
OPENING = keys("""
    off:readings off:adjusters off:rebound_knob off:spring_foot_fastener off:damper_foot_fastener
    off:spring_foot_seat off:damper_foot_seat off:spring_lower_leg_oil off:damper_lower_leg_oil off:lowers
""")
CLOSING = keys("""
    on:lowers on:spring_lower_leg_oil on:damper_lower_leg_oil on:spring_foot_seat on:damper_foot_seat
    on:spring_foot_fastener on:damper_foot_fastener on:rebound_knob on:adjusters on:preload on:readings
""")
COIL: Keys = (*OPENING, *COIL_WORK, *CLOSING)
PRELOAD_ONLY = keys("off:readings off:preload on:preload on:readings")

FIELDS: dict[Role | None, str] = {
    Role.COIL: "coil",
    Role.PRELOAD_SPACERS: "preload_spacers",
    Role.TOP_OUT_SPACERS: "top_out_spacers",
    Role.PRELOAD: "adjuster",
}


def coil_items() -> tuple[Item, ...]:
    """From the preload adjuster down to the top-out spacers."""
    counting = off_and_on(off_records=sighting("turns_found"), on_records=sighting("turns_left"))
    glasses = (Tool("safety glasses"),)
    held = ((Act.OFF, work(tools=glasses)), (Act.ON, work(tools=glasses)))
    proving = ((Act.CHECK, work(records=sighting("retaining_ring_home"))),)
    return (
        Item("preload", "preload adjuster", ("readings",), counting, Role.PRELOAD),
        Item("spring_cap", "spring cap", ("preload",), off_and_on(torque=GREASED_CAP), Role.SPRING_CAP),
        Item("preload_spacers", "preload spacers", ("spring_cap",), only(Act.CHANGE), Role.PRELOAD_SPACERS),
        Item("coil", "coil", ("spring_cap",), off_and_on() + only(Act.CHANGE), Role.COIL),
        Item(
            "spring_retaining_ring",
            "spring-side retaining ring",
            ("lowers", "coil"),
            held + proving,
            Role.RETAINING_RING,
        ),
        Item("spring_shaft", "shaft", ("spring_retaining_ring",), off_and_on(), Role.SPRING_SHAFT, inspect=(SCORES,)),
        Item("top_out_spacers", "top-out spacers", ("spring_shaft",), only(Act.CHANGE), Role.TOP_OUT_SPACERS),
    )


def without_charge(item: Item) -> Item:
    """The same item where there is no air to let out before it."""
    return replace(item, covered_by=tuple(key for key in item.covered_by if key != "air_charge"))


def coil_fork() -> Sheet:
    """Top-out spacers, preload spacers, an adjuster, and two coils."""
    feet = map(without_charge, (*foot("spring"), *foot("damper")))
    items = (readings(), *adjusters_and_knob(), *feet, *lowers_and_wipers(), *coil_items())
    stack = PreloadStack(value(0.010), 4, value(0.010), value(0.001))
    coils = tuple(CoilOnOffer(name, value(rate), None, value(0.36)) for name, rate in (("soft", 8e3), ("firm", 1e4)))
    spring = CoilSpring(coils, value(0.20), value(0.034), value(0.012), stack)
    made = sheet(TopOutSpacers(value(0.010), 3), items, None)
    return replace(made, spring=spring, charging=ChargingOrder(None, None, 0))


def coiled(top_out: int, coil: str, spacers: int, adjuster: float) -> Setup:
    """A setup of it."""
    return coil_setup("long", TopOutSetting(top_out), CoilFitting(coil, spacers, adjuster))


@dataclass(frozen=True)
class CoilBench(Bench):
    """The bench, on which coils and spacers are changed and a preload is turned in."""

    def _changing(self, step: Step, item: Item) -> Step:
        change = self._change(item)
        quantity = None if change.field == "coil" else Quantity.COUNT
        limit = change.before if isinstance(change.before, int) else None
        record = Record(f"found_{change.field}", change.field, quantity, low=limit, high=limit)
        return replace(step, changes=(change,), records=(record,), hold_point=True)

    def _fitting(self, step: Step, item: Item) -> Step:
        if item.role is Role.PRELOAD:
            return replace(step, changes=(self._change(item),))
        return super()._fitting(step, item)

    def _change(self, item: Item) -> Change:
        field = FIELDS.get(item.role, "")
        before, after = (_setting(setup, field) for setup in (self.as_found, self.target))
        return Change(field, before, after)


def _setting(setup: Setup, field: str) -> int | float | str:
    if isinstance(setup.setting, TopOutSetting) and field == "top_out_spacers":
        found: int | float | str = setup.setting.top_out_spacers  # type: ignore[assignment]
        return found
    setting: int | float | str = getattr(setup.fitting, field)
    return setting


def coil_bench() -> CoilBench:
    """From 160 to 140 mm: two top-out spacers more, two preload spacers less, the firm coil, less preload."""
    return CoilBench(coil_fork(), coiled(0, "soft", 3, 0.004), coiled(2, "firm", 1, 0.002))


def forgetful_coil() -> CoilBench:
    """The same fork by a sheet that says nothing about order."""
    bench = coil_bench()
    return replace(bench, sheet=careless(bench.sheet))
