"""What must hold between the values of a sheet, beyond what each may be: checked on the merged sheet, all at once.

Each check is a function from a sheet to faults with the path they stand at; `_CHECKS` is the list that runs.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import Final

from sagwright.domain.item import ChargeStage, Role
from sagwright.domain.sheet import Bumper, Chassis, DiscStack, ShaftPerTravel, Sheet, SpacerStack, TopOutSpacers
from sagwright.domain.value import Quantity, Value
from sagwright.errors import MissingValue, OutOfRange
from sagwright.formats.faults import Faults, FoundFault, unfit
from sagwright.formats.sheet.checks.coil import air_mechanism, coil_parts, foreign_roles
from sagwright.formats.sheet.checks.roles import legs, roles
from sagwright.formats.source.tree import FieldPath
from sagwright.units import UnitChoice, show_in, show_value

STIFF: Final = math.sqrt(2.0)
"""Cone over thickness up to which a disc's force never falls before it is flat; standard, from memory."""

EXACT: Final = 1e-6
"""Lengths that differ by less than this count as equal [m]."""


def disc_stops(sheet: Sheet) -> FoundFault:
    """Disc springs are discs, stay stiff all the way, and are not flat before the travel ends."""
    for end, stop in (("top_out", sheet.top_out), ("bottom_out", sheet.bottom_out)):
        if stop.discs is not None:
            yield from _stack(("stops", end), stop, stop.discs)


def _stack(path: FieldPath, stop: Bumper, discs: DiscStack) -> FoundFault:
    stroke = discs.series * discs.cone.si
    if discs.inside.si >= discs.outside.si:
        yield (
            (*path, "discs", "inside"),
            _disc_size("must be less than the outside", discs.inside, "Check both diameters."),
        )
    if discs.cone.si > STIFF * discs.thickness.si:
        rule = "must be at most 1.41 times the thickness: beyond it the force falls before the disc is flat"
        yield (
            (*path, "discs", "cone"),
            _disc_size(rule, discs.cone, "Measure one disc's free height less its thickness."),
        )
    if stroke < stop.length.si - 1e-6:
        rule = f"must be at most the {show_in(UnitChoice(), stroke, Quantity.LENGTH)} in which the discs are flat"
        remedy = "They would be flat before the travel ends: check their number in series and their cone."
        yield (*path, "length"), _disc_size(rule, stop.length, remedy)


def _disc_size(rule: str, value: Value, remedy: str) -> OutOfRange:
    return OutOfRange(rule, value=value.as_written, remedy=remedy)


def check_sheet_values(sheet: Sheet, faults: Faults) -> None:
    """Add everything that does not hold."""
    for check in (*_CHECKS, *OF_SPRING[sheet.spring.kind]):
        for path, fault in check(sheet):
            faults.add(path, fault)


def diameters(sheet: Sheet) -> FoundFault:
    """The shaft goes through the bore, the bore is inside the stanchion, and both ends of a shaft are one shaft."""
    spring, at = sheet.spring, sheet.spring.section
    if spring.shaft.si >= spring.bore.si:
        yield (at, "shaft"), unfit("must be less than the bore", spring.shaft)
    for leg in sheet.legs:
        if leg.rod.si >= leg.stanchion.si:
            yield ("legs", leg.name, "rod"), unfit("must be less than the stanchion it is in", leg.rod)
    role = spring.shaft_role
    air = next((leg for leg in sheet.legs if leg.name == _leg_of(sheet, role)), None)
    if air is not None and spring.bore.si >= air.stanchion.si:
        yield (at, "bore"), unfit("must be less than the stanchion around it", spring.bore)
    if air is not None and abs(air.rod.si - spring.shaft.si) > EXACT:
        yield ("legs", air.name, "rod"), unfit(f"must be the {role}'s {show_value(spring.shaft.si, 'mm')}", air.rod)


def travels(sheet: Sheet) -> FoundFault:
    """Permitted travels rise, end at the longest or below, and something reaches each of them."""
    for chassis in sheet.chassis:
        path: FieldPath = ("chassis", chassis.name, "travels")
        rising = all(a < b for a, b in zip(chassis.travels, chassis.travels[1:], strict=False))
        if not rising:
            yield path, OutOfRange("must rise from the shortest to the longest", remedy="Write them in order.")
        elif chassis.travels[-1] > chassis.longest.si + EXACT:
            longest = show_value(chassis.longest.si, "mm")
            yield (
                path,
                OutOfRange(
                    f"must not exceed the longest travel, {longest}",
                    value=show_value(chassis.travels[-1], "mm"),
                    remedy="Correct the range, or `longest`.",
                ),
            )
        else:
            yield from _reached(sheet, chassis, path)


def _reached(sheet: Sheet, chassis: Chassis, path: FieldPath) -> FoundFault:
    mechanism = sheet.mechanism
    for travel in chassis.travels:
        if isinstance(mechanism, SpacerStack | TopOutSpacers):
            spacers = (chassis.longest.si - travel) / mechanism.height.si
            if abs(spacers - round(spacers)) * mechanism.height.si > EXACT or round(spacers) > mechanism.most:
                yield (
                    path,
                    OutOfRange(
                        f"must be the longest less 0 to {mechanism.most} spacers of "
                        f"{show_value(mechanism.height.si, 'mm')}",
                        value=show_value(travel, "mm"),
                        remedy="Correct the travels, the longest travel, or the spacers.",
                    ),
                )
        elif not any(abs(shaft.travel.si - travel) <= EXACT for shaft in mechanism.shafts):
            given = ", ".join(show_value(shaft.travel.si, "mm") for shaft in mechanism.shafts)
            yield (
                path,
                OutOfRange(
                    "must each have a shaft",
                    value=show_value(travel, "mm"),
                    remedy=f"There are shafts for {given}; add one.",
                ),
            )


