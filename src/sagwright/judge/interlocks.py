"""Rules against what hurts people or units, whatever order a sheet gives. Common practice, no source."""

from __future__ import annotations

from typing import Final

from sagwright.domain.item import Act, ChargeStage, Item, Role
from sagwright.judge.end_rules import unchanged_unit
from sagwright.judge.rule import StepMoment, StepRule, naming
from sagwright.judge.state import ADJUSTER, CHARGES, OWN_VALVE_ROLES, same_setting


def confirmed_empty(moment: StepMoment) -> str:
    """It opens a chamber, or lets go of what holds one shut, on a unit that may be charged."""
    if not moment.state.air.confirmed_empty:
        return "the unit is not confirmed empty"
    return naming("not confirmed empty", moment.on(*OWN_VALVE_ROLES))


def feet_ready(moment: StepMoment) -> str:
    """It opens a foot with clicks uncounted, the lock-out shut, or a knob on."""
    return naming("still to come off or be recorded", moment.on(Role.ADJUSTERS, Role.KNOB))


def seat_free(moment: StepMoment) -> str:
    """It pulls the lowers against a seated shaft."""
    return naming("still seated", moment.on(Role.FOOT_SEAT))


def oil_part_way(moment: StepMoment) -> str:
    """Oil goes in too early or too late, or a foot is closed before it."""
    if moment.item.role is Role.FOOT_SEAT:
        return naming("not filled yet", moment.off(Role.LOWER_LEG_OIL))
    seated = (seat for seat in moment.on(Role.FOOT_SEAT) if _share_a_leg(seat, moment.item))
    return naming("still off", moment.off(Role.LOWERS)) or naming("seated already", seated)


def _share_a_leg(one: Item, other: Item) -> bool:
    return one.leg == other.leg or not one.leg or not other.leg


def retainer_checked(moment: StepMoment) -> str:
    """Air or a coil goes in behind a retaining ring that was off and has not been checked, or the lowers go on and
    hide it."""
    if moment.step.act is Act.ON and moment.item.role not in {Role.LOWERS, Role.COIL}:
        return ""
    retaining_rings = moment.case.sheet.having(Role.RETAINING_RING)
    return naming("not checked since it was off", (c for c in retaining_rings if c.key in moment.state.unchecked))


def closed(moment: StepMoment) -> str:
    """Air goes into an open chamber."""
    return naming("still off", moment.off(Role.AIR_CAP, Role.AIR_SHAFT, Role.RETAINING_RING))


def charge_before_lowers(moment: StepMoment) -> str:
    """The lowers go on over another charge than the sheet's."""
    wanted, air = moment.case.sheet.charging.before_lowers, moment.state.air
    if wanted is None:
        return "" if air.confirmed_empty else "the sheet asks for no charge before the lowers"
    pressure_gauge = _pressure_gauge_before_lowers(moment, wanted)
    right = air.stage is wanted and same_setting(air.pressure_gauge, pressure_gauge)
    return "" if right else f"the sheet asks for the {wanted.value} charge before the lowers, at its pressure"


def _pressure_gauge_before_lowers(moment: StepMoment, stage: ChargeStage) -> float | None:
    if stage is ChargeStage.ASSEMBLY:
        assembly_gauge = moment.case.sheet.charging.assembly_gauge
        return assembly_gauge.si if assembly_gauge else None
    return moment.case.target_pressure_gauge


def feet_first(moment: StepMoment) -> str:
    """Air goes in or is worked with a foot open, other than the sheet's own charge before the lowers."""
    before_lowers = moment.step.act is Act.CHARGE and bool(moment.off(Role.LOWERS))
    if before_lowers and moment.step.stage is moment.case.sheet.charging.before_lowers:
        return ""
    return naming("still off", moment.off(Role.LOWERS, Role.FOOT_SEAT, Role.FOOT_FASTENER))


def cycled(moment: StepMoment) -> str:
    """Strokes without the riding pressure in, or a final charge without strokes."""
    air = moment.state.air
    if moment.step.act is Act.CHARGE:
        has_transfer_port = moment.case.sheet.air.negative_gauge is None
        early = moment.step.stage is ChargeStage.FINAL and has_transfer_port and not air.cycled
        return "the riding pressure was not worked through the transfer port" if early else ""
    riding_gauge = moment.case.target_pressure_gauge
    riding = air.stage is ChargeStage.RIDING and same_setting(air.pressure_gauge, riding_gauge)
    return "" if riding else "the riding pressure is not in"


