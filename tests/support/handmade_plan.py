"""A small sheet, intake and plan made by hand, with one of everything that is put into words."""

from __future__ import annotations

from dataclasses import replace

from sagwright.domain.air_spring import AirSpring, TransferPort
from sagwright.domain.behaviour import Behaviour, Noticeable, Option, SpringView
from sagwright.domain.finding import Finding, Severity
from sagwright.domain.intake import Aim, AimKind, AsFound, Intake, Rider, UnitIdentity, Wish
from sagwright.domain.item import (
    Act,
    Caution,
    ChargeStage,
    Criterion,
    Fluid,
    Hand,
    Item,
    Part,
    Record,
    Role,
    Signal,
    ThreadState,
    Tool,
    Torque,
    Verdict,
)
from sagwright.domain.plan import Plan, Selection
from sagwright.domain.setup import Change, Charge, Setup, StackSetting
from sagwright.domain.sheet import Bumper, ChargingOrder, Chassis, Damper, Friction, Leg, Sheet, SpacerStack
from sagwright.domain.stance import Load, LoadHow
from sagwright.domain.step import Step, Supply, SupplyKind
from sagwright.domain.task import Task, TaskKind
from sagwright.domain.value import Figure, Measured, Origin, Quantity, Span, Unknown, Value
from sagwright.domain.work import Work

PSI = 6894.757293168361  # Pa, NIST SP 811 (2008)
MINUTES = 60.0


def measured(si: float, u: float | None = None) -> Value:
    return Value(si, u, Origin.MEASURED)


ITEMS = (
    Item("readings", "readings", role=Role.READINGS),
    Item("air_charge", "air charge", role=Role.AIR_CHARGE),
    Item("cap", "top cap", role=Role.AIR_CAP),
    Item("travel_spacers", "travel spacers", role=Role.TRAVEL_SPACERS),
    Item("foot_nut", "foot nut", role=Role.FOOT_FASTENER),
    Item("foams", "foam rings"),
)

SHEET = Sheet(
    name="hand/h1",
    maker="Specimen",
    model="H1",
    revision=7,
    base="hand/stack",
    chassis=(Chassis("long", measured(0.160), (0.130, 0.140, 0.150, 0.160), measured(0.541)),),
    mechanism=SpacerStack(measured(0.010), measured(0.020), 4),
    spring=AirSpring(
        bore=measured(0.0318),
        shaft=measured(0.010),
        positive_length=measured(0.085),
        negative_length=measured(0.050),
        volume_spacer=measured(8e-6),
        most_volume_spacers=6,
        positive_oil=measured(2e-6),
        negative_oil=measured(1e-6),
        pressure_gauge=Span(40 * PSI, 140 * PSI),
        transfer_port=TransferPort(measured(0.004), measured(0.003), 5),
    ),
    legs=(Leg("air", measured(0.035), measured(0.010), measured(60e-6), measured(10e-6)),),
    damper=Damper(measured(0.010), measured(2e5), measured(100e-6)),
    top_out=Bumper(measured(0.005), measured(1e5)),
    bottom_out=Bumper(measured(0.005), measured(1e5)),
    friction=Friction(measured(15.0), measured(30.0)),
    charging=ChargingOrder(None, None, 10),
    items=ITEMS,
)

FOUND = Setup("long", StackSetting(1, 1), 1, Charge(measured(89 * PSI)))
TARGET = replace(FOUND, setting=StackSetting(3, 3), volume_spacers=2, charge=Charge(measured(105 * PSI)))
BEHAVIOUR = Behaviour(*map(Measured, (0.0303, 0.202, 14.0, 2.66, 2.694, 143.0)))

INTAKE = Intake(
    name="bench 12",
    sheet=SHEET,
    unit=UnitIdentity("0417", "long"),
    as_found=AsFound(FOUND, measured(0.150)),
    wish=Wish(measured(0.130), Aim(AimKind.SAG, sag_fraction=0.2), volume_spacers=2),
    rider=Rider(measured(80.0), measured(5.0), measured(0.4)),
)


def option(volume_spacers: int, psi: float, distance: float) -> Option:
    charge = Charge(Value(psi * PSI, None, Origin.FITTED))
    setup = replace(TARGET, volume_spacers=volume_spacers, charge=charge)
    return Option(setup, 0.130, Measured(psi * PSI), BEHAVIOUR, distance, distance)


OPTIONS = (
    option(2, 105.0, 2.1),
    *(option(n % 7, 106.0 + n, 3.0 + n) for n in range(8)),
    replace(option(1, 89.0, 12.0), as_found=True, mismatch_low=11.0, permitted=False),
    replace(option(0, 140.0, 13.0), at_limit=True),
)

CHANGES = (
    Change("travel_spacers", 1, 3),
    Change("port_position", 1, 3),
    Change("volume_spacers", 1, 2),
    Change("charge", Charge(measured(89 * PSI)), Charge(measured(105 * PSI))),
)

