"""Coils and their preload in words."""

from __future__ import annotations

from sagwright.domain.coil_spring import CoilOnOffer, CoilSpring
from sagwright.domain.setup import Setpoint
from sagwright.domain.value import Quantity, Unknown
from sagwright.phrases import quantities
from sagwright.units import UnitChoice


def coil_name(name: str | Unknown) -> str:
    """A coil's name as it is read; sheets and intakes write it with underscores."""
    return quantities.UNKNOWN[name] if isinstance(name, Unknown) else name.replace("_", " ")


def coil_text(coil: CoilOnOffer, choice: UnitChoice) -> str:
    """A coil: its name, its rate as printed, and how it is made."""
    said = [] if coil.rate is None else [quantities.exact(coil.rate.si, Quantity.RATE, choice)]
    wound = coil.wound
    if wound is not None:
        wire = quantities.exact(wound.wire.si, Quantity.LENGTH, choice)
        turns = f"{wound.turns.si:g}".replace(".", choice.decimal)
        said.append(f"{turns} turns of {wire} {wound.material}")
    if coil.free_length is not None:
        said.append(f"{quantities.number_text(coil.free_length.si, Quantity.LENGTH, choice)} free")
    return f"{coil_name(coil.name)}: {', '.join(said)}"


def turns_text(adjuster: Setpoint, coil: CoilSpring, choice: UnitChoice) -> str:
    """Where a preload adjuster stands: in turns, and in the length they press the coil by."""
    if isinstance(adjuster, Unknown):
        return quantities.UNKNOWN[adjuster]
    if not isinstance(adjuster, int | float) or not coil.stack.per_turn.si:
        return "none"
    turns = f"{adjuster / coil.stack.per_turn.si:.1f}".replace(".", choice.decimal)
    return f"{turns} turns ({quantities.number_text(adjuster, Quantity.LENGTH, choice)})"
