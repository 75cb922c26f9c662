"""Two small but complete forks of an invented maker, and the values that they are written with.

Every number is made up for these tests and none is a maker's. The order of the work is common practice, no
source.
"""

from __future__ import annotations

from dataclasses import replace

from sagwright.domain.air_spring import AirSpring, TransferPort
from sagwright.domain.item import (
    Act,
    ChargeStage,
    Criterion,
    Fluid,
    Item,
    ItemWork,
    Part,
    Record,
    Role,
    ThreadState,
    Tool,
    Torque,
    Verdict,
)
from sagwright.domain.setup import Charge, Setup, ShaftSetting, StackSetting
from sagwright.domain.sheet import (
    Bumper,
    ChargingOrder,
    Chassis,
    Damper,
    Friction,
    Leg,
    Mechanism,
    Shaft,
    ShaftPerTravel,
    Sheet,
    SpacerStack,
)
from sagwright.domain.value import Quantity, Span, Value

HOLDING_GAUGE = 240e3
RIDING_GAUGE = 550e3


def value(si: float) -> Value:
    return Value(si)


def work(
    *,
    torque: Torque | None = None,
    fluid: Fluid | None = None,
    records: tuple[Record, ...] = (),
    tools: tuple[Tool, ...] = (),
) -> ItemWork:
    """A minute's work; it is a hold point where it has records."""
    return ItemWork(
        do="As the sheet says.",
        position="in the stand",
        minutes=value(60.0),
        tools=tools,
        torque=torque,
        fluid=fluid,
        hold_point=bool(records),
        records=records,
    )


def sighting(key: str) -> tuple[Record, ...]:
    return (Record(key, "seen"),)


def off_and_on(
    *,
    torque: Torque | None = None,
    off_records: tuple[Record, ...] = (),
    on_records: tuple[Record, ...] = (),
    tools: tuple[Tool, ...] = (),
) -> tuple[tuple[Act, ItemWork], ...]:
    off = work(records=off_records, tools=tools)
    return (Act.OFF, off), (Act.ON, work(torque=torque, records=on_records, tools=tools))


def only(act: Act) -> tuple[tuple[Act, ItemWork], ...]:
    return ((act, work()),)


GREASED_CAP = Torque(value(24.0), ThreadState.GREASED)
UNKNOWN_FOOT = Torque(None, ThreadState.DRY)
SCORES = Criterion("scores", "scores on the air shaft", "none", Verdict.RENEW)
CUTS = Criterion("cuts", "cuts in the shaft's seals", "none", Verdict.RENEW)
WASHER = Part("crush washer", "8 mm")
LOWER_LEG_OIL = Fluid("lower-leg oil")


def readings() -> Item:
    found = (Record("pressure_found", "gauge pressure", Quantity.PRESSURE, low=0.0),)
    left = (Record("exposed_change", "exposed stanchion, change", Quantity.LENGTH),)
    return Item("readings", "readings", works=off_and_on(off_records=found, on_records=left), role=Role.READINGS)


def adjusters_and_knob() -> tuple[Item, ...]:
    clicks = (Record("rebound_clicks", "clicks from closed", Quantity.COUNT, high=30.0),)
    return (
        Item(
            "adjusters",
            "adjusters",
            ("readings",),
            off_and_on(off_records=clicks),
            Role.ADJUSTERS,
        ),
        Item("rebound_knob", "rebound knob", ("adjusters",), off_and_on(), Role.KNOB),
    )


def air_and_cap() -> tuple[Item, ...]:
    charging = (
        (Act.OFF, work(records=sighting("moves_freely"))),
        (Act.CHARGE, work()),
        (Act.CYCLE, work()),
    )
    return (
        Item("air_charge", "air charge", ("readings",), charging, Role.AIR_CHARGE),
        Item("air_cap", "air cap", ("air_charge",), off_and_on(torque=GREASED_CAP), Role.AIR_CAP),
        Item("volume_spacers", "volume spacers", ("air_cap",), only(Act.CHANGE), Role.VOLUME_SPACERS),
    )


def foot(leg: str) -> tuple[Item, ...]:
    """Fastener, seat and lower-leg oil of one leg, outermost first."""
    fastener, seat, oil = f"{leg}_foot_fastener", f"{leg}_foot_seat", f"{leg}_lower_leg_oil"
    covers = ("air_charge", "adjusters", "rebound_knob")
    drained = (Record(f"{leg}_drained", "drained", Quantity.VOLUME),)
    oil_works = ((Act.OFF, work(records=drained)), (Act.ON, work(fluid=LOWER_LEG_OIL)))
    return (
        Item(
            fastener,
            fastener,
            covers,
            off_and_on(torque=UNKNOWN_FOOT),
            Role.FOOT_FASTENER,
            renew=(WASHER,),
            leg=leg,
        ),
        Item(seat, seat, (fastener,), off_and_on(), Role.FOOT_SEAT, leg=leg),
        Item(oil, oil, (seat,), oil_works, Role.LOWER_LEG_OIL, leg=leg),
    )


def lowers_and_wipers() -> tuple[Item, ...]:
    return (
        Item("lowers", "lowers", ("spring_lower_leg_oil", "damper_lower_leg_oil"), off_and_on(), Role.LOWERS),
        Item("wipers", "wipers", ("lowers",), off_and_on()),
    )


