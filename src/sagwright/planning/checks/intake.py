"""Checks of an intake before anything is chosen: findings about as found, and about the wish.

Each check is one function from an intake to findings; `_CHECKS` is the list that runs. As found is described, however
wrong; only a wish is refused.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from sagwright.domain.finding import Finding
from sagwright.domain.intake import Intake
from sagwright.domain.settings import SETTINGS
from sagwright.domain.setup import Setup, StackSetting
from sagwright.domain.sheet import SpacerStack
from sagwright.domain.step import Step
from sagwright.domain.value import Figure, Origin, Quantity, Unknown, Value
from sagwright.planning.checks.findings import count_figure, finding, length_figure, pressure_figure
from sagwright.planning.spring.air import state_of
from sagwright.planning.spring.behaviour import SLOW
from sagwright.planning.spring.model import fit_of, model_of, stroke_of
from sagwright.planning.spring.parts import most_volume_spacers, same_setup, travel_of
from sagwright.planning.spring.setups import charge_of, found_travel, permitted, possible, setting_for
from sagwright.planning.spring.valves import NAMES, gauges_of, own_valves_of

STALE: Final = 28 * 86_400.0
"""A pressure set longer ago than this is asked about [s]: assumed; forks lose a few psi a month."""

EXPOSED: Final = 0.005
"""A travel measured further than this from what sets it contradicts it [m]: rule and dead length, TRADE practice."""


def wished_travel(intake: Intake) -> Iterator[Finding]:
    """The wanted travel is one the chassis is made for, and something reaches it."""
    chassis = intake.sheet.chassis_named(intake.unit.chassis)
    wanted = intake.wish.travel.si
    if not permitted(chassis, wanted):
        below = [travel for travel in chassis.travels if travel < wanted]
        above = [travel for travel in chassis.travels if travel > wanted]
        near = {"below": length_figure(below[-1])} if below else {}
        near |= {"above": length_figure(above[0])} if above else {}
        span = {"low": length_figure(chassis.travels[0]), "high": length_figure(chassis.travels[-1])}
        yield finding(
            "travel.not-permitted",
            "wish.travel",
            (("chassis", chassis.name),),
            wanted=length_figure(wanted),
            **span,
            **near,
        )
    elif setting_for(intake.sheet, chassis, wanted) is None:
        yield finding("travel.out-of-reach", "wish.travel", (("chassis", chassis.name),), wanted=length_figure(wanted))
    else:
        found = found_travel(intake)
        if found is not None and same_setup(found, wanted):
            yield finding("travel.already", "wish.travel", wanted=length_figure(wanted))


def wished_travel_spacers(intake: Intake) -> Iterator[Finding]:
    """Pinned travel spacers fit under the piston, and give the wanted travel."""
    sheet, wanted = intake.sheet, intake.wish.travel_spacers
    if wanted is None:
        return
    field = "wish.travel_spacers"
    if not isinstance(sheet.mechanism, SpacerStack):
        yield finding("target.travel-spacers-too-many", field, wanted=count_figure(wanted), most=count_figure(0))
    elif wanted > sheet.mechanism.most:
        yield finding(
            "target.travel-spacers-too-many",
            field,
            wanted=count_figure(wanted),
            most=count_figure(sheet.mechanism.most),
        )
    else:
        chassis = sheet.chassis_named(intake.unit.chassis)
        gives = travel_of(sheet, chassis, StackSetting(wanted, wanted))
        if not isinstance(gives, Unknown) and not same_setup(gives, intake.wish.travel.si):
            yield finding(
                "target.travel-spacers-contradict",
                field,
                spacers=count_figure(wanted),
                gives=length_figure(gives),
                wanted=length_figure(intake.wish.travel.si),
            )


def wished_volume_spacers(intake: Intake) -> Iterator[Finding]:
    """Pinned volume spacers fit over the wanted travel."""
    wanted = intake.wish.volume_spacers
    setting = setting_for(intake.sheet, intake.sheet.chassis_named(intake.unit.chassis), intake.wish.travel.si)
    if wanted is None or setting is None:
        return
    most = most_volume_spacers(intake.sheet, setting)
    if wanted > most:
        yield finding(
            "target.volume-spacers-too-many",
            "wish.volume_spacers",
            wanted=count_figure(wanted),
            most=count_figure(most),
        )


def wished_pressure(intake: Intake) -> Iterator[Finding]:
    """A pinned pressure is within the sheet's range."""
    wanted = intake.wish.pressure_gauge
    if wanted is None:
        return
    span = intake.sheet.air.pressure_gauge
    if wanted.si > span.high:
        yield finding(
            "target.pressure-over", "wish.pressure", wanted=pressure_figure(wanted.si), high=pressure_figure(span.high)
        )
    if wanted.si < span.low:
        yield finding(
            "target.pressure-under", "wish.pressure", wanted=pressure_figure(wanted.si), low=pressure_figure(span.low)
        )