def damper_stroke(sheet: Sheet) -> FoundFault:
    """The damper's rod goes in as far as every permitted travel."""
    stroke = sheet.damper.stroke
    longest = max((chassis.travels[-1] for chassis in sheet.chassis if chassis.travels), default=0.0)
    if stroke is not None and stroke.si < longest - EXACT:
        yield (
            ("damper", "stroke"),
            unfit(f"must be at least the longest permitted travel, {show_value(longest, 'mm')}", stroke),
        )


def overlap(sheet: Sheet) -> FoundFault:
    """The bushings overlap as far as they must at the longest travel."""
    bushings = sheet.bushings
    if bushings is None or bushings.overlap is None or bushings.least_overlap is None:
        return
    if bushings.overlap.si < bushings.least_overlap.si:
        least = show_value(bushings.least_overlap.si, "mm")
        yield ("bushings", "overlap"), unfit(f"must be at least the least overlap, {least}", bushings.overlap)


def transfer_port(sheet: Sheet) -> FoundFault:
    """A movable transfer port has a hole for every count of spacers, and it opens inside the shortest travel."""
    mechanism, port = sheet.mechanism, sheet.air.transfer_port
    if sheet.air.negative_gauge is not None:
        return
    if isinstance(mechanism, SpacerStack) and port.positions not in (1, mechanism.most + 1):
        yield (
            ("transfer_port", "positions"),
            OutOfRange(
                f"must be 1 where it cannot be moved, or {mechanism.most + 1}: one for each count of travel spacers",
                value=str(port.positions),
                remedy="Count the holes, the one for no spacers included.",
            ),
        )
    shortest = min((chassis.travels[0] for chassis in sheet.chassis if chassis.travels), default=math.inf)
    if port.opens_at.si + port.band.si >= shortest:
        yield (
            ("transfer_port", "opens_at"),
            unfit(f"must open within the shortest travel, {show_value(shortest, 'mm')}", port.opens_at),
        )


def volumes(sheet: Sheet) -> FoundFault:
    """Every leg keeps a volume with its lower-leg oil in."""
    for leg in sheet.legs:
        if leg.air_bottomed.si <= leg.lower_leg_oil.si:
            yield (
                ("legs", leg.name, "air_bottomed"),
                OutOfRange(
                    "must be more than the lower-leg oil",
                    value=leg.air_bottomed.as_written,
                    remedy="Measure it without oil.",
                ),
            )


def air_volumes(sheet: Sheet) -> FoundFault:
    """Every chamber keeps a volume, bottomed out with the most volume spacers in, topped out with oil in."""
    spring = sheet.air
    bore, ring = _disc(spring.bore), _disc(spring.bore) - _disc(spring.shaft)
    for length, most in _bottomed(sheet):
        left = bore * length - most * spring.volume_spacer.si - spring.positive_oil.si
        if left <= 0:
            yield (
                ("spring", "positive"),
                OutOfRange(
                    "must keep a volume bottomed out with the most volume spacers",
                    value=f"{left * 1e6:.1f} ml",
                    remedy="Check its length, the volume spacer, and how many are permitted.",
                ),
            )
            break
    if ring * spring.negative_length.si <= spring.negative_oil.si:
        yield ("spring", "negative"), unfit("must be longer than its oil fills", spring.negative_length)


def _bottomed(sheet: Sheet) -> Iterator[tuple[float, int]]:
    """Length of the positive chamber bottomed out, with the most volume spacers it may hold then."""
    spring = sheet.air
    if not isinstance(sheet.mechanism, ShaftPerTravel):
        yield spring.positive_length.si, spring.most_volume_spacers
        return
    for shaft in sheet.mechanism.shafts:
        most = min(shaft.most_volume_spacers, spring.most_volume_spacers)
        yield spring.positive_length.si - shaft.travel.si, most


def charging(sheet: Sheet) -> FoundFault:
    """A assembly pressure has a pressure, below the riding range."""
    rule = sheet.charging
    if rule.before_lowers is ChargeStage.ASSEMBLY and rule.assembly_gauge is None:
        yield (
            ("charging", "assembly_pressure"),
            MissingValue(
                "must be given where an assembly pressure goes in before the lowers",
                remedy="Write it, like assembly_pressure: 30 psi.",
            ),
        )
    if rule.assembly_gauge is not None and rule.assembly_gauge.si > sheet.air.pressure_gauge.high:
        yield (
            ("charging", "assembly_pressure"),
            OutOfRange("must not exceed the permitted pressure", value=rule.assembly_gauge.as_written),
        )


def _leg_of(sheet: Sheet, role: Role) -> str:
    return next((item.leg for item in sheet.having(role)), "")


def _disc(diameter: Value) -> float:
    return math.pi / 4 * diameter.si**2


Check = Callable[[Sheet], FoundFault]

_CHECKS: Final[tuple[Check, ...]] = (
    diameters,
    travels,
    damper_stroke,
    overlap,
    disc_stops,
    volumes,
    roles,
    legs,
    foreign_roles,
)
"""Every check of a sheet, in the order in which faults are reported."""

OF_SPRING: Final[dict[str, tuple[Check, ...]]] = {
    "air": (transfer_port, air_volumes, charging, air_mechanism),
    "coil": (coil_parts,),
}
"""Those of one kind of spring."""