def air_retaining_ring() -> Item:
    glasses = (Tool("safety glasses"),)
    works = (
        (Act.OFF, work(tools=glasses)),
        (Act.ON, work(tools=glasses)),
        (Act.CHECK, work(records=sighting("retaining_ring_home"))),
    )
    return Item("air_retaining_ring", "air-side retaining ring", ("lowers", "air_charge"), works, Role.RETAINING_RING)


def seal_head() -> Item:
    """What holds the air shaft in by a thread instead of a retaining ring; it goes in after the cap is on."""
    works = (
        *off_and_on(torque=Torque(value(20.0), ThreadState.GREASED)),
        (Act.CHECK, work(records=sighting("head_on_shoulder"))),
    )
    return Item("seal_head", "seal head", ("lowers", "air_charge"), works, Role.RETAINING_RING, after=("air_cap",))


def shaft_and_stack() -> tuple[Item, ...]:
    return (
        Item(
            "air_shaft",
            "air shaft",
            ("air_retaining_ring",),
            off_and_on(),
            Role.AIR_SHAFT,
            inspect=(SCORES, CUTS),
        ),
        Item("travel_spacers", "travel spacers", ("air_shaft",), only(Act.CHANGE), Role.TRAVEL_SPACERS),
        Item("transfer_port", "transfer_port", ("air_shaft",), only(Act.CHANGE), Role.TRANSFER_PORT),
    )


def swapped_shaft() -> Item:
    return Item(
        "air_shaft",
        "air shaft",
        ("seal_head",),
        off_and_on() + only(Act.CHANGE),
        Role.AIR_SHAFT,
        inspect=(SCORES,),
    )


def stack_fork(before_lowers: ChargeStage | None = ChargeStage.RIDING) -> Sheet:
    """Travel spacers and a movable transfer port, held by a retaining ring."""
    items = (
        readings(),
        *adjusters_and_knob(),
        *air_and_cap(),
        *foot("spring"),
        *foot("damper"),
        *lowers_and_wipers(),
        air_retaining_ring(),
        *shaft_and_stack(),
    )
    return sheet(SpacerStack(value(0.010), value(0.020), 4), items, before_lowers)


def shaft_fork(before_lowers: ChargeStage | None = ChargeStage.ASSEMBLY) -> Sheet:
    """One air shaft per travel, held by a threaded seal head."""
    items = (
        readings(),
        *adjusters_and_knob(),
        *air_and_cap(),
        *foot("spring"),
        *foot("damper"),
        *lowers_and_wipers(),
        seal_head(),
        swapped_shaft(),
    )
    shafts = (Shaft(value(0.140), 4), Shaft(value(0.160), 3))
    return sheet(ShaftPerTravel(shafts), items, before_lowers)


def careless(whole: Sheet) -> Sheet:
    """The same sheet by an author who forgot what covers what, and every extra order."""
    return replace(whole, items=tuple(replace(item, covered_by=(), after=()) for item in whole.items))


def sheet(mechanism: Mechanism, items: tuple[Item, ...], before_lowers: ChargeStage | None) -> Sheet:
    nothing, length = value(0.0), value(0.05)
    return Sheet(
        name="specimen/judged",
        maker="Specimen",
        model="judged",
        revision=1,
        base="air-fork",
        chassis=(Chassis("long", value(0.160), (0.140, 0.150, 0.160)),),
        mechanism=mechanism,
        spring=AirSpring(
            bore=value(0.0318),
            shaft=value(0.010),
            positive_length=value(0.085),
            negative_length=length,
            volume_spacer=value(8e-6),
            most_volume_spacers=4,
            positive_oil=nothing,
            negative_oil=nothing,
            pressure_gauge=Span(300e3, 900e3),
            transfer_port=TransferPort(value(0.004), value(0.002), 5),
        ),
        legs=(leg("spring", lower_leg_oil=10e-6), leg("damper", lower_leg_oil=30e-6)),
        damper=Damper(value(0.010), nothing, nothing),
        top_out=Bumper(length, nothing),
        bottom_out=Bumper(length, nothing),
        friction=Friction(nothing, nothing),
        charging=ChargingOrder(before_lowers, value(HOLDING_GAUGE), 10),
        items=items,
    )


def leg(name: str, *, lower_leg_oil: float) -> Leg:
    return Leg(name, value(0.035), value(0.010), value(60e-6), value(lower_leg_oil))


def charge(pressure_gauge: float) -> Charge:
    return Charge(value(pressure_gauge))


def stacked(travel_spacers: int, *, hole: int | None = None, volume_spacers: int = 1) -> Setup:
    """A stack fork's setup at the riding pressure, its transfer port where it belongs unless it says otherwise."""
    setting = StackSetting(travel_spacers, travel_spacers if hole is None else hole)
    return Setup("long", setting, volume_spacers, charge(RIDING_GAUGE))


def shafted(travel: float, *, volume_spacers: int = 1) -> Setup:
    """A shaft fork's setup at the riding pressure."""
    return Setup("long", ShaftSetting(travel), volume_spacers, charge(RIDING_GAUGE))