def found_travel_spacers(intake: Intake) -> Iterator[Finding]:
    """As found holds no more travel spacers than fit, and gives a permitted travel that agrees with the rule."""
    sheet, setting = intake.sheet, intake.as_found.setup.setting
    mechanism, chassis = sheet.mechanism, sheet.chassis_named(intake.unit.chassis)
    if isinstance(mechanism, SpacerStack) and isinstance(setting, StackSetting):
        spacers = setting.travel_spacers
        if not isinstance(spacers, Unknown) and spacers > mechanism.most:
            yield finding(
                "found.travel-spacers-too-many",
                "as_found.travel_spacers",
                found=count_figure(spacers),
                most=count_figure(mechanism.most),
            )
    gives, measured = travel_of(sheet, chassis, setting), intake.as_found.travel
    known = found_travel(intake)
    if known is not None and not any(abs(known - travel) <= EXPOSED for travel in chassis.travels):
        low, high = length_figure(chassis.travels[0]), length_figure(chassis.travels[-1])
        yield finding("found.travel-not-permitted", "as_found.travel", found=length_figure(known), low=low, high=high)
    if not isinstance(gives, Unknown) and not isinstance(measured, Unknown) and abs(gives - measured.si) > EXPOSED:
        yield finding(
            "found.travel-contradicts",
            "as_found.travel",
            measured=length_figure(measured.si),
            gives=length_figure(gives),
        )


def found_reach(intake: Intake) -> Iterator[Finding]:
    """As found the stanchions reach far enough into the bushings, and the damper's stroke covers the travel."""
    sheet, travel = intake.sheet, found_travel(intake)
    if travel is None:
        return
    bushings, stroke = sheet.bushings, sheet.damper.stroke
    if bushings is not None and bushings.overlap is not None and bushings.least_overlap is not None:
        longer = travel - sheet.chassis_named(intake.as_found.setup.chassis).longest.si
        left, least = bushings.overlap.si - longer, bushings.least_overlap.si
        if left < least:
            yield finding(
                "found.overlap-short", "as_found.travel", left=length_figure(left), least=length_figure(least)
            )
    if stroke is not None and travel > stroke.si + EXPOSED:
        yield finding(
            "found.damper-short", "as_found.travel", travel=length_figure(travel), stroke=length_figure(stroke.si)
        )


def found_volume_spacers(intake: Intake) -> Iterator[Finding]:
    """As found holds no more volume spacers than are permitted."""
    found = intake.as_found.setup.volume_spacers
    if isinstance(found, Unknown):
        return
    most = max((most_volume_spacers(intake.sheet, setup.setting) for setup in possible(intake)), default=found)
    if found > most:
        yield finding(
            "found.volume-spacers-too-many",
            "as_found.volume_spacers",
            found=count_figure(found),
            most=count_figure(most),
        )


def found_pressure(intake: Intake) -> Iterator[Finding]:
    """As found is charged within the sheet's range, cycled, and lately enough to say how it rode."""
    charge = charge_of(intake.as_found.setup)
    if charge is None:
        return
    span = intake.sheet.air.pressure_gauge
    found = charge.pressure_gauge.si
    if found > span.high:
        yield finding(
            "found.pressure-over", "as_found.charge", found=pressure_figure(found), high=pressure_figure(span.high)
        )
    if found < span.low:
        yield finding(
            "found.pressure-under", "as_found.charge", found=pressure_figure(found), low=pressure_figure(span.low)
        )
    if not charge.cycled:
        yield finding("found.not-cycled", "as_found.charge", found=pressure_figure(found))
    if not intake.as_found.leaked:
        yield from _age(intake.as_found.last_set)


