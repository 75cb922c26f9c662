"""Which roles the items of a sheet must play, and what the sheet must give for an item that plays one."""

from __future__ import annotations

from typing import Final

from sagwright.domain.item import Act, Item, Role
from sagwright.domain.sheet import ShaftPerTravel, Sheet, SpacerStack
from sagwright.errors import MissingValue, OutOfRange
from sagwright.formats.faults import FoundFault
from sagwright.formats.sheet.checks.coil import COIL_ACTS, coil_roles

ONCE: Final = (
    Role.READINGS,
    Role.AIR_CHARGE,
    Role.AIR_CAP,
    Role.LOWERS,
    Role.RETAINING_RING,
    Role.AIR_SHAFT,
    Role.VOLUME_SPACERS,
)
"""Roles that exactly one item plays."""

ONLY_FORKS: Final = (Role.LOWERS, Role.RETAINING_RING, Role.AIR_SHAFT)
"""Those of them that a unit without legs, a shock, does not have."""

_ACTS: Final = {
    Role.READINGS: (Act.OFF, Act.ON),
    Role.AIR_CHARGE: (Act.OFF, Act.CHARGE, Act.CYCLE),
    Role.SECOND_CHARGE: (Act.OFF, Act.CHARGE),
    Role.NEGATIVE_CHARGE: (Act.OFF, Act.CHARGE),
    Role.RETAINING_RING: (Act.OFF, Act.ON, Act.CHECK),
    Role.LOWERS: (Act.OFF, Act.ON),
    Role.AIR_CAP: (Act.OFF, Act.ON),
    Role.AIR_SHAFT: (Act.OFF, Act.ON),
    Role.FOOT_FASTENER: (Act.OFF, Act.ON),
    Role.FOOT_SEAT: (Act.OFF, Act.ON),
    Role.LOWER_LEG_OIL: (Act.OFF, Act.ON),
    Role.VOLUME_SPACERS: (Act.CHANGE,),
    Role.TRAVEL_SPACERS: (Act.CHANGE,),
    Role.TRANSFER_PORT: (Act.CHANGE,),
    **COIL_ACTS,
}
"""What the sheet must give for an item with a role, so that a plan can use it."""


def roles(sheet: Sheet) -> FoundFault:
    """The roles that the safety rules need are there, once, and say how their work is done."""
    for role in _once(sheet):
        having = sheet.having(role)
        if len(having) != 1:
            yield (
                ("items",),
                OutOfRange(
                    f'must have one item with the role "{role.value}"',
                    value=", ".join(item.key for item in having) or "none",
                    remedy="The safety rules and the order of work hang on it.",
                ),
            )
    for item in sheet.items:
        for act in _must_say(sheet, item):
            if item.work(act) is None:
                yield (
                    ("items", item.key),
                    MissingValue(
                        f'must say "{act.value}", because it is the {item.role}', remedy="Write how that is done."
                    ),
                )


def _once(sheet: Sheet) -> tuple[Role, ...]:
    """Roles that exactly one item of this sheet plays."""
    return _ONCE[sheet.spring.kind](sheet)


def _air_roles(sheet: Sheet) -> tuple[Role, ...]:
    stack = (Role.TRAVEL_SPACERS,) if isinstance(sheet.mechanism, SpacerStack) else ()
    port = (Role.TRANSFER_PORT,) if stack and sheet.air.transfer_port.positions > 1 else ()
    once = ONCE if sheet.legs else tuple(role for role in ONCE if role not in ONLY_FORKS)
    second = (Role.SECOND_CHARGE,) if sheet.air.second is not None else ()
    negative = (Role.NEGATIVE_CHARGE,) if sheet.air.negative_gauge is not None else ()
    return (*once, *stack, *port, *second, *negative)


_ONCE: Final = {"air": _air_roles, "coil": coil_roles}


def _must_say(sheet: Sheet, item: Item) -> tuple[Act, ...]:
    if item.role is None:
        return ()
    mechanism = sheet.mechanism
    swaps = item.role is Role.AIR_SHAFT and isinstance(mechanism, ShaftPerTravel) and len(mechanism.shafts) > 1
    inspected = (Act.INSPECT,) if item.inspect else ()
    return (*_ACTS.get(item.role, ()), *((Act.CHANGE,) if swaps else ()), *inspected)


def legs(sheet: Sheet) -> FoundFault:
    """An item's leg is a leg of the sheet, and every lower-leg oil has one."""
    names = [leg.name for leg in sheet.legs]
    for item in sheet.items:
        if item.leg and item.leg not in names:
            yield (
                ("items", item.key, "leg"),
                OutOfRange("must be a leg of this sheet", value=item.leg, remedy=f"There are: {', '.join(names)}."),
            )
        if item.role is Role.LOWER_LEG_OIL and not item.leg:
            yield ("items", item.key, "leg"), MissingValue("must be given for a lower-leg oil", remedy="Name its leg.")