def readings_first(moment: StepMoment) -> str:
    """The unit is opened, or its air touched, outside the readings as found and as left."""
    if moment.item.role is Role.READINGS:
        return ""
    return naming("as found not written down, or the final readings already taken", moment.on(Role.READINGS))


def final_readings_last(moment: StepMoment) -> str:
    """The proof is read before the unit is as it will be ridden."""
    uncharged = moment.state.air.stage is not ChargeStage.FINAL and not unchanged_unit(moment.case, moment.state)
    if moment.case.sheet.spring.holds_air and uncharged:
        return "the final charge is not in"
    return naming("not set back yet", moment.off(Role.ADJUSTERS, Role.PRELOAD))


def spring_relaxed(moment: StepMoment) -> str:
    """The cap over a coil is turned out, or in, against its whole preload."""
    return naming("still turned in", moment.on(Role.PRELOAD))


def spring_out(moment: StepMoment) -> str:
    """What holds a coil's shaft in is opened while the coil still presses on it."""
    return naming("still in", moment.on(Role.COIL))


def preload_set(moment: StepMoment) -> str:
    """The preload is not turned from where it was found to the target's."""
    turned = [change.after for change in moment.step.changes if change.field == ADJUSTER]
    right = len(turned) == 1 and same_setting(turned[0], moment.case.wanted(ADJUSTER))
    return "" if right else "it is not turned to the target's preload"


def valve_order(moment: StepMoment) -> str:
    """A chamber with its own valve is charged or emptied on the wrong side of the main one."""
    if moment.item.role is Role.AIR_CHARGE:
        return _main_valve(moment)
    air, first = moment.state.air, moment.item in _firsts(moment)
    if moment.step.act is Act.OFF:
        return "the main chamber is not confirmed empty" if first and not air.confirmed_empty else ""
    if first and not (air.confirmed_empty or air.stage is ChargeStage.ASSEMBLY):
        return "the main chamber is not empty"
    return "the main chamber is empty" if not first and air.confirmed_empty else ""


def _main_valve(moment: StepMoment) -> str:
    firsts = _firsts(moment)
    owns = tuple(item for item in moment.case.sheet.items if item.role in OWN_VALVE_ROLES)
    if moment.step.act is Act.OFF:
        return naming("still charged", (i for i in moment.on(*OWN_VALVE_ROLES) if i not in firsts))
    late = firsts if moment.step.stage is ChargeStage.RIDING else owns
    if moment.step.stage is ChargeStage.ASSEMBLY:
        late = ()
    return naming("not charged yet", (i for i in late if i.key in moment.state.off))


def _firsts(moment: StepMoment) -> tuple[Item, ...]:
    """The charges that go in before the main one and come out after it."""
    sheet, spring = moment.case.sheet, moment.case.sheet.air
    first = {
        Role.SECOND_CHARGE: spring.second is not None and spring.second.valve.first,
        Role.NEGATIVE_CHARGE: spring.negative_valve.first,
    }
    return tuple(item for item in sheet.items if item.role and first.get(item.role, False))


_AIR_WORK: Final = frozenset({Act.CHARGE, Act.CYCLE})