def own_charges(intake: Intake) -> Iterator[Finding]:
    """Chambers with a valve of their own were read, and what was found and is wished there is permitted."""
    charge = charge_of(intake.as_found.setup)
    for own in own_valves_of(intake.sheet):
        words = (("chamber", NAMES[own.field]),)
        wanted: Value | None = getattr(intake.wish, own.field)
        read: Value | None = None if charge is None else getattr(charge, own.field)
        if charge is not None and read is None:
            assumed = pressure_figure(gauges_of(intake.sheet, charge)[own.field])
            yield finding("found.own-pressure-unread", "as_found.charge", words, assumed=assumed)
        span = own.span
        if span is None:
            continue
        ends = {"low": pressure_figure(span.low), "high": pressure_figure(span.high)}
        if read is not None and not own.permits(read.si):
            yield finding(
                "found.own-pressure-outside", "as_found.charge", words, found=pressure_figure(read.si), **ends
            )
        if wanted is not None and not own.permits(wanted.si):
            field = f"wish.{NAMES[own.field]}_pressure"
            yield finding("target.own-pressure-outside", field, words, wanted=pressure_figure(wanted.si), **ends)


def _age(last_set: Value | None) -> Iterator[Finding]:
    if last_set is None:
        yield finding("charge.age-unknown", "as_found.charge.last_set")
    elif last_set.si > STALE:
        yield finding("charge.stale", "as_found.charge.last_set", age=Figure(last_set.si, Quantity.TIME))


def unknown_until_open(intake: Intake) -> Iterator[Finding]:
    """What can only be seen inside."""
    setup = intake.as_found.setup
    rows = [row for row in SETTINGS if row.inside and row.has(setup)]
    unseen = [row.key for row in rows if isinstance(row.of(setup), Unknown)]
    if unseen:
        yield finding("found.unknown-until-open", "as_found", (("what", ", ".join(sorted(unseen))),))


_CHECKS: Final[tuple[Callable[[Intake], Iterator[Finding]], ...]] = (
    wished_travel,
    wished_travel_spacers,
    wished_volume_spacers,
    wished_pressure,
    found_travel_spacers,
    found_reach,
    found_volume_spacers,
    found_pressure,
    own_charges,
    unknown_until_open,
)
"""Every check of an intake, in the order in which findings are shown."""


def checked(intake: Intake) -> tuple[Finding, ...]:
    """All findings of all checks."""
    return tuple(found for check in _CHECKS for found in check(intake))


def about_torques(steps: tuple[Step, ...]) -> Iterator[Finding]:
    """Torques of the work whose value is not found yet, and how many are only typical."""
    torques = {step.item: (step.name, step.torque.value) for step in steps if step.torque is not None}
    for item, (name, value) in torques.items():
        if value is None:
            yield finding("torque.unknown", f"sheet.items.{item}", (("item", name),))
    typical = sum(value is not None and value.origin is Origin.TYPICAL for _, value in torques.values())
    if typical:
        yield finding("values.typical", "sheet", torques=count_figure(typical))


def port_offset(intake: Intake, setup: Setup) -> tuple[int, int] | None:
    """Travel spacers and port position of a setup where they do not belong together; None where they do."""
    setting = setup.setting
    if not isinstance(setting, StackSetting) or intake.sheet.air.transfer_port.positions == 1:
        return None
    spacers, hole = setting.travel_spacers, setting.port_position
    if isinstance(spacers, Unknown) or isinstance(hole, Unknown) or spacers == hole:
        return None
    return spacers, hole


def port_findings(intake: Intake) -> Iterator[Finding]:
    """The transfer port does not stand beside its spacers.

    Behind after shortening it is never passed: the negative chamber stays empty. Ahead after lengthening it opens
    late: the unit rests in its travel.
    """
    setup = possible(intake)[0]
    off = port_offset(intake, setup)
    if off is None:
        return
    spacers, hole = off
    code = "found.transfer-port-behind" if hole < spacers else "found.transfer-port-ahead"
    numbers = {"spacers": count_figure(spacers), "hole": count_figure(hole), "holes": count_figure(abs(spacers - hole))}
    yield finding(code, "as_found.port_position", **numbers, **dict(_effect(intake, setup)))


def _effect(intake: Intake, setup: Setup) -> Iterator[tuple[str, Figure]]:
    """Force to start it moving, and where it rests; nothing while the charge is not known."""
    charge = charge_of(setup)
    if charge is None:
        return
    model = model_of(intake.sheet, fit_of(intake.sheet, setup), intake.workshop)
    slow = stroke_of(model, state_of(model, charge), n=SLOW)
    sheet = intake.sheet
    start = max(0.0, float(slow.force(sheet.top_out.length.si))) + sheet.friction.breakaway.si
    yield "breakaway", Figure(start, Quantity.FORCE)
    yield "rests", length_figure(float(slow.compression_under(0.0)))
