"""A coil spring as a sheet writes it; one coil as a command line does: "wire: 5 mm, outside: 31 mm, turns: 22"."""

from __future__ import annotations

from typing import Annotated, Final

from pydantic import Field as About

from sagwright.domain.coil_spring import CoilOnOffer, WoundCoil
from sagwright.domain.value import Origin, Quantity, Value
from sagwright.errors import MissingValue, OutOfRange
from sagwright.formats.faults import Faults, shaped
from sagwright.formats.fields.kinds import Count, QuantityField, Shape, Word, YesNo
from sagwright.formats.sheet.item_shape import Key, Label
from sagwright.formats.source.reader import read_text
from sagwright.formats.source.tree import FieldPath, SourceFile

MATERIALS: Final[dict[str, object]] = {
    "music wire": "music wire",
    "hard-drawn wire": "hard-drawn wire",
    "oil-tempered wire": "oil-tempered wire",
    "chrome-vanadium wire": "chrome-vanadium wire",
    "chrome-silicon wire": "chrome-silicon wire",
    "stainless wire": "stainless wire 302, 304, 316",
    "stainless wire 17-7 PH": "stainless wire 17-7 PH",
    "EN 10270-1": "patented cold-drawn wire to EN 10270-1",
    "EN 10270-2": "oil-hardened wire to EN 10270-2",
    "titanium": "titanium grade 5",
}
MADE: Final = ("wire", "outside", "turns", "free_length")

Diameter = Annotated[Value, QuantityField(Quantity.LENGTH, 0.002, 0.1)]
Length = Annotated[Value, QuantityField(Quantity.LENGTH, 0.0005, 0.4)]


class MadeShape(Shape):
    """How one coil is made, or its rate, or both."""

    rate: Annotated[Value, QuantityField(Quantity.RATE, 100.0, 1e6)] | None = About(
        None, description="As printed on it.", examples=["8 ± 0.3 N/mm"]
    )
    wire: Annotated[Value, QuantityField(Quantity.LENGTH, 0.0003, 0.03)] | None = About(
        None, description="Diameter of the wire.", examples=["5 ± 0.03 mm"]
    )
    outside: Annotated[Value, QuantityField(Quantity.LENGTH, 0.003, 0.2)] | None = About(
        None, description="Outside diameter of the coil.", examples=["31 mm"]
    )
    turns: Annotated[Value, QuantityField(Quantity.RATIO, 3.0, 200.0)] | None = About(
        None, description="All its turns, ends included.", examples=["22"]
    )
    free_length: Annotated[Value, QuantityField(Quantity.LENGTH, 0.005, 1.0)] | None = About(
        None, description="With nothing on it.", examples=["240 mm"]
    )
    material: Annotated[str, Word(MATERIALS)] = About(
        "oil-hardened wire to EN 10270-2", description="What it is wound from; EN 10270-2 if left out."
    )
    ground: Annotated[bool, YesNo()] = About(True, description="Whether its ends are ground flat.")


class CoilShape(MadeShape):
    """One coil as it is written on a command line."""

    name: Label | None = About(None, description="What to call it.", examples=["soft"])


def read_coil(text: str, *, number: int = 1) -> CoilOnOffer:
    """A coil.

    Raises
    ------
    InputError, InputErrors
        Everything that is wrong with it.
    """
    source = SourceFile(f"coil {number}")
    source.origin = Origin.MEASURED
    root = read_text("{" + text + "}", source)
    faults = Faults(root, source.faults)
    shape = shaped(root, CoilShape, faults)
    coil = shelved(shape, shape.name or text.strip(), (), faults)
    faults.raise_any()
    return coil


def shelved(shape: MadeShape, name: str, path: FieldPath, faults: Faults) -> CoilOnOffer:
    """A coil from its shape; what is missing is added to the faults, under a path."""
    given = [key for key in MADE if getattr(shape, key) is not None]
    if given == ["free_length"] and shape.rate is not None:
        return CoilOnOffer(name, shape.rate, None, shape.free_length)
    if not given and shape.rate is None:
        faults.add((*path, "rate"), MissingValue("must be given", remedy="Write it, or how the coil is made."))
    for key in MADE if given else ():
        if getattr(shape, key) is None:
            missing = MissingValue("must be given beside the others", remedy=f"Write {', '.join(MADE)}.")
            faults.add((*path, key), missing)
    return CoilOnOffer(name, shape.rate, _wound(shape, path, faults))


def _wound(shape: MadeShape, path: FieldPath, faults: Faults) -> WoundCoil | None:
    wire, outside, turns, free = shape.wire, shape.outside, shape.turns, shape.free_length
    if wire is None or outside is None or turns is None or free is None:
        return None
    if outside.si <= 2.0 * wire.si:
        faults.add((*path, "outside"), OutOfRange("must be more than two wires", value=outside.as_written))
        return None
    mean = Value(outside.si - wire.si, outside.u, outside.origin, outside.as_written)
    return WoundCoil(wire, mean, turns, free, shape.material, shape.ground)


class TopOutSpacersShape(Shape):
    """Spacers under the top-out of a coil fork; each shortens the travel by its height."""

    height: Length = About(description="Of one.", examples=["10 mm"])
    most: Annotated[int, Count(1, 20)] = About(description="Most that fit.", examples=["3"])


class PreloadSpacersShape(Shape):
    """Spacers on top of the coil."""

    height: Length = About(description="Of one.", examples=["5 mm"])
    most: Annotated[int, Count(1, 20)] = About(description="Most that fit.", examples=["4"])


class AdjusterShape(Shape):
    """The preload adjuster."""

    range: Length = About(description="From fully out to fully in.", examples=["12 mm"])
    per_turn: Length = About(description="How far one turn goes.", examples=["1 mm"])


class CoilSpringShape(Shape):
    """The coil spring in its stanchion."""

    bore: Diameter = About(description="Inside diameter of the stanchion around the coil.", examples=["33 mm"])
    shaft: Diameter = About(description="Diameter of the shaft that carries it.", examples=["10 mm"])
    seats: Length = About(
        description="Distance between its seats, bottomed out, no preload spacers in, the adjuster out.",
        examples=["172 mm"],
    )
    coils: dict[Key, MadeShape] = About(description="What the unit may take, by name.")
    preload_spacers: PreloadSpacersShape | None = About(None, description="Spacers on top of the coil.")
    adjuster: AdjusterShape | None = About(None, description="The preload adjuster; left out where there is none.")
    guided: Annotated[bool, YesNo()] = About(
        True, description="Whether a guide or sleeve keeps the coil from bowing out.", examples=["yes"]
    )
