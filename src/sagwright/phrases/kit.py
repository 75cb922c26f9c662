"""Tools, parts and fluids in words."""

from __future__ import annotations

from typing import Final

from sagwright.domain.item import Part, Tool
from sagwright.domain.step import KitKind, KitLine
from sagwright.domain.value import Quantity
from sagwright.phrases import figures
from sagwright.units import Choice

KINDS: Final = {
    KitKind.TOOL: "tools",
    KitKind.PART: "parts",
    KitKind.SINGLE_USE: "single-use parts",
    KitKind.FLUID: "fluids",
}


def tool_text(tool: Tool) -> str:
    """A tool with its size."""
    return _sized(tool.name, tool.size) + (" (special tool)" if tool.special else "")


def part_text(part: Part) -> str:
    """A part with its size."""
    return _sized(part.name, part.size)


def kit_text(line: KitLine, choice: Choice) -> str:
    """One line of a kit: how much of what."""
    named = _sized(line.name, line.size) + (" (special tool)" if line.special else "")
    if line.amount is None:
        return f"{named}, a little" if line.kind is KitKind.FLUID else named
    if line.amount.quantity is Quantity.COUNT:
        many = line.amount.value
        up_to = "up to " if line.at_most else ""
        return named if line.kind is KitKind.TOOL and many == 1 else f"{up_to}{many:.0f} × {named}"
    return f"{named}, {figures.figure(line.amount, choice)}"


def _sized(name: str, size: str) -> str:
    return f"{name} {size.replace('..', ' to ')}" if size else name
