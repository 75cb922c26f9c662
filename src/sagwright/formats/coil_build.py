"""A coil spring as written in a sheet → the domain."""

from __future__ import annotations

from sagwright.domain.coil_spring import CoilSpring, PreloadStack
from sagwright.domain.value import Value
from sagwright.errors import MissingValue, OutOfRange
from sagwright.formats.coil_shape import CoilSpringShape
from sagwright.formats.coil_text import shelved
from sagwright.formats.faults import Faults
from sagwright.formats.sheet_shape import SheetShape


def coil_spring(sheet: SheetShape, shape: CoilSpringShape, faults: Faults) -> CoilSpring:
    """The coil spring; what does not belong beside one is added to the faults."""
    for key in ("equaliser", "charging"):
        if getattr(sheet, key) is not None:
            faults.add((key,), OutOfRange("does not belong to a coil spring", remedy="Remove it."))
    if not shape.coils:
        faults.add(("coil_spring", "coils"), MissingValue("must name a coil", remedy="Write one, like medium: {...}."))
    none, spacers, adjuster = Value(0.0), shape.preload_spacers, shape.adjuster
    stack = PreloadStack(
        height=spacers.height if spacers else none,
        most=spacers.most if spacers else 0,
        range=adjuster.range if adjuster else none,
        per_turn=adjuster.per_turn if adjuster else none,
    )
    coils = (shelved(each, key, ("coil_spring", "coils", key), faults) for key, each in shape.coils.items())
    return CoilSpring(tuple(coils), shape.seats, shape.bore, shape.shaft, stack, shape.guided)
