"""What sets the travel of a unit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from sagwright.domain.value import Value


@dataclass(frozen=True, slots=True)
class SpacerStack:
    """Travel set by spacers under the piston: T = T_longest − n·h; the equaliser moves one hole per spacer."""

    height: Value
    outside: Value
    most: int
    kind: Literal["spacer_stack"] = "spacer_stack"


@dataclass(frozen=True, slots=True)
class Shaft:
    """One air shaft: the travel it gives [m] and the most volume spacers it leaves room for."""

    travel: Value
    most_volume_spacers: int


@dataclass(frozen=True, slots=True)
class ShaftPerTravel:
    """Travel set by the length of the air shaft; topped-out chambers and port stay. One shaft alone fixes it."""

    shafts: tuple[Shaft, ...]
    kind: Literal["shaft_per_travel"] = "shaft_per_travel"


@dataclass(frozen=True, slots=True)
class TopOutSpacers:
    """Travel of a coil fork set by spacers under the top-out: T = T_longest − n·h. They hold the shaft further in, so
    that each presses the coil by its height too, and the same length has to leave the preload stack."""

    height: Value
    most: int
    kind: Literal["top_out_spacer"] = "top_out_spacer"


Mechanism = SpacerStack | ShaftPerTravel | TopOutSpacers
