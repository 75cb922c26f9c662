"""What a wish may ask of a unit, and what would be refused, before anyone asks for it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sagwright.domain.finding import Finding, Severity
from sagwright.domain.intake import Intake
from sagwright.domain.sheet import Sheet, SpacerStack, TopOutSpacers
from sagwright.domain.task import Task
from sagwright.domain.value import Origin, Value
from sagwright.errors import InputError
from sagwright.planning.bike.frame_limits import answered_findings
from sagwright.planning.bike.report import about_bike
from sagwright.planning.checks.intake import checked
from sagwright.planning.spring.parts import most_volume_spacers, same_setup
from sagwright.planning.spring.setups import found_travel, setting_for
from sagwright.planning.work.coil_tasks import check_kinds
from sagwright.planning.work.scope import served_keys


@dataclass(frozen=True, slots=True)
class OfferedTravel:
    """One travel that this family can be built for [m], and what refuses it for this unit; nothing if it may be."""

    travel: float
    refusals: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class Offers:
    """What the controls of a wish may be set to.

    Attributes
    ----------
    travels : tuple of OfferedTravel
        Every travel that a chassis of the sheet permits or its parts can set, ascending.
    found : float or None
        The travel as found [m]; None while nobody knows it.
    most_volume_spacers : int
        That the family takes at any travel.
    volume_spacers_fit : int
        That the wished travel leaves room for; -1 where nothing gives that travel.
    coils : tuple of str
        Names of those a coil fork may take.
    preload_spacers : int
        That fit on top of one.
    """

    travels: tuple[OfferedTravel, ...]
    found: float | None
    most_volume_spacers: int
    volume_spacers_fit: int
    coils: tuple[str, ...] = ()
    preload_spacers: int = 0


def offers(intake: Intake) -> Offers:
    """What may be wished of an intake's unit, with everything else of the wish as it is."""
    sheet = intake.sheet
    setting = setting_for(sheet, sheet.chassis_named(intake.unit.chassis), intake.wish.travel.si)
    return Offers(
        travels=tuple(_offered(intake, travel) for travel in _travels(intake)),
        found=found_travel(intake),
        most_volume_spacers=sheet.spring.most_volume_spacers,
        volume_spacers_fit=-1 if setting is None else most_volume_spacers(sheet, setting),
        coils=tuple(one.name for one in sheet.spring.coils),
        preload_spacers=sheet.spring.most_preload_spacers,
    )


def _travels(intake: Intake) -> list[float]:
    """Every travel of the family, each once."""
    sheet = intake.sheet
    known = [travel for chassis in sheet.chassis for travel in chassis.travels]
    if isinstance(sheet.mechanism, SpacerStack | TopOutSpacers):
        longest, height = sheet.chassis_named(intake.unit.chassis).longest.si, sheet.mechanism.height.si
        known += [longest - n * height for n in range(sheet.mechanism.most + 1)]
    else:
        known += [shaft.travel.si for shaft in sheet.mechanism.shafts]
    kept: list[float] = []
    for travel in sorted(known):
        if not kept or not same_setup(travel, kept[-1]):
            kept.append(travel)
    return kept


def _offered(intake: Intake, travel: float) -> OfferedTravel:
    wanted = replace(intake.wish, travel=Value(travel, None, Origin.COMPUTED), travel_spacers=None, volume_spacers=None)
    unpinned = replace(wanted, pressure_gauge=None, coil=None, preload_spacers=None)
    asked = replace(intake, wish=unpinned)
    said = answered_findings((*checked(asked), *about_bike(asked)), intake.answers)
    return OfferedTravel(travel, tuple(one for one in said if one.severity is Severity.NOT_ALLOWED))


def has_work(sheet: Sheet, task: Task) -> bool:
    """Whether a sheet has something to do for a task."""
    try:
        check_kinds(sheet, (task,))
        served_keys(sheet, (task,))
    except InputError:
        return False
    return True
