"""Legs as they were found or are built, where they differ from the sheet."""

from __future__ import annotations

from collections.abc import Mapping

from sagwright.domain.build import LegState
from sagwright.domain.sheet import Sheet
from sagwright.errors import OutOfRange
from sagwright.formats.faults import Faults
from sagwright.formats.intake_shape import LegStateShape
from sagwright.formats.nodes import Path


def leg_states(
    written: Mapping[str, LegStateShape], sheet: Sheet, *, path: Path, faults: Faults
) -> tuple[LegState, ...]:
    """The state of every leg that is written at a path; a name that is no leg of the sheet is added to the faults."""
    known = {leg.name: leg for leg in sheet.legs}
    for name in sorted(set(written) - set(known)):
        rule = "must be a leg of the sheet"
        faults.add((*path, name), OutOfRange(rule, value=name, remedy=f"It has: {', '.join(known)}."))
    return tuple(
        LegState(
            name,
            state.bath_oil.si if state.bath_oil else known[name].bath_oil.si,
            state.closed_at.si if state.closed_at else 0.0,
            state.temperature.si if state.temperature else None,
            state.air_pressure.si if state.air_pressure else None,
        )
        for name, state in written.items()
        if name in known
    )
