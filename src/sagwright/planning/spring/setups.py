"""Which setups a unit can have: what as found may turn out to be, and what a travel can be reached with."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from sagwright.domain.intake import AsFound, Intake
from sagwright.domain.setup import Charge, Setting, Setup, ShaftSetting, StackSetting, TopOutSetting
from sagwright.domain.sheet import Chassis, Sheet, SpacerStack, TopOutSpacers
from sagwright.domain.value import Unknown
from sagwright.planning.spring.kind import spring_kind
from sagwright.planning.spring.parts import same_setup, travel_of


def permitted(chassis: Chassis, travel: float) -> bool:
    """Whether a travel is one the chassis is made for."""
    return any(same_setup(travel, one) for one in chassis.travels)


def setting_for(sheet: Sheet, chassis: Chassis, travel: float) -> Setting | None:
    """What sets a travel: spacers with the transfer port beside them, or a shaft; None if nothing reaches it."""
    mechanism = sheet.mechanism
    if isinstance(mechanism, SpacerStack | TopOutSpacers):
        exact = (chassis.longest.si - travel) / mechanism.height.si
        count = round(exact)
        if not 0 <= count <= mechanism.most or not same_setup(exact * mechanism.height.si, count * mechanism.height.si):
            return None
        if isinstance(mechanism, TopOutSpacers):
            return TopOutSetting(count)
        return StackSetting(count, count if sheet.air.transfer_port.positions > 1 else 0)
    shafts = (shaft.travel.si for shaft in mechanism.shafts if same_setup(shaft.travel.si, travel))
    return next((ShaftSetting(shaft) for shaft in shafts), None)


def reachable(sheet: Sheet, chassis: Chassis, travel: float) -> tuple[Setup, ...]:
    """Every setup that gives a travel: one for each permitted number of volume spacers, not yet charged, or for each
    coil and number of preload spacers, not yet turned in."""
    setting = setting_for(sheet, chassis, travel)
    return () if setting is None else spring_kind(sheet).reachable_setups(sheet, chassis, setting)


def possible(intake: Intake) -> tuple[Setup, ...]:
    """Every setup that as found may turn out to be, by what is known shut.

    Travel spacers nobody has seen are those that give the travel as found, or any if that is unknown too; a transfer
    port nobody has seen is taken to stand beside its spacers, as far as there are holes; volume spacers
    nobody has seen may be any number. Coils and preload spacers nobody has seen are those that fit.
    """
    kind = spring_kind(intake.sheet)
    return tuple(kind.possible_setups(intake.sheet, intake.as_found.setup, _possible_settings(intake)))


def _possible_settings(intake: Intake) -> Iterator[Setting]:
    sheet, setup = intake.sheet, intake.as_found.setup
    chassis = sheet.chassis_named(setup.chassis)
    setting = setup.setting
    if not isinstance(setting, StackSetting):
        seen_as = setting.shaft_travel if isinstance(setting, ShaftSetting) else setting.top_out_spacers
        if not isinstance(seen_as, Unknown):
            yield setting
            return
    elif not isinstance(setting.travel_spacers, Unknown):
        beside = min(setting.travel_spacers, sheet.air.transfer_port.positions - 1)
        unseen = isinstance(setting.port_position, Unknown)
        yield replace(setting, port_position=beside) if unseen else setting
        return
    for travel in _possible_travels(intake.as_found, chassis):
        found = setting_for(sheet, chassis, travel)
        if isinstance(found, StackSetting) and isinstance(setting, StackSetting):
            seen = setting.port_position
            yield found if isinstance(seen, Unknown) else replace(found, port_position=seen)
        elif found is not None:
            yield found


def _possible_travels(as_found: AsFound, chassis: Chassis) -> tuple[float, ...]:
    """The permitted travel nearest to the one measured, or all of them."""
    if isinstance(as_found.travel, Unknown):
        return chassis.travels
    measured = as_found.travel.si
    return (min(chassis.travels, key=lambda travel: abs(travel - measured)),)


def found_travel(intake: Intake) -> float | None:
    """Travel as found [m]: by what sets it, or as measured; None if neither is known."""
    by_setting = travel_of(
        intake.sheet, intake.sheet.chassis_named(intake.as_found.setup.chassis), intake.as_found.setup.setting
    )
    if not isinstance(by_setting, Unknown):
        return by_setting
    measured = intake.as_found.travel
    return None if isinstance(measured, Unknown) else measured.si


def charge_of(setup: Setup) -> Charge | None:
    """The charge of a setup; None if unknown."""
    return None if isinstance(setup.charge, Unknown) else setup.charge
