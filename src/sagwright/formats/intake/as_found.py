"""The coil and the legs as an intake or a command line describes them → the domain."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from sagwright.domain.coil_spring import CoilSpring
from sagwright.domain.setup import CoilFitting, LegState
from sagwright.domain.sheet import Sheet
from sagwright.domain.value import Unknown, Value
from sagwright.errors import InputError, MissingValue, OutOfRange
from sagwright.formats.faults import Faults
from sagwright.formats.intake.shape import LegStateShape
from sagwright.formats.source.tree import FieldPath
from sagwright.units import nearest

NO_SUCH_SPRING = "does not exist in this family"

COIL_KEYS = ("coil", "preload_spacers", "preload_turns")
AIR_KEYS = ("volume_spacers", "charge")
"""Keys of an as-found fork that only one kind of spring has."""


class CoilAsFoundShape(Protocol):
    """What is written of a coil."""

    @property
    def coil(self) -> str | Unknown | None:
        """Its name in the sheet."""

    @property
    def preload_spacers(self) -> int | Unknown | None:
        """On top of it."""

    @property
    def preload_turns(self) -> Value | Unknown | None:
        """Of the adjuster, from fully out."""


def fitting_of(said: CoilAsFoundShape, spring: CoilSpring, path: FieldPath, faults: Faults) -> CoilFitting:
    """Coil, preload spacers and adjuster as they are written; what is missing or cannot be is added to the faults."""
    return CoilFitting(
        _coil(said.coil, spring, path, faults),
        _spacers(said, spring, path, faults),
        _turned(said.preload_turns, spring, path, faults),
    )


def _coil(name: str | Unknown | None, spring: CoilSpring, path: FieldPath, faults: Faults) -> str | Unknown:
    if name is None:
        faults.add((*path, "coil"), _missing(Unknown.UNTIL_OPEN))
        return Unknown.UNTIL_OPEN
    if isinstance(name, str) and (fault := unknown_coil(name, spring)):
        faults.add((*path, "coil"), fault)
        return Unknown.UNTIL_OPEN
    return name


def unknown_coil(name: str, spring: CoilSpring) -> InputError | None:
    """What is wrong with the name of a coil; None if the sheet has it."""
    offered = [coil.name for coil in spring.coils]
    if name in offered:
        return None
    near = nearest(name, offered)
    meant = f"Did you mean {near}? " if near else ""
    return OutOfRange("must be a coil of the sheet", value=name, remedy=f"{meant}It has: {', '.join(offered)}.")


def _spacers(said: CoilAsFoundShape, spring: CoilSpring, path: FieldPath, faults: Faults) -> int | Unknown:
    spacers = said.preload_spacers
    if spacers is None and spring.stack.most:
        faults.add((*path, "preload_spacers"), _missing(Unknown.UNTIL_OPEN))
    if spacers and not spring.stack.most:
        faults.add((*path, "preload_spacers"), OutOfRange(NO_SUCH_SPRING, remedy="It takes none; remove it."))
    return spacers or 0 if isinstance(spacers, int | None) else spacers


def _turned(turns: Value | Unknown | None, spring: CoilSpring, path: FieldPath, faults: Faults) -> float | Unknown:
    per_turn = spring.stack.per_turn.si
    if turns is None and per_turn:
        faults.add((*path, "preload_turns"), _missing(Unknown.NOT_MEASURED))
    if turns is not None and not per_turn:
        faults.add(
            (*path, "preload_turns"), OutOfRange(NO_SUCH_SPRING, remedy="It has no preload adjuster; remove it.")
        )
    if turns is None:
        return 0.0
    return turns if isinstance(turns, Unknown) else turns.si * per_turn


def _missing(unknown: Unknown) -> MissingValue:
    return MissingValue("must be given", remedy=f'Write it, or "{unknown.value}".')


def leg_states(
    written: Mapping[str, LegStateShape], sheet: Sheet, *, path: FieldPath, faults: Faults
) -> tuple[LegState, ...]:
    """The state of every leg that is written at a path; a name that is no leg of the sheet is added to the faults."""
    known = {leg.name: leg for leg in sheet.legs}
    for name in sorted(set(written) - set(known)):
        rule = "must be a leg of the sheet"
        faults.add((*path, name), OutOfRange(rule, value=name, remedy=f"It has: {', '.join(known)}."))
    return tuple(
        LegState(
            name,
            state.lower_leg_oil.si if state.lower_leg_oil else known[name].lower_leg_oil.si,
            state.closed_at.si if state.closed_at else 0.0,
            state.temperature.si if state.temperature else None,
            state.air_pressure.si if state.air_pressure else None,
        )
        for name, state in written.items()
        if name in known
    )
