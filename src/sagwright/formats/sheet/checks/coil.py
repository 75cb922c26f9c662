"""What must hold between the values of a sheet with a coil spring: every coil fits, and none is solid too early."""

from __future__ import annotations

from typing import Final

from sagwright.domain.coil_spring import CoilOnOffer, CoilSpring
from sagwright.domain.item import Act, Role
from sagwright.domain.sheet import ShaftPerTravel, Sheet, SpacerStack, TopOutSpacers
from sagwright.errors import MissingValue, OutOfRange
from sagwright.formats.faults import FoundFault, unfit
from sagwright.formats.source.tree import FieldPath
from sagwright.units import show_value

INDEX: Final = (3.0, 20.0)
"""Mean diameter over wire of a coil that can be wound and computed."""

COIL_ACTS: Final = {
    Role.PRELOAD: (Act.OFF, Act.ON),
    Role.SPRING_CAP: (Act.OFF, Act.ON),
    Role.COIL: (Act.OFF, Act.ON),
    Role.SPRING_SHAFT: (Act.OFF, Act.ON),
    Role.PRELOAD_SPACERS: (Act.CHANGE,),
    Role.TOP_OUT_SPACERS: (Act.CHANGE,),
}
"""What the sheet must give for an item with a role, so that a plan can use it."""


def coil_roles(sheet: Sheet) -> tuple[Role, ...]:
    """Roles that exactly one item of a coil fork plays."""
    stack = sheet.coil.stack
    return (
        *(Role.READINGS, Role.LOWERS, Role.RETAINING_RING, Role.SPRING_SHAFT, Role.SPRING_CAP, Role.COIL),
        *((Role.PRELOAD,) if stack.range.si else ()),
        *((Role.PRELOAD_SPACERS,) if stack.most else ()),
        *((Role.TOP_OUT_SPACERS,) if isinstance(sheet.mechanism, TopOutSpacers) else ()),
    )


FOREIGN_ROLES: Final = {
    "air": tuple(COIL_ACTS),
    "coil": (
        Role.AIR_CHARGE,
        Role.SECOND_CHARGE,
        Role.NEGATIVE_CHARGE,
        Role.AIR_CAP,
        Role.AIR_SHAFT,
        Role.VOLUME_SPACERS,
        Role.TRAVEL_SPACERS,
        Role.TRANSFER_PORT,
    ),
}
"""Roles of items that the other kind of spring has."""


def foreign_roles(sheet: Sheet) -> FoundFault:
    """No item has a role of the other kind of spring: the safety rules of one say nothing of the other."""
    for item in sheet.items:
        if item.role in FOREIGN_ROLES[sheet.spring.kind]:
            rule = f"does not belong to a unit whose spring is {sheet.spring.called}"
            yield ("items", item.key, "role"), OutOfRange(rule, value=str(item.role), remedy="Leave the item out.")


def air_mechanism(sheet: Sheet) -> FoundFault:
    """Nothing sets the travel that only a coil fork has."""
    if isinstance(sheet.mechanism, TopOutSpacers):
        yield ("mechanism", "top_out_spacers"), OutOfRange("needs a coil spring", remedy="Write travel_spacers.")


def coil_parts(sheet: Sheet) -> FoundFault:
    """The mechanism suits the coil; every coil goes in, fits its stanchion, and is neither loose nor solid always."""
    spring, mechanism = sheet.coil, sheet.mechanism
    if isinstance(mechanism, SpacerStack) or (isinstance(mechanism, ShaftPerTravel) and len(mechanism.shafts) > 1):
        remedy = "Write top_out_spacers, or fixed."
        yield ("mechanism",), OutOfRange("must be top_out_spacers or fixed with a coil", remedy=remedy)
    if not sheet.legs:
        yield ("legs",), OutOfRange("must be those of a fork: no coil shock is planned here")
    for shelved in spring.coils:
        yield from _one_coil(sheet, spring, shelved)
    yield from _overlong(sheet, spring)


def _one_coil(sheet: Sheet, spring: CoilSpring, shelved: CoilOnOffer) -> FoundFault:
    path: FieldPath = ("coil_spring", "coils", shelved.name)
    free = shelved.free_length
    if free is None:
        yield (*path, "free_length"), MissingValue("must be given", remedy="Measure it, like 330 mm.")
        return
    wound = shelved.wound
    if wound is not None:
        yield from _can_be_wound(spring, shelved, path)
        if wound.solid >= spring.seats.si:
            room = f"bottomed out its seats are {show_value(spring.seats.si, 'mm')} apart"
            yield (
                (*path, "turns"),
                OutOfRange(
                    f"must leave it room at full travel: {room}",
                    value=f"solid at {show_value(wound.solid, 'mm')}",
                    remedy="Check wire, turns and seats; a coil that goes solid first takes the blow.",
                ),
            )
    stack = spring.stack
    shortest = min((chassis.travels[0] for chassis in sheet.chassis if chassis.travels), default=0.0)
    if free.si + stack.most * stack.height.si + stack.range.si < spring.seats.si + shortest:
        yield (
            (*path, "free_length"),
            OutOfRange(
                "must reach its seats topped out, with every preload spacer in and the adjuster turned in",
                value=free.as_written,
                remedy="Check free length and seats; a loose coil knocks at top-out.",
            ),
        )


def _can_be_wound(spring: CoilSpring, shelved: CoilOnOffer, path: FieldPath) -> FoundFault:
    wound = shelved.wound
    if wound is None:
        return
    index = wound.diameter.si / wound.wire.si
    if not INDEX[0] <= index <= INDEX[1]:
        rule = f"must be {INDEX[0]:g} to {INDEX[1]:g} wires across, from middle to middle"
        yield (*path, "outside"), OutOfRange(rule, value=f"{index:.2g}", remedy="Measure wire and outside again.")
    if wound.solid >= wound.free_length.si:
        rule = f"must be more than the coil is long pressed solid, {show_value(wound.solid, 'mm')}"
        yield (*path, "free_length"), OutOfRange(rule, value=wound.free_length.as_written, remedy="Measure it again.")
    outside = wound.diameter.si + wound.wire.si
    if outside >= spring.bore.si:
        yield (
            (*path, "outside"),
            unfit(f"must be less than the bore, {show_value(spring.bore.si, 'mm')}", wound.diameter),
        )
    if wound.diameter.si - wound.wire.si <= spring.shaft.si:
        yield (*path, "outside"), unfit(f"must go over the shaft, {show_value(spring.shaft.si, 'mm')}", wound.diameter)


def _overlong(sheet: Sheet, spring: CoilSpring) -> FoundFault:
    """With the longest preload stack at least one coil must still not be solid."""
    stack = spring.stack
    left = spring.seats.si - stack.most * stack.height.si - stack.range.si
    made = [each.wound for each in spring.coils]
    if made and all(wound is not None and wound.solid > left for wound in made):
        key = "preload_spacers" if stack.most else "adjuster"
        yield (
            ("coil_spring", key),
            OutOfRange(
                f"must leave some coil room at full travel; fully stacked its seats are {show_value(left, 'mm')} apart",
                value=f"{stack.most} × {show_value(stack.height.si, 'mm')}, adjuster "
                f"{show_value(stack.range.si, 'mm')}",
                remedy="Fewer or lower spacers, or a shorter adjuster.",
            ),
        )
