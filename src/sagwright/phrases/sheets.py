"""What a sheet describes, in a few lines."""

from __future__ import annotations

from sagwright.domain.sheet import Chassis, Sheet, SpacerStack, TopOutSpacers
from sagwright.domain.value import Quantity
from sagwright.phrases import figures
from sagwright.phrases.coils import coil_text
from sagwright.units import Choice


def sheet_lines(sheet: Sheet, choice: Choice) -> tuple[tuple[str, str], ...]:
    """Labels with what they say: identity, chassis, what sets the travel, items, torques to be found."""
    base = f", on {sheet.architecture}" if sheet.architecture else ""
    return (
        ("sheet", f"{sheet.name}, revision {sheet.revision}{base}"),
        ("describes", f"{sheet.maker} {sheet.model}"),
        *(("chassis", chassis_text(chassis, choice)) for chassis in sheet.chassis),
        ("travel by", mechanism_text(sheet, choice)),
        *(("coil", coil_text(coil, choice)) for coil in (sheet.coil.coils if sheet.coil else ())),
        ("items", str(len(sheet.items))),
        ("torques", torques_text(sheet)),
    )


def chassis_text(chassis: Chassis, choice: Choice) -> str:
    """A chassis with every travel it permits."""
    return f"{chassis.name}: {_travels(chassis.travels, choice)}"


def mechanism_text(sheet: Sheet, choice: Choice) -> str:
    """What sets the travel."""
    mechanism = sheet.mechanism
    if isinstance(mechanism, SpacerStack):
        height = figures.exact(mechanism.height.si, Quantity.LENGTH, choice)
        return f"travel spacers of {height}, at most {mechanism.most}"
    if isinstance(mechanism, TopOutSpacers):
        height = figures.exact(mechanism.height.si, Quantity.LENGTH, choice)
        return f"spacers under the top-out of {height}, at most {mechanism.most}"
    if len(mechanism.shafts) == 1:
        return f"nothing: fixed at {figures.number(mechanism.shafts[0].travel.si, Quantity.LENGTH, choice)}"
    return f"air shafts for {_travels(tuple(shaft.travel.si for shaft in mechanism.shafts), choice)}"


def torques_text(sheet: Sheet) -> str:
    """Which torques nobody has found yet."""
    torques = [(item.name, work.torque) for item in sheet.items for _, work in item.works if work.torque]
    unknown = [name for name, torque in torques if torque.value is None]
    if not unknown:
        return f"{len(torques)}, all with a value"
    return f"{len(torques)}, of which to be found: {', '.join(unknown)}"


def _travels(travels: tuple[float, ...], choice: Choice) -> str:
    *shorter, longest = sorted(travels)
    listed = [figures.bare(travel, Quantity.LENGTH, choice) for travel in shorter]
    return ", ".join([*listed, figures.number(longest, Quantity.LENGTH, choice)])