INTERLOCK_RULES: Final = (
    StepRule(
        "confirmed-empty",
        "The air cap, the retaining ring, the air shaft and the feet are opened only on a unit confirmed empty, "
        "because a gauge at zero sees one chamber, and what the other still holds throws parts at people.",
        frozenset({Act.OFF}),
        confirmed_empty,
        frozenset({Role.AIR_CAP, Role.RETAINING_RING, Role.AIR_SHAFT, Role.FOOT_FASTENER, Role.FOOT_SEAT}),
    ),
    StepRule(
        "feet-ready",
        "A foot is loosened or struck only with the clicks recorded, the lock-out open and the knobs off, because a "
        "knob in the way or a closed valve takes the blow, and clicks turned during the work cannot be counted again.",
        frozenset({Act.OFF}),
        feet_ready,
        frozenset({Role.FOOT_FASTENER, Role.FOOT_SEAT}),
    ),
    StepRule(
        "seat-free",
        "The lowers come off only when every shaft is free of its foot, because pulled against a seated "
        "shaft they bend it, or let go all at once.",
        frozenset({Act.OFF}),
        seat_free,
        frozenset({Role.LOWERS}),
    ),
    StepRule(
        "oil-part-way",
        "Lower-leg oil goes in through the feet while the lowers are part-way on, and no foot is closed before every "
        "leg has its oil, because earlier the oil runs out again, later there is no way in, and the bushings run dry.",
        frozenset({Act.ON}),
        oil_part_way,
        frozenset({Role.LOWER_LEG_OIL, Role.FOOT_SEAT}),
    ),
    StepRule(
        "closed",
        "No air goes in while the air cap, the air shaft or the retaining ring is off, because it would be blown out "
        "at whoever holds the pump.",
        frozenset({Act.CHARGE}),
        closed,
    ),
    StepRule(
        "retainer-checked",
        "No air and no coil goes in behind a retaining ring or seal head that was off, and no lowers go on over it, "
        "until it has been seen fully seated and tug-tested, because one that only looks fitted lets go under "
        "pressure and the shaft flies out.",
        frozenset({Act.CHARGE, Act.ON}),
        retainer_checked,
    ),
    StepRule(
        "charge-before-lowers",
        "The lowers go on over exactly the pressure the sheet states, because with less the shaft slips away from its "
        "foot or its seal head leaves its seat, and with more it pushes hard at whoever fits them.",
        frozenset({Act.ON}),
        charge_before_lowers,
        frozenset({Role.LOWERS}),
    ),
    StepRule(
        "feet-first",
        "Apart from the pressure the sheet wants before the lowers, air goes in and is worked only with every foot "
        "fastened, because it drives the lowers off a shaft that nothing holds.",
        _AIR_WORK,
        feet_first,
    ),
    StepRule(
        "cycled",
        "The riding pressure is worked through the transfer port and then set again, because otherwise the "
        "negative chamber is left behind and the pressure falls on the first ride.",
        _AIR_WORK,
        cycled,
    ),
    StepRule(
        "valve-order",
        "A chamber with a valve of its own is charged before or after the main one, as the sheet says, and what is "
        "charged last is emptied first, because a floating piston must lie on its stop and a negative chamber "
        "alone pulls the unit in.",
        frozenset({Act.OFF, Act.CHARGE}),
        valve_order,
        frozenset(CHARGES),
    ),
    StepRule(
        "readings-first",
        "Nothing is opened, let out or pumped before the readings as found are written down, nor after the "
        "final readings are taken, because what the unit was can never be read again and the final readings would "
        "no longer hold.",
        frozenset({Act.OFF, Act.CHANGE, Act.CHARGE, Act.CYCLE}),
        readings_first,
    ),
    StepRule(
        "final-readings-last",
        "The final readings are taken only at riding pressure, with preload and adjusters set back, because earlier "
        "readings would describe a unit in a state in which nobody rides it.",
        frozenset({Act.ON}),
        final_readings_last,
        frozenset({Role.READINGS}),
    ),
    StepRule(
        "spring-relaxed",
        "The cap over a coil comes off and goes on only with its preload adjuster backed off, because a coil that is "
        "still pressed throws the cap as soon as its last thread lets go.",
        frozenset({Act.OFF, Act.ON}),
        spring_relaxed,
        frozenset({Role.SPRING_CAP}),
    ),
    StepRule(
        "spring-out",
        "What holds a coil's shaft in is opened only once the coil is out, because all of its preload stands behind it "
        "and drives shaft and ring out of the stanchion.",
        frozenset({Act.OFF}),
        spring_out,
        frozenset({Role.RETAINING_RING, Role.SPRING_SHAFT}),
    ),
    StepRule(
        "preload-set",
        "A preload that was backed off is turned in again to the target's, because a coil that is loose or pressed "
        "further than planned changes how the fork sags and how near it comes to solid.",
        frozenset({Act.ON}),
        preload_set,
        frozenset({Role.PRELOAD}),
    ),
)
