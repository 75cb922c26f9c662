"""An intake in, a plan out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import numpy as np

from sagwright.domain.bike import Bike
from sagwright.domain.build import Build, Charge
from sagwright.domain.intake import Intake
from sagwright.domain.plan import Candidate, Curve, Finding, FrictionView, Plan, Severity, SpringView, Step
from sagwright.domain.stance import StanceView
from sagwright.errors import OutOfRange
from sagwright.planning.behave import SLOW
from sagwright.planning.builds import charge_of, found_travel, same
from sagwright.planning.cautions import ALWAYS
from sagwright.planning.change import changes_between
from sagwright.planning.checks import checked, finding, length
from sagwright.planning.choose import Choice, Settings, charged_as_found, chosen
from sagwright.planning.doubts import curve_doubts, curve_lines, pressure_from_sag
from sagwright.planning.kit import kit_of
from sagwright.planning.limits import answered
from sagwright.planning.model import fit_of, model_of, state_of, stroke_of
from sagwright.planning.order import Wanted, steps_of
from sagwright.planning.room import about_test
from sagwright.planning.rubbing import friction_view
from sagwright.planning.sequence import sequenced
from sagwright.planning.standing import about_bike, standing_view
from sagwright.planning.valves import SAME as SAME_PRESSURE
from sagwright.planning.valves import gauges_of, kept
from sagwright.planning.wrong import about_equaliser

CURVE_POINTS: Final = 51
"""Points of a plan's curves, both ends included."""


def make_plan(intake: Intake, *, program: str, settings: Settings | None = None) -> Plan:
    """Plan a travel conversion.

    Parameters
    ----------
    intake : Intake
    program : str
        Name and version of what computes, kept with the plan.
    settings : Settings, optional
        Stroke exponent and what a rider just notices.

    Returns
    -------
    Plan
        Refused, without target and work, where a finding refuses; its candidates stay as far as there are any.

    Raises
    ------
    OutOfRange
        If as found, or what is wished, cannot exist.
    MissingValue
        If nothing says what the fork carries.
    """
    if not intake.sheet.legs:
        remedy = "Ask `sagwright steps` for the work on a shock."
        raise OutOfRange("must describe a fork", value=intake.sheet.name, field="sheet", remedy=remedy)
    settings = settings or Settings()
    choice = chosen(intake, settings)
    said = (*checked(intake), *about_bike(intake), *about_equaliser(intake), *choice.findings)
    findings = tuple(answered(said, intake.answers))
    refused = any(one.severity is Severity.REFUSE for one in findings)
    nearest = choice.target
    target = None if refused or nearest is None else _settled(intake, nearest)
    plan = Plan(
        program=program,
        intake=intake,
        findings=_by_weight(findings),
        candidates=tuple(target if target and one is nearest else one for one in choice.candidates),
        target=target,
        changes=(),
        kit=(),
        steps=(),
        spring=_spring(intake, choice, target, settings),
        cautions=(*ALWAYS, *intake.sheet.notices),
        stance=_stance(intake, choice, target),
    )
    return plan if target is None else _with_work(plan, target)


def _stance(intake: Intake, choice: Choice, target: Candidate | None) -> StanceView | None:
    found = charged_as_found(intake)
    return standing_view(intake, choice.load, found[0] if len(found) == 1 else None, target)


def _settled(intake: Intake, target: Candidate) -> Candidate:
    """The target with what stays as it was found: legs that nobody opens, and a charge that is the same."""
    found = intake.as_found.build
    build = target.build
    if found.setting == build.setting:
        build = replace(build, legs=found.legs)
    before = charge_of(found)
    if before is not None and isinstance(build.charge, Charge):
        build = replace(build, charge=kept(before, build.charge))
    if before is None or not _same_charge(before, build.charge) or build.volume_spacers != found.volume_spacers:
        return replace(target, build=build)
    return replace(target, build=replace(build, charge=before), pressure_gauge=before.pressure_gauge.si)


def _same_charge(before: Charge, after: object) -> bool:
    if not isinstance(after, Charge):
        return False
    alike = replace(before, pressure_gauge=after.pressure_gauge) == after
    return alike and abs(before.pressure_gauge.si - after.pressure_gauge.si) < SAME_PRESSURE


def _with_work(plan: Plan, target: Candidate) -> Plan:
    """The plan with its changes, steps and kit."""
    intake = plan.intake
    found = found_travel(intake)
    steps, sequence = sequenced(work_of(intake, target))
    return replace(
        plan,
        findings=_by_weight((*plan.findings, *_about_length(intake, found, target.travel), *about_test(plan.stance))),
        changes=changes_between(intake.as_found.build, target.build),
        kit=kit_of(intake.sheet, steps),
        steps=steps,
        sequence=sequence,
    )


