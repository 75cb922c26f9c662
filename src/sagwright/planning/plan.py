"""An intake in, a plan out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import numpy as np

from sagwright.domain.behaviour import Curve, FrictionView, Option, SpringView
from sagwright.domain.bike import Bike
from sagwright.domain.finding import Finding, Severity
from sagwright.domain.intake import Intake
from sagwright.domain.item import Role
from sagwright.domain.plan import Plan, Selection
from sagwright.domain.setup import Charge, Setup
from sagwright.domain.stance import StanceView
from sagwright.domain.task import Task, TaskKind
from sagwright.domain.value import MeasuredColumn
from sagwright.domain.work import Work
from sagwright.errors import OutOfRange
from sagwright.planning.bike.clearance import about_test
from sagwright.planning.bike.frame_limits import answered_findings
from sagwright.planning.bike.report import about_bike, standing_view
from sagwright.planning.checks.coil import about_coil, findings_on_chosen_coil
from sagwright.planning.checks.findings import ALWAYS, finding, length_figure
from sagwright.planning.checks.intake import about_torques, checked, port_findings
from sagwright.planning.matching.aim import Settings, charged_as_found
from sagwright.planning.matching.target import RankedOptions, choose_target
from sagwright.planning.spring.air import state_of
from sagwright.planning.spring.behaviour import SLOW, friction_view
from sagwright.planning.spring.curves import column, ideal_gas_error
from sagwright.planning.spring.kind import spring_kind
from sagwright.planning.spring.model import fit_of, model_of, sprung, stroke_of
from sagwright.planning.spring.parts import same_setup
from sagwright.planning.spring.setups import charge_of, found_travel
from sagwright.planning.spring.uncertainty import curve_lines, curve_uncertainties, pressure_from_sag
from sagwright.planning.work.composition import composed
from sagwright.planning.work.scope import is_opened
from sagwright.planning.work.wish_tasks import included_tasks, task_contradictions, with_tasks

CURVE_POINTS: Final = 51
"""Points of a plan's curves, both ends included."""


def make_plan(intake: Intake, *, program: str, settings: Settings | None = None) -> Plan:
    """Plan a change of travel, with the tasks that are done in the same opening.

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
        Refused, without target and work, where a finding refuses; its options stay as far as there are any.

    Raises
    ------
    OutOfRange
        If as found, or what is wished, cannot exist, or the sheet has nothing for a task.
    InputError
        If two tasks contradict each other.
    MissingValue
        If nothing says what the fork carries.
    """
    if not intake.sheet.legs:
        remedy = "Leave out what is wished, and say its work as tasks, as the service of the air can."
        raise OutOfRange("must describe a fork", value=intake.sheet.name, field="sheet", remedy=remedy)
    pinned = with_tasks(intake)
    selection, work = _selected(pinned, settings or Settings(), tuple(task_contradictions(intake)))
    return Plan(program, work, (*ALWAYS, *intake.sheet.notices), replace(selection, intake=intake))


def _selected(intake: Intake, settings: Settings, contradicted: tuple[Finding, ...]) -> tuple[Selection, Work]:
    """The target of an intake whose tasks are pinned in its wish, and the work that leads there."""
    choice = choose_target(intake, settings)
    said = (
        *contradicted,
        *checked(intake),
        *about_bike(intake),
        *_ABOUT_SPRING[intake.sheet.spring.kind](intake, choice),
        *choice.findings,
    )
    findings = tuple(answered_findings(said, intake.answers))
    refused = any(one.severity is Severity.NOT_ALLOWED for one in findings)
    nearest = choice.target
    target = None if refused or nearest is None else _settled(intake, nearest)
    stance = _stance(intake, choice, target)
    work = composed(_work(intake, target))
    about = () if target is None else tuple(_about_work(intake, work, target.travel, stance))
    selection = Selection(
        intake=intake,
        findings=_by_weight((*findings, *about)),
        options=tuple(target if target and one is nearest else one for one in choice.options),
        target=target,
        spring=_spring(intake, choice, target, settings),
        stance=stance,
    )
    return selection, work


def _work(intake: Intake, target: Option | None) -> Work:
    """What is asked, the wish as a task that changes the travel, from as found to a target; nothing composed yet."""
    found = found_travel(intake)
    beside = (task for task in dict.fromkeys(intake.tasks) if task.kind is not TaskKind.CHANGE_TRAVEL)
    return Work(
        sheet=intake.sheet,
        chassis=intake.unit.chassis,
        tasks=(Task(TaskKind.CHANGE_TRAVEL, intake.wish.travel.si), *beside),
        as_found=intake.as_found.setup,
        target=None if target is None else target.setup,
        travel_change=None if target is None or found is None else target.travel - found,
    )


def _about_work(intake: Intake, work: Work, travel: float, stance: StanceView | None) -> Iterator[Finding]:
    yield from about_torques(work.steps)
    yield from _about_length(intake, found_travel(intake), travel)
    yield from about_test(stance, spring_kind(intake.sheet).tested)
    yield from included_tasks(work)


def _about_air(intake: Intake, choice: RankedOptions) -> Iterator[Finding]:
    del choice
    yield from port_findings(intake)


def _about_coil(intake: Intake, choice: RankedOptions) -> Iterator[Finding]:
    yield from about_coil(intake)
    yield from findings_on_chosen_coil(intake, choice.target)


