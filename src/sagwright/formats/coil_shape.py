"""A coil spring in the format sheet/1 as it is written."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field as About

from sagwright.domain.value import Quantity, Value
from sagwright.formats.coil_text import MadeShape
from sagwright.formats.fields import Count, Written, YesNo
from sagwright.formats.item_shape import Key, Shape

Diameter = Annotated[Value, Written(Quantity.LENGTH, 0.002, 0.1)]
Length = Annotated[Value, Written(Quantity.LENGTH, 0.0005, 0.4)]


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