def work_of(intake: Intake, target: Candidate, opened: tuple[str, ...] = ()) -> tuple[Step, ...]:
    """The steps from as found to a target, in no order yet; `opened` are the keys of items that are off anyhow."""
    changes = changes_between(intake.as_found.build, target.build)
    found, charge, left = found_travel(intake), charge_of(intake.as_found.build), charge_of(target.build)
    return steps_of(
        Wanted(
            sheet=intake.sheet,
            changes=changes,
            pressure_gauge=target.pressure_gauge,
            travel_change=None if found is None else target.travel - found,
            served=opened,
            found_gauge=None if charge is None else charge.pressure_gauge.si,
            own=() if left is None else tuple(gauges_of(intake.sheet, left).items()),
        )
    )


def _about_length(intake: Intake, found: float | None, wanted: float) -> Iterator[Finding]:
    """How much longer or shorter the fork gets: as much as its travel, because the bottomed position stays.

    With a bike its stance says it, and its frame's limits were looked at.
    """
    if found is None or same(found, wanted) or isinstance(intake.bike, Bike):
        return
    chassis = intake.sheet.chassis_named(intake.unit.chassis)
    figures = {"change": length(wanted - found)}
    if chassis.axle_to_crown is not None:
        bottomed = chassis.axle_to_crown.si - chassis.longest.si
        figures |= {"before": length(bottomed + found), "after": length(bottomed + wanted)}
    yield finding("length.changes", "wish.travel", **figures)


def _by_weight(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """What refuses first, then what asks, then what is only noted."""
    weight = list(Severity)
    return tuple(sorted(findings, key=lambda one: weight.index(one.severity)))


def _spring(intake: Intake, choice: Choice, target: Candidate | None, settings: Settings) -> SpringView:
    found = charged_as_found(intake)
    return SpringView(
        load=choice.load,
        slow_exponent=SLOW,
        stroke_exponent=settings.exponent,
        noticeable=settings.noticeable,
        aim=choice.aim,
        as_found=choice.as_found,
        as_found_curve=_curve(intake, found[0], settings) if len(found) == 1 else None,
        target=None if target is None else target.behaviour,
        target_curve=None if target is None else _curve(intake, target.build, settings),
        as_found_u=choice.as_found_u,
        as_found_friction=_friction(intake, found[0], choice) if len(found) == 1 else None,
        target_friction=None if target is None else _friction(intake, target.build, choice),
        as_found_curve_u=_curve_u(intake, found[0], settings) if len(found) == 1 else None,
        target_curve_u=None if target is None else _curve_u(intake, target.build, settings),
        target_u=None if target is None else target.behaviour_u,
        sag_tells=None if target is None else _sag_tells(intake, target, choice.load.force),
    )


def _friction(intake: Intake, build: Build, choice: Choice) -> FrictionView | None:
    return friction_view(intake.sheet, build, choice.load.force, intake.workshop)


def _sag_tells(intake: Intake, target: Candidate, load: float) -> float | None:
    """How well a sag tells the target's pressure: what the reading can be off over the slope of sag by
    pressure."""
    charge = charge_of(target.build)
    if charge is None:
        return None
    model = model_of(intake.sheet, fit_of(intake.sheet, target.build), intake.workshop)
    step = 0.01 * charge.pressure_gauge.si
    low, high = (
        stroke_of(model, state_of(model, _at(charge, sign * step)), n=SLOW).compression_under(load)
        for sign in (-1.0, 1.0)
    )
    return pressure_from_sag(float(high - low) / (2.0 * step)) if low > high else None


def _at(charge: Charge, more: float) -> Charge:
    return replace(charge, pressure_gauge=replace(charge.pressure_gauge, si=charge.pressure_gauge.si + more))


def _curve(intake: Intake, build: Build, settings: Settings) -> Curve | None:
    charge = charge_of(build)
    if charge is None:
        return None
    model = model_of(intake.sheet, fit_of(intake.sheet, build), intake.workshop)
    x = np.linspace(0.0, float(model.spring.travel), CURVE_POINTS)
    lines = (x, *curve_lines(model, state_of(model, charge), x, exponent=settings.exponent))
    return Curve(*(tuple(np.asarray(line, dtype=float).tolist()) for line in lines))


def _curve_u(intake: Intake, build: Build, settings: Settings) -> Curve | None:
    """The standard uncertainty of every number of a curve; its compressions are exact."""
    known = charge_of(build)
    if known is None:
        return None
    sheet, workshop = intake.sheet, intake.workshop
    x = np.linspace(0.0, float(model_of(sheet, fit_of(sheet, build), workshop).spring.travel), CURVE_POINTS)
    lines = (np.zeros_like(x), *curve_doubts(sheet, build, x, exponent=settings.exponent, workshop=workshop))
    return Curve(*(tuple(line.tolist()) for line in lines))