STEPS = (
    Step(
        "off:readings",
        Act.OFF,
        "readings",
        "readings",
        "Read the pressure. Measure the stanchion.",
        "upright in the stand",
        measured(3 * MINUTES, 0.5 * MINUTES),
        hold_point=True,
        records=(Record("pressure_found", "pressure at the valve", Quantity.PRESSURE, 0.0, 160 * PSI),),
        tools=(Tool("shock pump", special=True),),
    ),
    Step(
        "off:air_charge",
        Act.OFF,
        "air_charge",
        "air charge",
        "Vent slowly with the core held open. Move the unit both ways over its full travel.",
        "upright in the stand",
        measured(4 * MINUTES, 1.2 * MINUTES),
        cautions=(Caution(Signal.WARNING, "Stored pressure. A gauge at zero is not proof of an empty unit."),),
        hold_point=True,
        records=(Record("moves", "moves both ways and stays where it is put"),),
    ),
    Step(
        "change:travel_spacers",
        Act.CHANGE,
        "travel_spacers",
        "travel spacers",
        "Count the spacers on the shaft. Bring them to the number shown.",
        "shaft on the bench",
        measured(5 * MINUTES),
        changes=CHANGES[:1],
        records=(Record("found_travel_spacers", "travel spacers found", Quantity.COUNT, 1.0, 1.0),),
        hold_point=True,
        inspect=(
            Criterion("piston", "piston seal", "no cut, no flat", Verdict.RENEW),
            Criterion("play", "bushing", "play under", Verdict.DO_NOT_RIDE, measured(0.00025), Quantity.LENGTH),
        ),
    ),
    Step(
        "on:foot_nut",
        Act.ON,
        "foot_nut",
        "foot nut",
        "Fit the new washer and tighten.",
        "upside down",
        measured(3 * MINUTES, 0.5 * MINUTES),
        tools=(Tool("socket", "10 mm"), Tool("torque wrench", "2 to 20 N·m")),
        torque=Torque(None, ThreadState.DRY, Hand.LEFT),
        fluid=Fluid("assembly grease"),
        renew=(Part("crush washer", "8 mm"),),
        waiting=measured(20 * MINUTES),
    ),
    Step(
        "charge:final:air_charge",
        Act.CHARGE,
        "air_charge",
        "air charge",
        "Set the pressure shown.",
        "upright in the stand",
        measured(2 * MINUTES, 0.3 * MINUTES),
        stage=ChargeStage.FINAL,
        pressure_gauge=105 * PSI,
        fluid=Fluid("lower-leg oil 60", Value(10e-6, None, Origin.TYPICAL)),
        torque=Torque(Value(26.0, None, Origin.TYPICAL), ThreadState.GREASED),
    ),
)

TOOLS_AND_PARTS = (
    Supply(SupplyKind.TOOL, "shock pump", special=True, steps=("off:readings", "charge:final:air_charge")),
    Supply(SupplyKind.TOOL, "socket", "10 mm", Figure(1, Quantity.COUNT), steps=("on:foot_nut",)),
    Supply(SupplyKind.PART, "travel spacer", "10 mm", Figure(2, Quantity.COUNT), steps=("change:travel_spacers",)),
    Supply(SupplyKind.SINGLE_USE, "crush washer", "8 mm", Figure(1, Quantity.COUNT), steps=("on:foot_nut",)),
    Supply(SupplyKind.FLUID, "lower-leg oil 60", "", Figure(10e-6, Quantity.VOLUME)),
    Supply(SupplyKind.FLUID, "assembly grease"),
)

FINDINGS = (
    Finding("charge.age-unknown", Severity.QUESTION, "as_found.last_set"),
    Finding(
        "length.changes",
        Severity.NOTE,
        "wish.travel",
        (("before", Figure(0.531, Quantity.LENGTH)), ("after", Figure(0.511, Quantity.LENGTH))),
    ),
)

SELECTION = Selection(
    intake=INTAKE,
    findings=FINDINGS,
    options=OPTIONS,
    target=OPTIONS[0],
    spring=SpringView(
        load=Load(Measured(310.0, 25.0), LoadHow.SHARE),
        slow_exponent=1.0,
        stroke_exponent=1.2,
        noticeable=Noticeable(),
        aim=Aim(AimKind.SAG, sag_fraction=0.2),
        as_found=(BEHAVIOUR, replace(BEHAVIOUR, sag=Measured(0.035), sag_fraction=Measured(0.233))),
        target=OPTIONS[0].behaviour,
    ),
)

WORK = Work(
    sheet=INTAKE.sheet,
    chassis=INTAKE.unit.chassis,
    tasks=(Task(TaskKind.CHANGE_TRAVEL, INTAKE.wish.travel.si),),
    as_found=INTAKE.as_found.setup,
    target=OPTIONS[0].setup,
    changes=CHANGES,
    tools_and_parts=TOOLS_AND_PARTS,
    steps=STEPS,
)

PLAN = Plan(
    program="sagwright 0",
    work=WORK,
    selection=SELECTION,
    cautions=(
        Caution(Signal.WARNING, "The maker's manual and local rules win over this plan."),
        Caution(Signal.NOTICE, "Typical values must be confirmed."),
    ),
)

REFUSED = replace(
    PLAN,
    work=replace(WORK, target=None, changes=(), tools_and_parts=(), steps=()),
    selection=replace(
        SELECTION,
        findings=(
            *FINDINGS,
            Finding(
                "travel.not-permitted",
                Severity.NOT_ALLOWED,
                "wish.travel",
                (
                    ("wanted", Figure(0.170, Quantity.LENGTH)),
                    ("low", Figure(0.130, Quantity.LENGTH)),
                    ("high", Figure(0.160, Quantity.LENGTH)),
                ),
                (("chassis", "long"),),
            ),
        ),
        options=(),
        target=None,
    ),
)

UNKNOWN_INSIDE = replace(
    FOUND,
    setting=StackSetting(Unknown.UNTIL_OPEN, Unknown.UNTIL_OPEN),
    volume_spacers=Unknown.UNTIL_OPEN,
    charge=Unknown.NOT_MEASURED,
)