_ABOUT_SPRING: Final = {"air": _about_air, "coil": _about_coil}


def _stance(intake: Intake, choice: RankedOptions, target: Option | None) -> StanceView | None:
    return standing_view(intake, choice.load, _found(intake), target)


def _found(intake: Intake) -> Setup | None:
    """As found with its charge or preload, where it can only be one build."""
    found = charged_as_found(intake)
    return found[0] if len(found) == 1 else None


def _settled(intake: Intake, target: Option) -> Option:
    """The target with what stays as it was found: legs that nobody opens, and a charge that is the same."""
    found = intake.as_found.setup
    setup = target.setup
    if found.setting == setup.setting and not is_opened(intake.sheet, intake.tasks, Role.LOWER_LEG_OIL):
        setup = replace(setup, legs=found.legs)
    setup = spring_kind(intake.sheet).keep_external(found, setup)
    charge = charge_of(setup)
    gauge = target.pressure_gauge
    if gauge is not None and charge is not None:
        gauge = replace(gauge, value=charge.pressure_gauge.si)
    return replace(target, setup=setup, pressure_gauge=gauge)


def _about_length(intake: Intake, found: float | None, wanted: float) -> Iterator[Finding]:
    """How much longer or shorter the fork gets: as much as its travel, because the bottomed position stays.

    With a bike its stance says it, and its frame's limits were looked at.
    """
    if found is None or same_setup(found, wanted) or isinstance(intake.bike, Bike):
        return
    chassis = intake.sheet.chassis_named(intake.unit.chassis)
    figures = {"change": length_figure(wanted - found)}
    if chassis.axle_to_crown is not None:
        bottomed = chassis.axle_to_crown.si - chassis.longest.si
        figures |= {"before": length_figure(bottomed + found), "after": length_figure(bottomed + wanted)}
    yield finding("length.changes", "wish.travel", **figures)


def _by_weight(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """What refuses first, then what asks, then what is only noted."""
    weight = list(Severity)
    return tuple(sorted(findings, key=lambda one: weight.index(one.severity)))


def _spring(intake: Intake, choice: RankedOptions, target: Option | None, settings: Settings) -> SpringView:
    found, left = _found(intake), None if target is None else target.setup
    found_curve, target_curve = (None if one is None else _curve(intake, one, settings) for one in (found, left))
    return SpringView(
        load=choice.load,
        slow_exponent=SLOW,
        stroke_exponent=settings.exponent,
        noticeable=settings.noticeable,
        aim=choice.aim,
        as_found=choice.as_found,
        as_found_curve=found_curve,
        target=None if target is None else target.behaviour,
        target_curve=target_curve,
        as_found_friction=None if found is None else _friction(intake, found, choice),
        target_friction=None if left is None else _friction(intake, left, choice),
        as_found_preload=None if found is None else _preload(intake, found),
        sag_tells=None if target is None else _sag_tells(intake, target, choice.load.force.value),
        ideal_error=_ideal_error(intake, target_curve or found_curve, settings),
    )


def _ideal_error(intake: Intake, curve: Curve | None, settings: Settings) -> float | None:
    if curve is None or not curve.positive_abs.value:
        return None
    pressures = np.array(curve.positive_abs.value)
    return ideal_gas_error(pressures, n=settings.exponent, temperature=intake.workshop.temperature)


def _preload(intake: Intake, setup: Setup) -> float | None:
    preload = fit_of(intake.sheet, setup).preload
    return None if preload is None else float(preload)


def _friction(intake: Intake, setup: Setup, choice: RankedOptions) -> FrictionView | None:
    return friction_view(intake.sheet, setup, choice.load.force.value, intake.workshop)


def _sag_tells(intake: Intake, target: Option, load: float) -> float | None:
    """How well a sag tells the target's pressure: what the reading can be off over the slope of sag by
    pressure."""
    charge = charge_of(target.setup)
    if charge is None:
        return None
    model = model_of(intake.sheet, fit_of(intake.sheet, target.setup), intake.workshop)
    step = 0.01 * charge.pressure_gauge.si
    low, high = (
        stroke_of(model, state_of(model, _at(charge, sign * step)), n=SLOW).compression_under(load)
        for sign in (-1.0, 1.0)
    )
    return pressure_from_sag(float(high - low) / (2.0 * step)) if low > high else None


def _at(charge: Charge, more: float) -> Charge:
    return replace(charge, pressure_gauge=replace(charge.pressure_gauge, si=charge.pressure_gauge.si + more))


def _curve(intake: Intake, setup: Setup, settings: Settings) -> Curve | None:
    """A build over its travel: its compressions are exact, and there is no valve where there is a coil."""
    made = sprung(intake.sheet, setup, intake.workshop)
    if made is None:
        return None
    x = np.linspace(0.0, float(made[0].spring.travel), CURVE_POINTS)
    lines = (x, *curve_lines(*made, x, exponent=settings.exponent))
    uncertainties = curve_uncertainties(intake.sheet, setup, x, exponent=settings.exponent, workshop=intake.workshop)
    both = zip(lines, (np.zeros_like(x), *uncertainties), strict=True)
    curve = Curve(*(MeasuredColumn(column(line), column(u)) for line, u in both))
    return curve if intake.sheet.spring.holds_air else replace(curve, positive_abs=MeasuredColumn((), ()))
