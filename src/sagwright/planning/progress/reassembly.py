"""The way back together: what closes a unit that is open when its wish turns out to be impossible.

It is closed as it was found. What was changed inside already stays as it was decided, which the sheet permits; what was
found and is not permitted is brought to what is, where anything is, and else the unit leaves with its tag.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from sagwright.domain.intake import Intake
from sagwright.domain.item import Act, Caution, Record, Role, Signal
from sagwright.domain.settings import CHARGED, SETS_TRAVEL
from sagwright.domain.setup import Charge, CoilFitting, Setting, Setup, StackSetting
from sagwright.domain.step import Step
from sagwright.domain.task import Progress
from sagwright.domain.value import Unknown
from sagwright.planning.spring.parts import most_volume_spacers, same_setup, travel_of
from sagwright.planning.spring.setups import charge_of, found_travel, permitted, setting_for
from sagwright.planning.spring.valves import gauges_of, with_valve_pressures

IMPOSSIBLE: Final = Caution(
    Signal.NOTICE,
    "What was found makes the wish impossible. What follows only closes the unit safely again; choose anew, or ask the "
    "customer, before anything else is changed.",
)
NOT_RIDEABLE: Final = Caution(
    Signal.DANGER,
    "As it is closed now the unit is in no state that its sheet permits. Nobody rides it: hang the tag on it.",
)
TAG: Final = Record("not_rideable", 'The tag "not rideable" hangs on it.')


def reassembly_setup(intake: Intake, wanted: Setup, progress: Progress) -> Setup:
    """What a unit is closed at where its wish is impossible.

    Parameters
    ----------
    intake : Intake
        With as found as it really was.
    wanted : Setup
        What was to become of it.
    progress : Progress
    """
    found = intake.as_found.setup
    setting = _setting(intake, wanted, progress)
    spacers = wanted.volume_spacers if "change:volume_spacers" in progress.done else found.volume_spacers
    if not isinstance(spacers, Unknown) and _in_the_open(intake, progress, Role.VOLUME_SPACERS):
        spacers = min(spacers, most_volume_spacers(intake.sheet, setting))
    filled = any(f"{Act.OFF}:{item.key}" in progress.done for item in intake.sheet.having(Role.LOWER_LEG_OIL))
    return replace(
        found,
        setting=setting,
        volume_spacers=spacers,
        charge=_charge(intake, wanted, progress),
        legs=() if filled else found.legs,
        fitting=_fitting(found, wanted, progress),
    )


def _setting(intake: Intake, wanted: Setup, progress: Progress) -> Setting:
    """What sets the travel: as decided once that was begun, else as found; where that is not permitted and lies in
    the open, as its travel asks for."""
    setting = intake.as_found.setup.setting
    set_by = {f"{Act.CHANGE}:{item.key}" for role in SETS_TRAVEL for item in intake.sheet.having(role)}
    if set_by.intersection(progress.done):
        return wanted.setting
    if permitted_setting(intake, setting) or not _in_the_open(intake, progress, *SETS_TRAVEL):
        return setting
    travel = found_travel(intake)
    beside = None if travel is None else setting_for(intake.sheet, intake.sheet.chassis_named(wanted.chassis), travel)
    return beside if beside is not None and permitted_setting(intake, beside) else setting


def _in_the_open(intake: Intake, progress: Progress, *roles: Role) -> bool:
    """Whether everything was taken off that covers the items of some roles."""
    items = [item for role in roles for item in intake.sheet.having(role) if item.work(Act.CHANGE) is not None]
    return all(f"{Act.OFF}:{cover}" in progress.done for item in items for cover in item.covered_by)


def permitted_setting(intake: Intake, setting: Setting) -> bool:
    """Whether a setting gives a travel that the chassis is made for, its transfer port beside its spacers; true while
    nobody has seen it."""
    chassis = intake.sheet.chassis_named(intake.unit.chassis)
    travel = travel_of(intake.sheet, chassis, setting)
    if isinstance(travel, Unknown):
        return True
    right = setting_for(intake.sheet, chassis, travel)
    if isinstance(setting, StackSetting) and isinstance(right, StackSetting):
        beside = isinstance(setting.port_position, Unknown) or setting.port_position == right.port_position
        return beside and permitted(chassis, travel)
    return right is not None and permitted(chassis, travel)


def _charge(intake: Intake, wanted: Setup, progress: Progress) -> Charge | Unknown:
    """As found where that is known and permitted and no other is in yet, else as decided."""
    found = charge_of(intake.as_found.setup)
    charged = any(key.startswith(CHARGED) for key in progress.done)
    if found is None or charged or not _permits(intake, found):
        return wanted.charge
    plain = replace(found, compression=0.0, temperature=intake.workshop.temperature, cycled=True)
    kept = with_valve_pressures(
        plain, {field: getattr(wanted.charge, field, None) for field in gauges_of(intake.sheet, plain)}
    )
    return replace(kept, ambient_abs=intake.workshop.ambient_abs)


def _permits(intake: Intake, charge: Charge) -> bool:
    span = intake.sheet.air.pressure_gauge
    return charge.compression == 0.0 and span.low <= charge.pressure_gauge.si <= span.high


def _fitting(found: Setup, wanted: Setup, progress: Progress) -> CoilFitting | None:
    """Coil, spacers and adjuster: as decided where they were set, else as found; an adjuster nobody read as decided."""
    was, to = found.fitting, wanted.fitting
    if was is None or to is None:
        return was
    turned = isinstance(was.adjuster, Unknown) or any(key.startswith("on:preload") for key in progress.done)
    return CoilFitting(
        to.coil if "change:coil" in progress.done else was.coil,
        to.preload_spacers if "change:preload_spacers" in progress.done else was.preload_spacers,
        to.adjuster if turned else was.adjuster,
    )


def travel_change(intake: Intake, target: Setup) -> float | None:
    """How much longer the travel is at the way back than as found [m]; None while nobody knows it."""
    chassis = intake.sheet.chassis_named(intake.unit.chassis)
    found, left = found_travel(intake), travel_of(intake.sheet, chassis, target.setting)
    if found is None or isinstance(left, Unknown):
        return None
    return 0.0 if same_setup(left, found) else left - found


def tagged(steps: tuple[Step, ...], intake: Intake, target: Setup) -> Iterator[Step]:
    """The steps; where the unit ends in a state that is not permitted, the last one hangs the tag on it."""
    proofs = {f"{Act.ON}:{item.key}" for item in intake.sheet.having(Role.READINGS)}
    spacers, most = target.volume_spacers, most_volume_spacers(intake.sheet, target.setting)
    rideable = permitted_setting(intake, target.setting) and (isinstance(spacers, Unknown) or spacers <= most)
    for step in steps:
        if step.key in proofs and not rideable:
            yield replace(step, hold_point=True, records=(*step.records, TAG), cautions=(NOT_RIDEABLE, *step.cautions))
        else:
            yield step
